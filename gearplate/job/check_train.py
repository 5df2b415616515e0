"""What in a job's gears, stages and motors contradicts itself, and what is missing there."""

from __future__ import annotations

from gearplate.job.kinds import near_text
from gearplate.job.model.train import Gear, Stage
from gearplate.job.reading import Reading
from gearplate.job.train import Level, first_level, pinion_table, top_level
from gearplate.source import KeyPath

_MOST_IDLERS = 8  # each is one more shaft to find a place for
_SURE_TEETH = 10  # from here up an unshifted standard gear has its teeth
_SIZE = "one of diametral_pitch (teeth per inch) and module (a length)"


def check_train(reading: Reading) -> None:
    """Stages or a reduction, tooth sizes, drivers and pinions."""
    file = reading.file
    if file.stages is not None and file.reduction is not None:
        message = "Both stages and a reduction are given: the counts are either given or chosen by the tool."
        reading.say(("reduction",), message, _one_of("stages", "reduction"), about=(("stages",),))
    elif file.stages is None and file.reduction is None:
        accepted = "stages = [{driven = 72}, ...] or reduction = {ratio = 10.5}"
        reading.say(("stages",), "This key is missing.", accepted, about=(("reduction",),))
    if file.stages is not None and not file.stages:
        reading.say(("stages",), "There is no stage in this list.", "1 to 6 stages")
    idlers = sum(len(stage.idlers or ()) for stage in reading.file.stages or ())
    if idlers > _MOST_IDLERS:
        reading.say(("stages",), f"These are {idlers} idlers in all.", f"at most {_MOST_IDLERS} in one gearbox")
    _sizes(reading)
    _drivers(reading)
    _reduction(reading)
    for path, gear, level in _gears(reading):
        _tip(reading, path, gear, level)
        _tooth(reading, path, gear, level)


def check_motors(reading: Reading) -> None:
    """How many motors, their pinions and screws."""
    groups = reading.file.motors
    if groups is None:
        return
    total = sum(group.count or 1 for group in groups)
    if not 1 <= total <= 4:
        reading.say(("motors",), f"These are {total} motors.", "1 to 4 motors on one gearbox")
    stages = reading.file.stages
    for number, group in enumerate(groups):
        path: KeyPath = ("motors", number)
        if stages and pinion_table(group, stages) is None:
            about = ((*path, "pinion"), ("stages",))
            reading.say((*path, "pinion"), "This key is missing.", "the tooth count of its pinion", about=about)
        if group.type is None:
            continue
        motor = reading.catalog.motor(group.type)
        tapped = motor.face.screw_count
        used = group.screws if group.screws is not None else 2
        if used > tapped:
            message = f"The face of {motor.name} has only {tapped} screw hole{'' if tapped == 1 else 's'}."
            reading.say((*path, "screws"), message, f"1 to {tapped}")
        screws = reading.catalog.fasteners()
        if motor.face.screw not in screws and not any(motor.face.screw in row.also for row in screws.values()):
            near = near_text(motor.face.screw, screws)
            message = f"Its profile names a screw that no table has: {motor.face.screw}.{near}"
            reading.say((*path, "type"), message)


def _one_of(first: str, second: str) -> str:
    return f'one of them; where the other stands in a base, drop = ["{first}"] or drop = ["{second}"] takes it away'


def _gears(reading: Reading) -> list[tuple[KeyPath, Gear, Level]]:
    """Every gear of the file with its path and the level above it."""
    found: list[tuple[KeyPath, Gear, Level]] = []
    top = top_level(reading)
    for number, stage in enumerate(reading.file.stages or ()):
        level, path = top.under(stage), ("stages", number)
        for key in ("driver", "driven"):
            gear = getattr(stage, key)
            if gear is not None:
                found.append(((*path, key), gear, level))
        found += [((*path, "idlers", index), gear, level) for index, gear in enumerate(stage.idlers or ())]
    first = first_level(reading)
    for number, group in enumerate(reading.file.motors or ()):
        if group.pinion is not None:
            found.append((("motors", number, "pinion"), group.pinion, first))
    return found


def _sizes(reading: Reading) -> None:
    file = reading.file
    levels: list[tuple[KeyPath, float | None, float | None]] = [((), file.diametral_pitch, file.module)]
    tables: list[tuple[KeyPath, Stage | Gear]] = [
        (("stages", number), stage) for number, stage in enumerate(file.stages or ())
    ]
    gears = _gears(reading)
    tables += [(path, gear) for path, gear, _ in gears]
    levels += [(path, table.diametral_pitch, table.module) for path, table in tables]
    for path, pitch, module in levels:
        if pitch is not None and module is not None:
            message = "Both a diametral pitch and a module are given."
            reading.say((*path, "module"), message, _one_of("diametral_pitch", "module"))
    unsized = any(level.under(gear).module_mm is None for _, gear, level in gears)
    if top_level(reading).module_mm is None and (unsized or file.reduction is not None):
        about: tuple[KeyPath, ...] = (("diametral_pitch",), ("module",))
        reading.say(("diametral_pitch",), "The size of the teeth is missing.", _SIZE, about=about)


def _drivers(reading: Reading) -> None:
    stages = reading.file.stages or []
    for number, stage in enumerate(stages):
        path: KeyPath = ("stages", number, "driver")
        if number and stage.driver is None:
            message = "This key is missing: only the first stage is driven by the motors' pinions."
            reading.say(path, message, "a tooth count, or a table { ... }")
        if number or stage.driver is None or stage.driver.teeth is None:
            continue
        for group, motors in enumerate(reading.file.motors or ()):
            pinion = motors.pinion
            if pinion is not None and pinion.teeth not in (None, stage.driver.teeth):
                message = f"The first stage is driven by the motors' pinions, and they have {pinion.teeth} teeth."
                about: tuple[KeyPath, ...] = (("motors", group, "pinion"),)
                reading.say(path, message, f"{pinion.teeth}, or no driver in the first stage", about=about)
                break


def _reduction(reading: Reading) -> None:
    wish = reading.file.reduction
    if wish is None:
        return
    named = [
        (("motors", number, "pinion"), group.pinion.teeth)
        for number, group in enumerate(reading.file.motors or ())
        if group.pinion is not None and group.pinion.teeth is not None
    ]
    counts = {teeth for _, teeth in named}
    if len(counts) > 1:
        message = "A wanted reduction needs one pinion for all motors; these differ."
        reading.say(named[-1][0], message, f"{named[0][1]} everywhere, or no pinion")
    elif named and wish.pinions is not None and named[0][1] not in wish.pinions:
        message = f"The motors' pinion has {named[0][1]} teeth, which is not in this list."
        reading.say(("reduction", "pinions"), message, "the motors' pinion, or no pinion at the motors")
    module = top_level(reading).module_mm
    if module is None:
        return
    angle = reading.file.pressure_angle or 20.0
    for key, role in (("pinions", "pinion"), ("drivers", "gear"), ("driven", "gear")):
        if getattr(wish, key) is not None or (key == "pinions" and named):
            continue
        if key == "drivers" and wish.stages is not None and max(wish.stages) == 1:
            continue
        if not reading.catalog.tooth_counts(module_mm=module, pressure_angle_deg=angle, role=role):
            message = "The gear catalogue has none of this size and pressure angle: say which you have."
            reading.say(("reduction", key), message, "a list of tooth counts")


def _tip(reading: Reading, path: KeyPath, gear: Gear, level: Level) -> None:
    module = level.under(gear).module_mm
    if gear.tip_diameter is None or gear.teeth is None or module is None:
        return
    standard = (gear.teeth + 2 + 2 * (gear.shift or 0.0)) * module
    if abs(gear.tip_diameter - standard) > 2 * module:
        message = f"{gear.teeth} teeth of this size have a tip diameter near {standard:.3f} mm."
        accepted = f"{standard - 2 * module:.2f} to {standard + 2 * module:.2f} mm"
        reading.say((*path, "tip_diameter"), message, accepted)


def _tooth(reading: Reading, path: KeyPath, gear: Gear, level: Level) -> None:
    """Whether a gear with these numbers has teeth at all. Ordinary ones are let through without computing."""
    inner = level.under(gear)
    ordinary = not gear.shift and not gear.thinning and gear.tip_diameter is None
    if gear.teeth is None or inner.module_mm is None or (ordinary and gear.teeth >= _SURE_TEETH):
        return
    from gearplate.gears.possible import require_possible_gear

    angle = inner.pressure_angle_deg or 20.0
    try:
        require_possible_gear(
            gear.teeth, inner.module_mm, angle, gear.shift or 0.0, gear.thinning or 0.0, gear.tip_diameter, ""
        )
    except ValueError as error:
        why = str(error).removeprefix("gear : ")
        reading.say(path, f"There is no such gear: {why}.", "more teeth, more shift or less thinning")
