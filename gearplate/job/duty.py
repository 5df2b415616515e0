"""The duty table of a job made into what ratings use, with what holds where it says nothing."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from gearplate.job.play import play_spec
from gearplate.job.reading import Reading
from gearplate.rating.duty import ChainPull, Duty

# Key of the table -> field of the duty.
KEYS: dict[str, str] = {
    "mass": "mass_kg",
    "gearboxes": "gearboxes",
    "wheels": "wheels",
    "driven_share": "driven_share",
    "friction": "friction",
    "breaker": "breaker_a",
    "breaker_over": "breaker_over",
    "stage_efficiency": "stage_efficiency",
    "shock": "shock",
    "motor_shock": "motor_shock_g",
    "scrub": "scrub",
    "typical_torque": "typical_torque",
    "typical_speed": "typical_speed",
    "hours": "hours",
    "reliability": "reliability_percent",
}


def duty_of(reading: Reading) -> Duty:
    """What the job says of machine and use, else what is usual. Warmth is that of the play table."""
    play = play_spec(reading)
    duty = Duty(hall_c=play.hall_c[1], motor_heat_k=play.motor_heat_k)
    table = reading.file.duty
    if table is None:
        return duty
    said: dict[str, Any] = {field: value for key, field in KEYS.items() if (value := getattr(table, key)) is not None}
    if table.chain is not None and table.sprocket is not None:
        share = 0.5 if table.chain_share is None else table.chain_share
        said["chain"] = ChainPull(reading.catalog.chain_row(table.chain).pitch_mm, table.sprocket, share)
    return replace(duty, **said)


def said_of_duty(reading: Reading) -> frozenset[str]:
    """The fields of the duty that the job itself sets."""
    table, play = reading.file.duty, reading.file.play
    said = {field for key, field in KEYS.items() if table is not None and getattr(table, key) is not None}
    if play is not None:
        said |= {"hall_c"} if play.hall is not None else set()
        said |= {"motor_heat_k"} if play.motor_heat is not None else set()
    return frozenset(said)
