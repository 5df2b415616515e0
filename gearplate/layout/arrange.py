"""Put everything in its place: positions in, a finished Layout out."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import cache

from gearplate.gears.mesh import Mesh, mesh
from gearplate.gears.spec import GearSpec
from gearplate.gears.working import base_contact_centre_mm
from gearplate.geometry.discs import hull_of_discs
from gearplate.geometry.path import area
from gearplate.layout.bodies import all_bodies, gears_on_shafts, margin_discs
from gearplate.layout.chain import free_shafts, mesh_needs, role_of
from gearplate.layout.constraints import GUARD_MM
from gearplate.layout.design import GearOnShaft, Hole, Layout, PlacedMesh, PlacedShaft, Stack
from gearplate.layout.holes import layout_holes
from gearplate.layout.spec import LayoutSpec


def placed_meshes(
    spec: LayoutSpec, gears: Sequence[GearOnShaft], positions: Mapping[str, tuple[float, float]]
) -> tuple[PlacedMesh, ...]:
    """The geometry of every mesh at the distance at which its shafts stand."""
    by_place = {(gear.shaft, gear.stage): gear for gear in gears}
    meshes = []
    for need in mesh_needs(spec):
        driver, driven = need.driver, need.driven
        centre = math.dist(positions[need.driver_shaft], positions[need.driven_shaft])
        if abs(centre - need.centre_mm) < 1e-9:
            centre = need.centre_mm  # the distance made the place: keep it exact instead of the rounded way back
        meshes.append(
            PlacedMesh(
                need.stage,
                by_place[need.driver_shaft, need.stage],
                by_place[need.driven_shaft, need.stage],
                need.zero_backlash_mm,
                centre - need.zero_backlash_mm,
                centre,
                _mesh_at(driver, driven, centre),
            )
        )
    return tuple(meshes)


@cache
def _mesh_at(driver: GearSpec, driven: GearSpec, centre_mm: float) -> Mesh:
    """The mesh at a distance. Nearer than the base circles there is none: then that of the nearest distance at which
    there is one comes back (its `centre_mm` tells), and the check of the centre distance refuses the job."""
    module, angle = driver.system.module_mm, driver.system.pressure_angle_rad
    nearest = float(base_contact_centre_mm(driver.teeth, driven.teeth, module, angle)) * (1.0 + 1e-6)
    return mesh(
        driver.teeth,
        driven.teeth,
        module_mm=module,
        pressure_angle_deg=math.degrees(angle),
        x1=driver.shift,
        x2=driven.shift,
        thinning_1_mm=driver.thinning_mm,
        thinning_2_mm=driven.thinning_mm,
        tip_diameter_1_mm=driver.tip_diameter_mm,
        tip_diameter_2_mm=driven.tip_diameter_mm,
        centre_mm=max(centre_mm, nearest),
    )


def hull_area_mm2(
    spec: LayoutSpec,
    holes: Sequence[Hole],
    gears: Sequence[GearOnShaft] = (),
    positions: Mapping[str, tuple[float, float]] | None = None,
) -> float:
    """Area of the convex hull of all margin discs of both plates, and of the gears where the plates guard them."""
    return area(hull_of_discs(hull_discs(spec, holes, gears, positions)))


def hull_discs(
    spec: LayoutSpec,
    holes: Sequence[Hole],
    gears: Sequence[GearOnShaft] = (),
    positions: Mapping[str, tuple[float, float]] | None = None,
) -> list[tuple[float, float, float]]:
    """The discs (x, y, radius), mm, that the plates' hull covers."""
    discs = [disc for hole in holes for disc in margin_discs(hole, spec.margin_mm)]
    if spec.cover_gears and positions is not None:
        discs += [(*positions[gear.shaft], 0.5 * gear.tip_diameter_mm + GUARD_MM) for gear in gears]
    return discs


def arrange(
    spec: LayoutSpec,
    stack: Stack,
    positions: Mapping[str, tuple[float, float]],
    clocking_rad: Mapping[str, float],
    standoffs: Sequence[tuple[float, float]],
    rail_holes: Sequence[tuple[float, float]],
    note: str = "",
) -> Layout:
    """The finished layout for chosen positions."""
    gears = gears_on_shafts(spec, stack)
    holes = layout_holes(spec, stack, gears, positions, clocking_rad, standoffs, rail_holes)
    free = set(free_shafts(spec))
    names = [*(motor.name for motor in spec.motors), *(shaft.name for shaft in spec.shafts)]
    return Layout(
        shafts=tuple(PlacedShaft(name, role_of(spec, name), *positions[name], name in free) for name in names),
        gears=gears,
        meshes=placed_meshes(spec, gears, positions),
        stack=stack,
        bodies=all_bodies(spec, stack, gears, positions, clocking_rad, standoffs, rail_holes),
        holes=holes,
        clocking_rad=tuple(sorted(clocking_rad.items())),
        standoffs=tuple(standoffs),
        rail_holes=tuple(rail_holes),
        hull_area_mm2=hull_area_mm2(spec, holes, gears, positions),
        solver_note=note,
    )
