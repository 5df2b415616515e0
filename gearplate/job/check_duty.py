"""What in a job's duty contradicts itself."""

from __future__ import annotations

from gearplate.job.reading import Reading


def check_duty(reading: Reading) -> None:
    """A chain wants a sprocket, and a sprocket a chain."""
    table = reading.file.duty
    if table is None:
        return
    about = tuple(("duty", key) for key in ("chain", "sprocket", "sprockets", "chain_share"))
    if table.chain is not None and table.sprocket is None:
        reading.say(("duty", "chain"), "This chain has no sprocket.", "sprocket = its teeth on the axle", about)
    for key in ("sprocket", "sprockets", "chain_share"):
        if table.chain is None and getattr(table, key) is not None:
            reading.say(("duty", key), "There is no chain.", 'chain = "25" or another of the chain table', about)
