"""Retainers: rings in a groove and collars, which keep a shaft from moving along."""

from __future__ import annotations

from dataclasses import dataclass

from gearplate.catalog.common import Front, read_common
from gearplate.catalog.reading import Reader
from gearplate.catalog.row import Bore, Row

KINDS = ("ring", "collar")


@dataclass(frozen=True, slots=True)
class Groove:
    """The groove of a ring: its width along the shaft, and the diameter at its bottom."""

    width_mm: float
    diameter_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Retainer(Row):
    """A ring with its groove, or a collar without one (`groove` None).

    `section` is the bar that it fits, `width_mm` its own extent along the shaft, `outside_mm` the disc that it turns
    in, `edge_mm` what of the shaft must stay beyond the groove or the collar.
    """

    kind: str
    section: Bore
    width_mm: float
    outside_mm: float
    edge_mm: float
    groove: Groove | None

    @property
    def groove_spare_mm(self) -> float:
        """By how much a ring's groove is wider than the ring; nothing for a collar."""
        return 0.0 if self.groove is None else self.groove.width_mm - self.width_mm


def read_retainer(row: Reader, name: str, front: Front) -> Retainer:
    """One row of retainers.toml."""
    common = read_common(row, name, front)
    kind = row.text("kind", KINDS)
    section = (
        Bore("hex", row.length("hex", 2, 60)) if row.has_length("hex") else Bore("round", row.length("round", 1, 60))
    )
    groove = None
    if kind == "ring":
        groove = Groove(row.length("groove_width", 0.2, 6), row.length("groove_diameter", 0.5, 60))
    retainer = Retainer(
        **common,
        kind=kind,
        section=section,
        width_mm=row.length("width", 0.2, 40),
        outside_mm=row.length("outside", 1, 120),
        edge_mm=row.length("edge", 0, 20),
        groove=groove,
    )
    if retainer.outside_mm <= section.across_mm:
        row.fault("outside_mm", retainer.outside_mm, "not wider than the shaft.")
    if groove is not None and groove.width_mm < retainer.width_mm:
        row.fault("groove_width_mm", groove.width_mm, "narrower than the ring.")
    if groove is not None and groove.diameter_mm >= section.across_mm:
        row.fault("groove_diameter_mm", groove.diameter_mm, "not smaller than the shaft.")
    row.done()
    return retainer
