"""Words of gears and drives."""

from __future__ import annotations

from gearplate.checks.word import Word
from gearplate.finding import Standing

_ISO = "ISO 21771, ISO 1122"
_STD, _BOOK, _USE = Standing.STANDARD, Standing.HANDBOOK, Standing.COMMON_PRACTICE

GEAR_WORDS = (
    Word(
        "module",
        "Size of a gear's teeth: reference diameter / tooth count, in mm. Two gears run together only with the same "
        "module and the same pressure angle. m = 25.4 / diametral pitch: module 1.27 is diametral pitch 20.",
        _STD,
        "ISO 54, ISO 21771",
        see=("diametral pitch", "pressure angle", "look-alike-teeth"),
    ),
    Word(
        "diametral pitch",
        "Size of a gear's teeth in the inch world: teeth per inch of reference diameter. The larger the number, the "
        "smaller the teeth. A gear of 60 teeth and diametral pitch 20 is 3 in across its reference circle.",
        _STD,
        "AGMA 1012",
        ("dp",),
        ("module", "look-alike-teeth"),
    ),
    Word(
        "pressure angle",
        "Angle between the direction in which a tooth pushes and the direction in which the point of contact moves: "
        "20 degrees mostly, 14.5 in older gears, 25 for strong ones. At the reference circle it is the cutter's; "
        "where two gears really run it is the working pressure angle, cos(alpha_w) = m (z1 + z2) cos(alpha) / (2 a).",
        _STD,
        _ISO,
        ("working pressure angle",),
        ("module", "centre distance"),
    ),
    Word(
        "reference circle",
        "The circle by which a gear's size is told: diameter = module x tooth count. Without profile shift two gears "
        "roll on each other's reference circles; at any other centre distance they roll on their working (pitch) "
        "circles.",
        _STD,
        _ISO,
        ("pitch circle", "reference diameter", "pitch diameter"),
        ("module", "centre distance"),
    ),
    Word(
        "base circle",
        "The circle from which the involute of a flank unwinds: diameter = reference diameter x cos(pressure angle). "
        "There is no involute below it.",
        _STD,
        _ISO,
        see=("involute", "undercut"),
    ),
    Word(
        "involute",
        "The curve that the end of a taut string draws when it is unwound from a circle. Flanks of this form keep the "
        "speeds of two gears in one ratio at any centre distance, which is why a little play does no harm.",
        _STD,
        _ISO,
        see=("base circle", "contact ratio"),
    ),
    Word(
        "tip circle",
        "A gear's outside: diameter = (z + 2 + 2 x) x module for full-depth teeth with a profile shift of x modules. "
        "Measured on a bought gear it tells the module.",
        _STD,
        _ISO,
        ("tip diameter", "outside diameter", "addendum"),
        ("module", "profile shift"),
    ),
    Word(
        "root circle",
        "The bottoms of the tooth spaces: diameter = (z - 2.5 + 2 x) x module for the standard rack. Between a tip and "
        "the mate's root there stay about 0.25 modules.",
        _STD,
        "ISO 53, ISO 21771",
        ("dedendum", "tip clearance"),
        ("tooth-interference",),
    ),
    Word(
        "profile shift",
        "The cutter is set so many modules farther out (or in) than usual. Teeth become thicker at the root, the tip "
        "circle grows, and pinions with few teeth are no longer undercut. Small bought pinions mostly have about +0.5: "
        "they are cut on a blank for one tooth more. The centre distance grows with the sum of both shifts.",
        _STD,
        _ISO,
        ("shift", "long addendum"),
        ("undercut", "centre distance"),
    ),
    Word(
        "undercut",
        "A rack-shaped cutter takes away part of the flank near the root of a gear with few teeth: below 2 / "
        "sin(alpha)^2 of them, 17 at 20 degrees and 32 at 14.5. The tooth is weak and its contact short. Profile shift "
        "cures it.",
        _STD,
        _ISO,
        see=("profile shift", "tooth-interference", "contact ratio"),
    ),
    Word(
        "contact ratio",
        "How many pairs of teeth are in contact on the average: length of the path of contact / base pitch. Under 1 "
        "the drive is interrupted; 1.2 to 1.8 is usual. Counted here with the real flanks: undercut ones end early.",
        _BOOK,
        "ISO 21771; usual values from a question bank and handbooks",
        see=("undercut", "base circle"),
    ),
    Word(
        "backlash",
        "Play between the flanks of two gears, measured along the reference circle: about 2 x added centre distance x "
        "tan(pressure angle), plus what the teeth are cut thinner. A little is needed, or the teeth jam; too much "
        "knocks.",
        _STD,
        _ISO,
        ("play", "running play", "added centre", "added centre distance"),
        ("centre distance", "thinning"),
    ),
    Word(
        "thinning",
        "By how much a gear's teeth are cut thinner than the zero-backlash size, along the reference circle. Makers do "
        "it so that their gears have play at the nominal centre distance.",
        _STD,
        _ISO,
        see=("backlash",),
    ),
    Word(
        "centre distance",
        "Distance of two gears' axes. Without shift m (z1 + z2) / 2; 20 and 60 teeth of diametral pitch 20 stand (20 + "
        "60) / (2 x 20) = 2.000 in apart. Running play is added to it.",
        _STD,
        _ISO,
        ("center distance",),
        ("backlash", "mesh-centre"),
    ),
    Word(
        "stage",
        "One step of speed: a driver, a driven gear, and any idlers between. The ratio of a train is the product of "
        "driven / driver over its stages.",
        _STD,
        "ISO 1122",
        ("train", "ratio", "reduction"),
        ("idler", "mesh"),
    ),
    Word(
        "mesh",
        "Two gears in contact. Three motors on one gear are three meshes.",
        _STD,
        "ISO 1122",
        see=("stage", "contact ratio"),
    ),
    Word(
        "idler",
        "A gear between driver and driven one. It bridges distance and turns the sense of rotation; the ratio does not "
        "know of it.",
        _STD,
        "ISO 1122",
        see=("stage",),
    ),
    Word(
        "pinion", "The smaller gear of a mesh; here the one on a motor's shaft.", _STD, "ISO 1122", see=("gear", "mesh")
    ),
    Word(
        "gear",
        "A wheel with teeth. Here: its tooth count, tooth size, pressure angle, profile shift, face width.",
        _STD,
        "ISO 1122",
        see=("module", "face width"),
    ),
    Word(
        "face width",
        "Width of a gear's teeth along its shaft: 8 to 12 modules is usual.",
        _USE,
        "common practice, no source",
        see=("module",),
    ),
    Word(
        "hunting tooth",
        "Tooth counts without a common factor: every tooth meets every tooth of its mate in turn, which spreads wear.",
        Standing.FROM_MEMORY,
        "gear textbooks, from memory",
        see=("stage",),
    ),
    Word(
        "tooth interference",
        "Metal meets metal where it should not: a tip corner digs into the mate's root fillet, a tip reaches the "
        "bottom of a tooth space, or teeth come to a point.",
        _STD,
        _ISO,
        ("interference",),
        ("tooth-interference", "undercut"),
    ),
)
