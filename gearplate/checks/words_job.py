"""Words of a job file and of the account that are no plain English: names of shafts, and keys."""

from __future__ import annotations

from gearplate.checks.word import Word
from gearplate.finding import Standing

_OURS, _HERE = Standing.JOB, "this tool's own word"
_STD, _USE, _NO = Standing.STANDARD, Standing.COMMON_PRACTICE, "no source"

JOB_WORDS = (
    Word(
        "output",
        "The last shaft of the train: the wheel's axle. Its centre is the origin of every coordinate.",
        _OURS,
        _HERE,
        ("output axle", "axle"),
        ("frame", "S1"),
    ),
    Word(
        "S1",
        "The first intermediate shaft, counted from the motors: it carries the gear that the pinions drive, and the "
        "driver of the next stage. S2 is the next one; idlers are I1, I2 and so on.",
        _OURS,
        _HERE,
        ("S2", "S3", "I1", "I2", "intermediate shaft", "idler shaft"),
        ("output", "M1"),
    ),
    Word(
        "M1",
        "The first motor of the job file, and its shaft; M2 is the next one, also where one table says count = 3. "
        "--set motors.M2.side=inboard speaks of one of them.",
        _OURS,
        _HERE,
        ("M2", "M3", "M4"),
        ("S1", "clocking"),
    ),
    Word(
        "over the wheel",
        "Where a motor's body stands that is screwed to the outboard plate: on the wheel's side, above the wheel or "
        'beside it. In the job: side = "outboard". The other way is toward the robot\'s middle: side = "inboard".',
        _OURS,
        _HERE,
        ("toward the robot's middle",),
        ("outboard", "motor-to-wheel"),
    ),
    Word(
        "nominal",
        "The size by which a thing is sold or drawn, before it is measured: sheet of nominal 6 mm can be 6.3 mm thick. "
        "Rules on webs count in nominal thickness.",
        _USE,
        _NO,
        ("nominal thickness",),
        ("measured",),
    ),
    Word(
        "measured",
        "A size as your caliper shows it. plates.measured is the real thickness of the sheet: bearings sit in that, "
        "and screws and spacers are cut for it. Left out, the nominal thickness stands in, and the account says so.",
        _USE,
        _NO,
        ("measured thickness",),
        ("nominal", "calibration", "standing"),
    ),
    Word(
        "datum",
        "The point and the direction from which all places are measured, so that parts agree: here the centre of the "
        "output axle, x forward and y up. Both plates count their holes from it.",
        _STD,
        "ISO 5459, in our own words",
        see=("frame", "output", "registration"),
    ),
    Word(
        "H7",
        "A class of holes: the letter says where the tolerance begins (H: at the named size, only larger), the number "
        "how wide it is (7: for 28 mm, 0 to 0.021 mm over). A bearing pushed into H7 slides; N7 or P7 presses it.",
        _STD,
        "ISO 286-1, ISO 286-2",
        ("hole class", "tolerance class", "N7"),
        ("fit", "kerf"),
    ),
    Word(
        "float",
        "Play along a shaft that is left on purpose between its bearings, so that nothing is squeezed when the gap "
        "comes out narrow or the plates grow warm. In the job: shaft.float. A shaft wants some, and not much.",
        _USE,
        _NO,
        ("axial play", "end float"),
        ("axial-float", "spacer"),
    ),
    Word(
        "slot",
        'A hole with two parallel sides and round ends. Among your own holes: form = "slot", its length between '
        "the end centres. At a motor (motors.slots) its screws stand in slots along the line of centres, so that the "
        "backlash can be set by hand.",
        _USE,
        _NO,
        ("slots",),
        ("slot-travel", "slot-pilot", "backlash"),
    ),
    Word(
        "duty",
        "What the machine asks of the drive, and for how long: its mass, the grip of its wheels, hours of use. The "
        "strength of teeth, shafts and bearings is rated by it; without duty.mass nothing is rated.",
        _OURS,
        _HERE,
        ("duty cycle",),
        ("strength", "bearing-life"),
    ),
)
