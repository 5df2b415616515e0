"""A finished design: everything that a build knows, ready to be written down."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING

from gearplate.cut.cut_plate import CutPlate
from gearplate.finding import Finding, Severity
from gearplate.job.defaults import Assumption
from gearplate.layout.design import Layout
from gearplate.layout.play import AutoAdded, MeshBudget
from gearplate.layout.spec import LayoutSpec, Side
from gearplate.plate.plate import Plate
from gearplate.plate.spec import Identity
from gearplate.shop.shop import Shop
from gearplate.units import Unit

if TYPE_CHECKING:
    from gearplate.job.no_place import NoPlace
    from gearplate.rating.rate import Ratings


class Status(StrEnum):
    """ok: cut files may be made. draft: made in spite of errors, marked so. refused: no cut file."""

    OK = "ok"
    DRAFT = "draft"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True)
class Design:
    """One finished build.

    `layout` is None where no layout was found at all; `plates` and `cut_plates` are then empty. `cut_plates` holds both
    plates of every hand asked for; `shops` the cutter and material of each plate (none where the material must never be
    cut). `settings`: what was set from outside the job file, each `key=value`. `budgets`: the play of each mesh, by
    stage, driver's and driven gear's shaft; `auto_added`: what was added to the centre distances of stages that leave
    it to their play. `ratings`: the strength of every part, where the job says what its machine weighs. `no_place`: why
    the free shafts find no place, where they find none. `checks` = (check, how many things it compared). `draw` makes
    the picture that a notebook shows: it is handed in from above, because this room knows no pictures.
    """

    identity: Identity
    drawn_unit: Unit
    spec: LayoutSpec
    layout: Layout | None
    plates: tuple[Plate, ...]
    cut_plates: tuple[CutPlate, ...]
    checks: tuple[tuple[str, int], ...]
    findings: tuple[Finding, ...]
    status: Status
    shops: Mapping[Side, Shop]
    assumptions: tuple[Assumption, ...] = ()
    solver_note: str = ""
    settings: tuple[str, ...] = ()
    budgets: Mapping[tuple[int, str, str], MeshBudget] = field(default_factory=dict)
    auto_added: tuple[AutoAdded, ...] = ()
    ratings: Ratings | None = None
    no_place: NoPlace | None = None
    draw: Callable[[Design], str] | None = field(default=None, compare=False, repr=False)

    @property
    def errors(self) -> tuple[Finding, ...]:
        """The findings that stand against building it."""
        return tuple(finding for finding in self.findings if finding.severity is Severity.ERROR)

    def _repr_svg_(self) -> str | None:
        return None if self.draw is None else self.draw(self)


def status_of(findings: tuple[Finding, ...], draft: bool) -> Status:
    """ok without an error; with one refused, or draft where that was asked for."""
    if not any(finding.severity is Severity.ERROR for finding in findings):
        return Status.OK
    return Status.DRAFT if draft else Status.REFUSED
