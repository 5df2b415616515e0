"""`make` as Python users call it: a design that a notebook shows as its overlay."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from gearplate.build import make as build_make

if TYPE_CHECKING:
    from gearplate.job.spec import JobSpec
    from gearplate.record.design import Design


def make(job: JobSpec, draft: bool = False) -> Design:
    """Everything from a job, in memory: train, layout, plates, cut plates, findings. Touches no file.

    Findings of severity error make a design `refused` (`draft` with `draft=True`); they are never exceptions. In a
    notebook the result shows both plates over each other. Raises NoSolution where no train or place can even be tried.
    """
    return replace(build_make(job, draft), draw=_overlay)


def _overlay(design: Design) -> str:
    from gearplate.packet.overlay import overlay
    from gearplate.record.design_record import design_record

    return overlay(design_record(design)).text()
