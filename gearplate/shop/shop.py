"""The shop: one cutter with one material, as a value that is passed in. Never a global.

Each plate has its own, since plates may differ in material and thickness.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from gearplate.catalog.cutters import SEATS, Calibration, Cutter, Kerf
from gearplate.catalog.materials import Material
from gearplate.errors import JobError, Problem
from gearplate.finding import Standing
from gearplate.shop.fits import class_allowance_mm
from gearplate.shop.kerf import wider_face_mm

# What a plate's feature calls its seat -> the allowance that the cutter was calibrated for. "bearing" is pressed where
# the material bears it. "free" is a hole that nothing sits in: it is finished at its nominal size.
PLATE_SEATS = ("bearing", *SEATS, "free")


class NoCalibration(JobError):
    """The cutter was never calibrated for this material, or not for this seat in it. Nothing is guessed."""

    def __init__(self, cutter: Cutter, material: Material, message: str, known: tuple[str, ...]) -> None:
        self.cutter = cutter
        self.material = material
        self.message = message
        self.known = known
        super().__init__((self.at(cutter.file, None, f"cutter.{cutter.name}.calibration"),))

    def at(self, file: str, line: int | None, key: str) -> Problem:
        """This error as a Problem of the file, line and key that chose cutter or material."""
        return Problem(file, line, key, repr(self.material.name), self.message, ", ".join(self.known))


@dataclass(frozen=True, slots=True)
class Shop:
    """Cutter and material of one plate, with all that was measured on them.

    `thickness_mm` is the measured thickness where there is one (`measured`), the nominal one else. `kerf` and `taper`
    are the calibration's, unless the job gives a kerf of its own: then `kerf_standing` says so. `scale_x` and `_y` are
    what lengths in the file are multiplied by: 1 unless the cutter's row asks for a correction.
    """

    cutter: Cutter
    material: Material
    calibration: Calibration
    thickness_mm: float
    measured: bool
    kerf: Kerf
    kerf_standing: Standing
    scale_x: float
    scale_y: float

    @property
    def kerf_x_mm(self) -> float:
        """Width of the cut along x."""
        return self.kerf.x_mm

    @property
    def kerf_y_mm(self) -> float:
        """Width of the cut along y."""
        return self.kerf.y_mm

    @property
    def kerf_mm(self) -> float:
        """Nominal kerf: the mean of both axes."""
        return self.kerf.mean_mm

    @property
    def path_kerf_x_mm(self) -> float:
        """Kerf along x that the file has to make up for: 0 where the machine compensates by itself."""
        return 0.0 if self.compensates else self.kerf.x_mm

    @property
    def path_kerf_y_mm(self) -> float:
        """Kerf along y that the file has to make up for: 0 where the machine compensates by itself."""
        return 0.0 if self.compensates else self.kerf.y_mm

    @property
    def compensates(self) -> bool:
        """Whether the machine offsets its path by itself; then files hold finished sizes."""
        return self.cutter.compensates

    @property
    def taper_mm_per_mm(self) -> float:
        """How much wider a hole's wider face is, on the diameter, per mm of thickness."""
        return self.calibration.taper_mm_per_mm

    @property
    def presses_bearings(self) -> bool:
        """Whether bearings are pressed into this material by default: it bears it, and the press was calibrated."""
        return self.material.press_fit is not None and self.has_fit("bearing_press")

    def has_fit(self, seat: str) -> bool:
        """Whether this seat was calibrated in this material."""
        return any(name == seat for name, _ in self.calibration.fits)

    def allowance_mm(self, seat: str) -> float:
        """Allowance on the diameter of a seat: finished hole less the part in it, negative = press.

        `seat` is one of PLATE_SEATS.

        Raises:
            NoCalibration: this seat was never calibrated in this material on this cutter.
            ValueError: no such seat.
        """
        if seat not in PLATE_SEATS:
            raise ValueError(f"{seat!r} is no seat; seats are {', '.join(PLATE_SEATS)}")
        if seat == "free":
            return 0.0
        if seat == "bearing":
            seat = "bearing_press" if self.presses_bearings else "bearing_slip"
        for name, allowance_mm in self.calibration.fits:
            if name == seat:
                return allowance_mm
        message = f"the cutter {self.cutter.name!r} has no {seat} allowance for this material."
        raise NoCalibration(self.cutter, self.material, message, tuple(name for name, _ in self.calibration.fits))

    def finished_mm(
        self, part_mm: float, seat: str, fit_mm: float | None = None, fit_class: str | None = None
    ) -> float:
        """Finished diameter, at the narrower face, of the hole for a part: by the job's allowance where it gives one,
        else by its ISO 286 hole class (aimed at the zone's middle), else by this shop's allowance for the seat.

        Raises:
            NoCalibration: as allowance_mm.
            FitError: no such class.
        """
        if fit_mm is not None:
            return part_mm + fit_mm
        if fit_class is not None:
            return part_mm + class_allowance_mm(part_mm, fit_class)
        return part_mm + self.allowance_mm(seat)

    def wider_mm(self, finished_mm: float) -> float:
        """Diameter at the wider face of a hole that is finished_mm at the narrower one."""
        return wider_face_mm(finished_mm, self.taper_mm_per_mm, self.thickness_mm)


def shop_for(
    cutter: Cutter,
    material: Material,
    thickness_mm: float | None = None,
    measured_mm: float | None = None,
    kerf_mm: float | None = None,
) -> Shop:
    """The shop for one plate. `thickness_mm` is the job's nominal thickness where it differs from the material's,
    `measured_mm` the sheet as measured, `kerf_mm` a kerf of the job's own (both axes).

    Raises:
        NoCalibration: the cutter has none for this material; `known` lists those that it has.
        JobError: the material must never be cut, or has no thickness.
    """
    if material.never_cut:
        never = f"this must never be cut: {material.never_cut_why}."
        raise JobError((Problem(material.file, None, f"material.{material.name}", "", never),))
    nominal = material.thickness_mm if thickness_mm is None else thickness_mm
    if nominal is None:
        raise JobError((Problem(material.file, None, f"material.{material.name}", "", "no thickness is known."),))
    used = nominal if measured_mm is None else measured_mm
    if not (math.isfinite(used) and used > 0):
        raise ValueError(f"a thickness of {used} mm")
    calibration = cutter.calibration_for(material)
    if calibration is None:
        message = (
            f"the cutter {cutter.name!r} was never calibrated for this material. What mends it, once it is measured: a "
            f'[[cutter.{cutter.name}.calibration]] with material = "{material.name}" in profiles/cutters.toml beside '
            f"the job, under the cutter's whole row (gearplate profiles cutters {cutter.name})."
        )
        if cutter.process not in material.processes:
            message = f"a {cutter.process} does not cut this material; {' or '.join(material.processes)} does."
        raise NoCalibration(cutter, material, message, tuple(entry.title for entry in cutter.calibrations))
    kerf = calibration.kerf if kerf_mm is None else Kerf(kerf_mm, kerf_mm, calibration.kerf.sigma_mm)
    return Shop(
        cutter=cutter,
        material=material,
        calibration=calibration,
        thickness_mm=used,
        measured=measured_mm is not None,
        kerf=kerf,
        kerf_standing=calibration.standing if kerf_mm is None else Standing.MEASURED,
        scale_x=1.0 / cutter.cut_per_drawn_x if cutter.correct_scale else 1.0,
        scale_y=1.0 / cutter.cut_per_drawn_y if cutter.correct_scale else 1.0,
    )
