"""How torque gets from gear to gear along a shaft: by the shaft itself, or past one that does not turn."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from gearplate.checks.job_keys import chain_of
from gearplate.checks.mated import gear_name
from gearplate.checks.rule import Outcome, Rule
from gearplate.finding import Finding, Remedy, Severity, Standing, Where

if TYPE_CHECKING:
    from gearplate.catalog.row import Bore
    from gearplate.checks.subject import Subject
    from gearplate.layout.design import GearOnShaft
    from gearplate.layout.spec import ShaftSpec

SAME_SIZE_MM = 0.05
TOUCHING_MM = 1e-6


class _Seated(NamedTuple):
    """A gear and the section of what it sits on."""

    gear: GearOnShaft
    section: Bore


def _seated(subject: Subject) -> Iterator[_Seated]:
    """Every gear that a turning shaft or a motor's shaft carries along. One of another tooth size than its mate is
    the wrong gear anyway."""
    from gearplate.catalog.row import Bore

    spec = subject.layout_spec
    unlike = [mesh for mesh in subject.layout.meshes if mesh.driver.gear.system != mesh.driven.gear.system]
    wrong = {gear for mesh in unlike for gear in (mesh.driver, mesh.driven)}
    turning = {shaft.name: shaft.stock.section for shaft in spec.shafts if shaft.turns}
    turning |= {motor.name: Bore("round", motor.motor.shaft_diameter_mm) for motor in spec.motors}
    for gear in subject.layout.gears:
        if gear.shaft in turning and gear not in wrong:
            yield _Seated(gear, turning[gear.shaft])


def _fixed(subject: Subject) -> list[tuple[ShaftSpec, list[str]]]:
    """Shafts that stand still under gears that must turn together; an idler's one gear turns alone."""
    found = []
    for shaft in subject.layout_spec.shafts:
        names = [gear_name(gear.shaft, gear.gear) for gear in subject.layout.gears if gear.shaft == shaft.name]
        if not shaft.turns and len(names) > 1:
            found.append((shaft, names))
    return found


def _torque_path(subject: Subject) -> Outcome:
    fixed = _fixed(subject)
    seated = list(_seated(subject))
    findings = [_join(subject, shaft, gears) for shaft, gears in fixed]
    plain = [shaft for shaft in subject.layout_spec.shafts if shaft.turns and not shaft.stock.section.hexagonal]
    if plain:
        findings.append(_round(subject, plain))
    unfit: dict[tuple[object, ...], list[_Seated]] = {}
    for one in seated:
        bores = subject.gear_bores.get(one.gear.gear.source, ())
        if bores and not any(_fits(bore, one.section) for bore in bores):
            unfit.setdefault((one.gear.gear.source, one.section), []).append(one)
    findings += [_no_bore(subject, group) for group in unfit.values()]
    return Outcome(len(fixed) + len(seated), tuple(findings))


def _fits(bore: Bore, section: Bore) -> bool:
    return bore.form == section.form and abs(bore.across_mm - section.across_mm) <= SAME_SIZE_MM + TOUCHING_MM


def _join(subject: Subject, shaft: ShaftSpec, gears: list[str]) -> Finding:
    place = subject.layout.shaft(shaft.name)
    names = " and ".join(gears)
    ways = []
    own = subject.raw.get("shafts", {}).get(shaft.name, {})
    if "turns" in own:
        ways.append(tuple((f"shafts.{shaft.name}.{key}", None) for key in ("turns", "stock", "fit") if key in own))
    text = f"Pin or bolt them to each other, or take both on one hub; or let {shaft.name} turn."
    remedy, others = chain_of([Remedy(text, way) for way in ways] or [Remedy(text)])
    return Finding(
        "torque-path",
        Severity.NOTE,
        f"{shaft.name} does not turn, and {names} must turn together on it: nothing but what you pin them with "
        "carries the torque from one to the other.",
        Where(shafts=(shaft.name,), x_mm=place.x_mm, y_mm=place.y_mm),
        standing=Standing.COMMON_PRACTICE,
        remedy=remedy,
        alternatives=others,
    )


def _round(subject: Subject, plain: list[ShaftSpec]) -> Finding:
    names = tuple(shaft.name for shaft in plain)
    stocks = " and ".join(dict.fromkeys(str(shaft.stock.section) for shaft in plain))
    return Finding(
        "torque-path",
        Severity.NOTE,
        f"{', '.join(names)}: {stocks} turns, and a plain round bore carries no torque: each gear there "
        f"{'and the wheel ' if 'output' in names else ''}wants a key, a pin or a clamping hub.",
        Where(shafts=names),
        standing=Standing.COMMON_PRACTICE,
        remedy=Remedy("Key, pin or clamp them, and leave room for it; a hexagon carries torque by its form."),
    )


def _no_bore(subject: Subject, group: list[_Seated]) -> Finding:
    gear, section = group[0].gear.gear, group[0].section
    names = ", ".join(dict.fromkeys(gear_name(one.gear.shaft, one.gear.gear) for one in group))
    bores = " or ".join(str(bore) for bore in subject.gear_bores[gear.source])
    return Finding(
        "torque-path",
        Severity.NOTE,
        f"{names}: no gear of {gear.source} is to be had for a shaft of {section}; its bores are {bores}.",
        Where(shafts=tuple(dict.fromkeys(one.gear.shaft for one in group))),
        standing=Standing.COMMON_PRACTICE,
        remedy=Remedy(
            f"Take a shaft of {bores}, bore or bush the gear, or write the gears that you have into gears.toml."
        ),
    )


RULES = (
    Rule(
        code="torque-path",
        title="How torque passes along a shaft",
        why="A large gear and the small one beside it on a shaft are one part of the train: what turns one must turn "
        "the other. On a shaft that stands still, or round in a plain bore, each spins by itself and the wheel stands "
        "still.",
        remedy="Take hexagonal stock, or keys, pins and clamping hubs; on a fixed shaft pin the gears to each other.",
        limit="a turning shaft carries torque by its form (hexagon) or by what you add (note on round stock); two "
        "gears on a fixed shaft are joined (note); the class of each bought gear lists a bore for its shaft, to "
        "0.05 mm (note; nothing is told of gears that no class has).",
        standing=Standing.COMMON_PRACTICE,
        source="common practice, no source; bores as the rows of gears.toml have them",
        applies_to="gears on turning shafts, and on fixed ones that carry more than one",
        check=_torque_path,
        present=lambda subject: sum(
            mesh.driver.gear.system == mesh.driven.gear.system for mesh in subject.layout.meshes
        ),
    ),
)
