"""Cutters: bed, file habits, and what was measured on each material with them."""

from __future__ import annotations

import re
from dataclasses import dataclass

from gearplate.catalog.common import Front, read_common, read_standing
from gearplate.catalog.materials import PROCESSES, Material
from gearplate.catalog.reading import Reader
from gearplate.catalog.row import Row, Span
from gearplate.finding import Standing

SEATS = ("bearing_press", "bearing_slip", "pilot", "screw")
LAYER_MEANINGS = ("etch", "inner", "outer")
DRAWING_UNITS = ("mm", "inch")

# A beam or jet that cuts wider than this is a slip of the decimal point; a router's kerf is its tool's diameter.
WIDEST_KERF_MM = {"co2 laser": 1.0, "fibre laser": 1.0, "waterjet": 2.5}


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer of a cut file: what it means, what it is called, its colour by DXF colour index (1 to 255)."""

    meaning: str
    name: str
    colour_index: int


# Ours where a cutter's row says nothing: marks first, then holes, the outline last so that nothing shifts.
DEFAULT_LAYERS = (Layer("etch", "etch", 5), Layer("inner", "inner", 3), Layer("outer", "outer", 1))


@dataclass(frozen=True, slots=True)
class LeadIn:
    """Where a bore's cut begins: pierced `length_mm` inside the slug, entering the path at `start_deg`.

    `start_deg` counts from the direction away from the shaft's load, so 0 puts the mark of the pierce where the outer
    ring presses least.
    """

    length_mm: float
    start_deg: float


@dataclass(frozen=True, slots=True)
class Kerf:
    """Full width of the cut at the narrower face, by the axis along which the width is measured [mm].

    `x_mm` widens holes along x. `sigma_mm` is the standard deviation of one cut from the next.
    """

    x_mm: float
    y_mm: float
    sigma_mm: float = 0.0

    @property
    def mean_mm(self) -> float:
        """Mean of both axes."""
        return (self.x_mm + self.y_mm) / 2


@dataclass(frozen=True, slots=True)
class Calibration:
    """What a coupon showed for one material on one cutter.

    It speaks of `material` by its row's name, or of every sheet of `family` whose nominal thickness lies in
    `thickness_mm`. `fits` are allowances on the diameter [mm] by seat (negative = press). `taper_mm_per_mm` is how
    much wider a hole's wider face is, per mm of thickness, on the diameter. Smallest hole and web are None where
    nobody has measured them. `dated` is an ISO 8601 date.
    """

    material: str | None
    family: str | None
    thickness_mm: Span | None
    kerf: Kerf
    taper_mm_per_mm: float
    fits: tuple[tuple[str, float], ...]
    smallest_hole_mm: float | None
    smallest_web_mm: float | None
    dated: str
    measured_by: str
    standing: Standing

    def speaks_of(self, material: Material) -> bool:
        """Whether it holds for this material."""
        if self.material is not None:
            return material.name == self.material or self.material in material.also
        if self.family != material.family or material.thickness_mm is None or self.thickness_mm is None:
            return False
        return self.thickness_mm.low <= material.thickness_mm <= self.thickness_mm.high

    @property
    def title(self) -> str:
        """Material's name, or family and thickness, for messages."""
        if self.material is not None:
            return self.material
        span = self.thickness_mm or Span(0, 0)
        return f"{self.family} {span.low:g} to {span.high:g} mm"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutter(Row):
    """A cutter.

    `compensates` says that the machine itself offsets its path by half the kerf: then files hold finished sizes.
    `cut_per_drawn_x` and `_y` are lengths measured on a cut part over lengths drawn; the file is corrected for them
    only where `correct_scale` is true; `scale_sigma` is the standard deviation of either. `position_sigma_x_mm` and
    `_y` are those of a hole's place, along each axis. All three are None where nobody measured them. `layers` are in
    cut order. `drawing_unit` is "mm" or "inch".
    """

    process: str
    bed_x_mm: float
    bed_y_mm: float
    compensates: bool
    correct_scale: bool
    cut_per_drawn_x: float
    cut_per_drawn_y: float
    drawing_unit: str
    layers: tuple[Layer, ...]
    lead_in: LeadIn | None
    calibrations: tuple[Calibration, ...]
    position_sigma_x_mm: float | None = None
    position_sigma_y_mm: float | None = None
    scale_sigma: float | None = None

    def calibration_for(self, material: Material) -> Calibration | None:
        """The calibration that holds for a material: one by its name before one by its family; None where none."""
        fitting = [entry for entry in self.calibrations if entry.speaks_of(material)]
        return min(fitting, key=lambda entry: entry.material is None, default=None)

    def layer(self, meaning: str) -> Layer:
        """The layer for "etch", "inner" or "outer"."""
        return next(layer for layer in self.layers if layer.meaning == meaning)


def read_cutter(row: Reader, name: str, front: Front) -> Cutter:
    """One row of cutters.toml."""
    common = read_common(row, name, front)
    process = row.text("process", PROCESSES)
    entries = row.subs("calibration")
    if not entries:
        row.fault("calibration", [], "no material was ever calibrated.", "at least one [[...calibration]] block")
    lead_in = row.sub("lead_in")
    cutter = Cutter(
        **common,
        process=process,
        bed_x_mm=row.length("bed_x", 50, 10_000),
        bed_y_mm=row.length("bed_y", 50, 10_000),
        compensates=row.flag("compensates", False),
        correct_scale=row.flag("correct_scale", False),
        cut_per_drawn_x=row.number("cut_per_drawn_x", 0.98, 1.02, 1.0),
        cut_per_drawn_y=row.number("cut_per_drawn_y", 0.98, 1.02, 1.0),
        drawing_unit=row.text("drawing_unit", DRAWING_UNITS, "mm"),
        layers=_read_layers(row),
        lead_in=_read_lead_in(lead_in) if lead_in else None,
        calibrations=tuple(_read_calibration(entry, process) for entry in entries),
        position_sigma_x_mm=row.maybe_number("position_sigma_x_mm", 0, 1, "mm"),
        position_sigma_y_mm=row.maybe_number("position_sigma_y_mm", 0, 1, "mm"),
        scale_sigma=row.maybe_number("scale_sigma", 0, 0.01),
    )
    row.done()
    return cutter


def _read_lead_in(table: Reader) -> LeadIn:
    lead = LeadIn(table.length("length", 0.1, 20), table.number("start_deg", -360, 360, 0.0, "deg"))
    table.done()
    return lead


def _read_layers(row: Reader) -> tuple[Layer, ...]:
    if not row.has("layers"):
        return DEFAULT_LAYERS
    layers = []
    for table in row.subs("layers"):
        layer = Layer(table.text("meaning", LAYER_MEANINGS), table.text("name"), table.whole("colour_index", 1, 255))
        if not re.fullmatch(r"[A-Za-z0-9_\-]{1,31}", layer.name):
            table.fault("name", layer.name, "not a safe layer name.", "up to 31 letters, digits, - and _")
        table.done()
        layers.append(layer)
    if sorted(layer.meaning for layer in layers) != sorted(LAYER_MEANINGS):
        row.fault("layers", [layer.meaning for layer in layers], "each meaning must come once.", "etch, inner, outer")
        return DEFAULT_LAYERS
    if len({layer.name.lower() for layer in layers}) != len(layers):
        row.fault("layers", [layer.name for layer in layers], "two layers have one name.")
    return tuple(layers)


def _read_calibration(entry: Reader, process: str) -> Calibration:
    material = entry.text("material") if entry.has("material") else None
    family = entry.text("family") if entry.has("family") else None
    if (material is None) == (family is None):
        entry.fault("", "calibration", "of which material?", "one of material, family")
    thickness = entry.span("thickness_mm", 0.2, 60) if family is not None else None
    fits = entry.sub("fits")
    if fits is None:
        entry.fault("fits", {}, "the allowances are missing.", "fits = {bearing_press_mm = -0.04, screw_mm = 0}")
    dated = entry.text("dated")
    if dated and not re.fullmatch(r"\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])", dated):
        entry.fault("dated", dated, "this is not a date.", '"2025-09-30"')
    calibration = Calibration(
        material=material,
        family=family,
        thickness_mm=thickness,
        kerf=_read_kerf(entry, WIDEST_KERF_MM.get(process, 12.7)),
        taper_mm_per_mm=entry.number("taper_mm_per_mm", 0, 0.2),
        fits=_read_fits(fits) if fits else (),
        smallest_hole_mm=entry.maybe_length("smallest_hole", 0.1, 20),
        smallest_web_mm=entry.maybe_length("smallest_web", 0.1, 20),
        dated=dated,
        measured_by=entry.text("measured_by"),
        standing=read_standing(entry, "standing"),
    )
    entry.done()
    return calibration


def _read_kerf(entry: Reader, widest_mm: float) -> Kerf:
    sigma = entry.number("kerf_sigma_mm", 0, 0.2, 0.0, "mm")
    if entry.has_length("kerf_x") or entry.has_length("kerf_y"):
        if entry.has_length("kerf"):
            entry.fault("", "kerf", "one kerf, or one for each axis: not both.")
        return Kerf(entry.length("kerf_x", 0, widest_mm), entry.length("kerf_y", 0, widest_mm), sigma)
    kerf = entry.length("kerf", 0, widest_mm)
    return Kerf(kerf, kerf, sigma)


def _read_fits(table: Reader) -> tuple[tuple[str, float], ...]:
    keys = {seat: f"{seat}_mm" for seat in SEATS}
    fits = tuple((seat, table.number(key, -0.5, 1.5, unit="mm")) for seat, key in keys.items() if table.has(key))
    table.done(known_too=keys.values())
    return fits
