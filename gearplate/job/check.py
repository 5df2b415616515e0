"""Everything in a job that contradicts itself or is missing, whatever room it speaks of."""

from __future__ import annotations

from gearplate.job.check_duty import check_duty
from gearplate.job.check_frame import check_frame
from gearplate.job.check_plates import check_holes, check_plates
from gearplate.job.check_play import check_play
from gearplate.job.check_shafts import check_places, check_shafts
from gearplate.job.check_train import check_motors, check_train
from gearplate.job.reading import Reading
from gearplate.job.train import names


def check_job(reading: Reading) -> None:
    """Adds to the reading's problems all that its values, each good on its own, cannot mean together.

    Values that were refused or are missing are None here: every check looks before it reads.
    """
    known = names(reading)
    check_train(reading)
    check_motors(reading)
    check_shafts(reading, known)
    check_places(reading, known)
    check_frame(reading, known)
    check_plates(reading)
    check_duty(reading)
    check_play(reading)
    check_holes(reading, known)
