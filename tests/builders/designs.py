"""Finished designs of the shipped example jobs, with findings put in by hand instead of checks that ran."""

from __future__ import annotations

import functools
from typing import Any

from gearplate.cut.make import cut_plate
from gearplate.finding import Finding
from gearplate.job.load import load_job
from gearplate.layout.solve import solve_layout
from gearplate.plate.make import make_plates
from gearplate.record.design import Design, status_of

JOBS = ("compost-drive", "every-key", "barrow-idler", "trench-astride")


@functools.cache
def design(name: str = "compost-drive", hand: str | None = None) -> Design:
    """The design of a shipped job, without a finding; `hand` overrides that of the job."""
    job = load_job(name)
    if hand is not None:
        job = job.changed({"hand": hand})
    layout = solve_layout(job.layout_spec)
    plates = make_plates(layout, job.layout_spec, job.plate_spec)
    shops = {side: shop for side, shop in job.shops.items() if shop is not None}
    return Design(
        identity=job.identity,
        drawn_unit=job.drawing_unit,
        spec=job.layout_spec,
        layout=layout,
        plates=plates,
        cut_plates=tuple(
            cut_plate(plate, one, shops[plate.side], job.identity, job.drawing_unit)
            for one in job.identity.hands
            for plate in plates
        ),
        checks=(("web", 12), ("backlash", 4)),
        findings=(),
        status=status_of((), draft=False),
        shops=shops,
        assumptions=job.assumptions,
        solver_note=layout.solver_note,
    )


def with_findings(one: Design, *findings: Finding, draft: bool = False, **changes: Any) -> Design:
    """The design with these findings, its status following from them."""
    from dataclasses import replace

    return replace(one, findings=findings, status=status_of(findings, draft), **changes)
