"""What in a job's play contradicts itself."""

from __future__ import annotations

from gearplate.job.play import play_spec
from gearplate.job.reading import Reading


def check_play(reading: Reading) -> None:
    """The largest play that will do cannot lie below the smallest, given or what is usual."""
    table = reading.file.play
    if table is None or table.most is None:
        return
    least = play_spec(reading).least_mm
    if table.most >= least:
        return
    whose = "" if table.least is not None else ", which holds where the job says nothing"
    reading.say(
        ("play", "most"),
        f"The largest play, {table.most:g} mm, is below the smallest (play.least), {least:g} mm{whose}.",
        "most not below least",
        (("play", "least"),),
    )
