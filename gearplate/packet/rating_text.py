"""The strength table for people, made from the record of ratings alone."""

from __future__ import annotations

import math
import re
from typing import Any

from gearplate.packet.columns import wrapped
from gearplate.packet.rating_forces import forces_lines

SHOWN = 15
MOST = 99.0


def rating_lines(data: dict[str, Any], width: int, everything: bool = False) -> list[str]:
    """Loads, the weakest links first, what does not rule, formulas with sources, and what is not modelled.

    Without `everything` only the `SHOWN` weakest and all that does not hold.
    """
    rows = alike(data["ratings"])
    ruling = [row for row in rows if row["rules"] and row["kind"] != "stiffness"]
    beside = [row for row in rows if row not in ruling]
    shown = ruling if everything else [row for n, row in enumerate(ruling) if n < SHOWN or not row["holds"]]
    letters: dict[tuple[str, str], str] = {}
    lines = [f"Strength of {data['job']['part']}, revision {data['job']['revision']}", "", *_loads(data, width), ""]
    lines.append("Weakest link first: margin is how many times the load could grow.")
    for row in shown:
        lines += _row(row, letters, width)
    if len(shown) < len(ruling):
        lines.append(f"  and {len(ruling) - len(shown)} stronger ones: --all tells them")
    told = beside if everything else [row for row in beside if not row["holds"]]
    if told:
        lines += ["", "Told beside them; none of these is called the weakest link:"]
        for row in told:
            lines += _row(row, letters, width)
    elif beside:
        lines += ["", f"{len(beside)} more hold that do not rule (stiffness, estimates, J): --all tells them."]
    lines += ["", "Formulas and sources:"]
    for (formula, source), letter in letters.items():
        lines += wrapped(f"{formula}. {source}", width, f"  [{letter}] ", "      ")
    if everything and data["forces"]["meshes"]:
        lines += ["", *forces_lines(data, width)]
    lines += ["", "Taken of the machine and its use (the job's duty table, or --set duty.mass=30):"]
    lines += _duty(data["duty"], width)
    if data["unrated"]:
        lines += ["", "Not rated:"]
        for text in data["unrated"]:
            lines += wrapped(text, width, "  - ", "    ")
    lines += ["", "Not modelled:"]
    for text in data["not_modelled"]:
        lines += wrapped(text, width, "  - ", "    ")
    lines.append("")
    lines += wrapped(
        "These numbers compare designs and find what gives way first. They are no approval: try the first one out with "
        "care, guarded and away from people, before anybody relies on it.",
        width,
        "",
        "",
    )
    return lines


def alike(ratings: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Ratings with those of equal motors told once: the same but for the motor's number, within a few per
    cent."""
    found: dict[tuple[Any, ...], dict[str, Any]] = {}
    for rating in ratings:
        bare = re.sub(r"\bM\d+\b", "M", rating["part"])
        value = rating["value"]
        size = round(math.log(value) * 40) if value > 0 else 0
        key = (bare, rating["load_case"], rating["formula"], rating["limit"], size)
        if key in found and bare != rating["part"]:
            first = found[key]
            first["parts"].append(rating["part"])
        else:
            found[key] = {**rating, "parts": [rating["part"]]}
    return list(found.values())


def part_words(row: dict[str, Any]) -> str:
    """What a row is of: "M1, M2 and M3 12T on S1 72T, flanks"."""
    if len(row["parts"]) == 1:
        return str(row["part"])
    motors = sorted(match[0] for part in row["parts"] if (match := re.search(r"\bM\d+\b", part)))
    return re.sub(r"\bM\d+\b", f"{', '.join(motors[:-1])} and {motors[-1]}", row["part"], count=1)


def margin_words(margin: float | None) -> str:
    """ "1.42", "over 99"."""
    return "over 99" if margin is None or margin > MOST else f"{margin:.2f}"


def size_words(value: float, unit: str) -> str:
    """A value to three figures."""
    text = f"{value:.0f}" if abs(value) >= 100 else f"{value:.3g}"
    return f"{text} {unit}"


def _row(row: dict[str, Any], letters: dict[tuple[str, str], str], width: int) -> list[str]:
    key = (row["formula"], row["source"])
    letter = letters.setdefault(key, _letter(len(letters)))
    mark = "" if row["holds"] else "  DOES NOT HOLD"
    held = f"{size_words(row['value'], row['unit'])} against {size_words(row['limit'], row['unit'])}"
    lines = wrapped(
        f"{part_words(row)}: {held} [{letter}]{mark}", width, f"  {margin_words(row['margin']):>7}  ", " " * 11
    )
    note = f"; {row['note']}" if row["note"] else ""
    case = row["load_case"] + (f", {row['way']}" if row["way"] else "")
    return lines + wrapped(f"{case}{note} (limit: {row['standing']})", width, " " * 11, " " * 11)


def _letter(number: int) -> str:
    return chr(ord("a") + number) if number < 26 else _letter(number // 26 - 1) + _letter(number % 26)


_RULED = {
    "stall": "the motors stall before anything else",
    "breaker": "the breakers open before the motors stall or the wheels slip",
    "grip": "the wheels slip before breakers or stall",
}


def _loads(data: dict[str, Any], width: int) -> list[str]:
    loads = data["loads"]
    could = loads["motors_could_n_m"]
    known = "what the motors could is not known: no torque curve" if could is None else f"motors up to {could:.1f} N m"
    text = (
        f"Hardest push: {loads['output_torque_n_m']:.1f} N m on the output; {_RULED[loads['ruled_by']]} "
        f"({known}, grip up to {loads['wheels_grip_n_m']:.1f} N m)."
    )
    lines = wrapped(text, width)
    motors = [
        f"{motor['name']} {motor['torque_n_m']:.2f} N m"
        + ("" if motor["current_a"] is None else f" at {motor['current_a']:.0f} A")
        for motor in loads["motors"]
    ]
    lines += wrapped(f"Each motor then: {', '.join(motors)}.{_breakers(data)}{_curves(data)}", width)
    return lines + _by_chain(loads, width) + _mass_not_given(data["duty"], width)


def chain_not_told(loads: dict[str, Any]) -> bool:
    """Whether the axle's wheel grips less than it is taken to push, so that other wheels must take the rest, and the
    job does not say by which chain."""
    return loads["chain_share"] is None and loads["wheel_push_n"] > 1.005 * loads["wheel_grip_n"]


def _by_chain(loads: dict[str, Any], width: int) -> list[str]:
    """What leaves the axle for other wheels, where that is not as the job says."""
    push, grip, share = loads["wheel_push_n"], loads["wheel_grip_n"], loads["chain_share"]
    if chain_not_told(loads):
        return wrapped(
            f"No chain is named: the whole torque is taken to push at the axle's own wheel, {push:.0f} N, though that "
            f"grips {grip:.0f} N. The rest leaves for the wheels coupled to it by a pull that is not known here and "
            "can load axle, bearings and bores more: name duty.chain and duty.sprocket.",
            width,
        )
    if share is not None and share["taken"] > share["said"] + 0.005:
        return wrapped(
            f"By chain leave {share['taken']:.0%} of the output's torque, not {share['said']:.0%} (duty.chain_share): "
            f"the wheel on the axle grips {grip:.0f} N and no more.",
            width,
        )
    return []


def _curves(data: dict[str, Any]) -> str:
    """Where the motors' torque curves come from."""
    told = {(motor["type"], motor["standing"]): None for motor in data["loads"]["motors"] if motor["curve"]}
    return f" Torque curves: {', '.join(f'{name} ({standing})' for name, standing in told)}." if told else ""


def _breakers(data: dict[str, Any]) -> str:
    """Whether the wheels slip at a current that the breakers bear for good, as gearing is usually chosen (common
    practice, no source)."""
    rating = next(one["value"] for one in data["duty"] if one["key"] == "breaker_a")
    currents = [motor["current_a"] for motor in data["loads"]["motors"]]
    if None in currents:
        return ""
    if max(currents, default=0.0) > rating:
        return f" Breakers of {rating:g} A open after some seconds of that."
    return f" Breakers of {rating:g} A bear that for good." if data["loads"]["ruled_by"] == "grip" else ""


def _mass_not_given(duty: list[dict[str, Any]], width: int) -> list[str]:
    """Whoever reads the margins must know that they are of another machine, before reading them."""
    mass = next((one for one in duty if one["key"] == "mass_kg" and not one["given"]), None)
    if mass is None:
        return []
    text = f"The job does not say what the machine weighs: taken are {mass['value']:g} kg ({mass['standing']})."
    return wrapped(text + " Say yours: duty = {mass = ...}, or --set duty.mass=30.", width)


def _duty(duty: list[dict[str, Any]], width: int) -> list[str]:
    lines: list[str] = []
    for one in duty:
        lines += wrapped(f"{one['key']} = {one['value']:g}: {one['why']} ({one['standing']})", width, "  ", "    ")
    return lines


def strength_lines(record: dict[str, Any], width: int) -> list[str]:
    """One line of a build's account on what gives way first; where the job does not say what it carries, what would."""
    strength = record.get("strength")
    if strength is None:
        how = "Strength: not rated, the job says no duty.mass; gearplate rate tells more"
        return wrapped(how, width, "", "  ") if record["gears"] and "strength" in record else []
    if strength["weakest"] is None:
        return []
    first = next(one for one in strength["ratings"] if one["part"] == strength["weakest"])
    text = (
        f"Strength: {first['part']} gives way first, at {margin_words(first['margin'])} "
        f"times the load ({first['load_case']})"
        + (", a chain's pull left out" if "output" in first["shafts"] and chain_not_told(strength["loads"]) else "")
        + "; gearplate rate tells all"
    )
    return wrapped(text, width, "", "  ")
