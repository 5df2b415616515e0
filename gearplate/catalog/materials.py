"""Sheet that plates are cut from, and sheet that must never be cut."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise

from gearplate.catalog.common import Front, read_common
from gearplate.catalog.reading import Reader
from gearplate.catalog.row import Row, Span

PROCESSES = ("co2 laser", "fibre laser", "router", "waterjet")


@dataclass(frozen=True, slots=True)
class PressFit:
    """How far under the bearing a pressed bore is finished in this material, least to most [mm, positive = under]."""

    under_low_mm: float
    under_high_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Material(Row):
    """A sheet material.

    `thickness_mm` is nominal, `thickness_span_mm` what sheets sold as such measure; both are None for a material that
    must never be cut: there `never_cut` is true and `never_cut_why` says why. `press_fit` is None where nothing may
    be pressed into it (`no_press_why`). `laser_up_to_mm` is the thickness above which a CO2 laser does badly.
    `moisture_swelling_percent` is in the plane, dry to wet. `words` name it in any sheet's name (never_cut only).
    """

    family: str
    thickness_mm: float | None = None
    thickness_span_mm: Span | None = None
    processes: tuple[str, ...] = ()
    cte_per_k: Span | None = None
    moisture_swelling_percent: Span | None = None
    youngs_modulus_gpa: Span | None = None
    density_kg_m3: Span | None = None
    bearing_stress_mpa: Span | None = None
    press_fit: PressFit | None = None
    no_press_why: str = ""
    laser_up_to_mm: float | None = None
    cautions: tuple[str, ...] = ()
    never_cut: bool = False
    never_cut_why: str = ""
    words: tuple[str, ...] = ()

    def names(self, name: str) -> bool:
        """Whether a sheet's name ("PVC 3 mm", "abs-6mm") speaks of this material that must never be cut."""
        words = re.split(r"[^a-z]+", name.lower())
        words += [first + second for first, second in pairwise(words)]  # "carbon fibre"
        return any(word in self.words for word in words)


def read_material(row: Reader, name: str, front: Front) -> Material:
    """One row of materials.toml."""
    common = read_common(row, name, front)
    family = row.text("family")
    if row.flag("never_cut", False):
        material = Material(
            **common,
            family=family,
            never_cut=True,
            never_cut_why=row.text("never_cut_why"),
            words=row.texts("words"),
        )
        row.done()
        return material
    thickness = row.length("thickness", 0.2, 50)
    span = row.span("thickness_span_mm", 0.2, 60)
    if row.has("thickness_span_mm") and row.has_length("thickness") and not span.low <= thickness <= span.high:
        row.fault("thickness_span_mm", [span.low, span.high], "the nominal thickness is not in it.")
    press = row.sub("press_fit")
    why = row.text("no_press_why", default="")
    if not why and not row.has("press_fit"):
        row.missing("press_fit", 'press_fit = {under_low_mm = ..., under_high_mm = ...}, or no_press_why = "..."')
    material = Material(
        **common,
        family=family,
        thickness_mm=thickness,
        thickness_span_mm=span,
        processes=row.texts("processes", PROCESSES),
        cte_per_k=row.span("cte_per_k", 1e-7, 5e-4),
        moisture_swelling_percent=row.span("moisture_swelling_percent", 0, 10),
        youngs_modulus_gpa=row.span("youngs_modulus_gpa", 0.1, 400),
        density_kg_m3=row.span("density_kg_m3", 20, 20_000),
        bearing_stress_mpa=row.span("bearing_stress_mpa", 0.5, 1000),
        press_fit=_read_press(press) if press else None,
        no_press_why="" if press else why,
        laser_up_to_mm=row.maybe_length("laser_up_to", 0.1, 50),
        cautions=row.texts("cautions"),
    )
    row.done()
    return material


def _read_press(table: Reader) -> PressFit:
    fit = PressFit(table.number("under_low_mm", 0, 0.5, unit="mm"), table.number("under_high_mm", 0, 0.5, unit="mm"))
    if fit.under_low_mm > fit.under_high_mm:
        table.fault("under_low_mm", fit.under_low_mm, "more than under_high_mm.")
    table.done()
    return fit
