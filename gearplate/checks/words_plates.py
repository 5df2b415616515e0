"""Words of plates, cutting and the robot around them."""

from __future__ import annotations

from gearplate.checks.word import Word
from gearplate.finding import Standing

_STD, _BOOK, _USE, _OURS = Standing.STANDARD, Standing.HANDBOOK, Standing.COMMON_PRACTICE, Standing.GEOMETRY
_NO = "common practice, no source"
_HERE = "how gearplate uses the word"

PLATE_WORDS = (
    Word(
        "kerf",
        "Width of the cut: what the beam takes away. A hole cut along a path is one kerf wider than the path, a plate "
        "one kerf smaller, so paths are drawn that much smaller and larger: path of a hole = finished hole - kerf. It "
        "differs by machine, sheet, focus, and along x and y: measure it on the sheet in use.",
        _BOOK,
        "a cutting service's help page; university pages on laser cutting",
        see=("taper", "fit", "calibration"),
    ),
    Word(
        "taper",
        "A beam cuts a wedge: one face of a hole is wider than the other, by taper x thickness on the diameter. Sizes "
        "here are those of the narrower face. Bearings enter from the wider one.",
        _BOOK,
        "a university exercise on laser-cut holes",
        see=("kerf", "face up"),
    ),
    Word(
        "fit",
        "Finished hole less the part that goes in. Below zero the part is pressed (press fit), above it slips in. A "
        "hole class of ISO 286 such as H7 names a whole tolerance zone; cut holes are aimed at its middle and do not "
        "hold it.",
        _STD,
        "ISO 286-1; fits in cut plastic are common practice, no source",
        ("press fit", "slip fit", "allowance"),
        ("kerf", "acrylic-press-fit"),
    ),
    Word(
        "calibration",
        "What a coupon cut on your own cutter, from your own sheet, showed: kerf along x and y, taper, and the hole "
        "into which each part goes as it should. It stands in the cutter's profile, with its date.",
        _OURS,
        _HERE,
        ("coupon",),
        ("kerf", "fit", "profiles"),
    ),
    Word(
        "lead-in",
        "A bore's cut starts inside the piece that falls out, and enters the path where the bearing presses least: "
        "piercing leaves a mark.",
        _USE,
        _NO,
        see=("kerf",),
    ),
    Word(
        "web",
        "Material between two holes, or between a hole and the edge. At least one sheet thickness is usual, and 3 mm "
        "in plastic.",
        Standing.FROM_MEMORY,
        "common practice, from memory",
        ("bar",),
        ("edge", "smallest-feature", "margin"),
    ),
    Word(
        "edge distance",
        "From a hole's centre to the edge. For loaded screws at least 1.5 diameters of the hole, 2 where the load "
        "pulls toward the edge.",
        _BOOK,
        "bolted-joint guides",
        see=("edge", "web"),
    ),
    Word(
        "margin",
        "Material that the outline keeps round every hole (plates.margin).",
        _OURS,
        _HERE,
        see=("hull", "web"),
    ),
    Word(
        "hull",
        "The outline like a rubber band round all margins: arcs and lines that meet smoothly, nowhere hollow. A "
        "waisted outline has hollows, rounded by a fillet.",
        _OURS,
        "convex hull, as in geometry",
        ("outline", "waist", "waisted"),
        ("margin",),
    ),
    Word(
        "contacts",
        "What a shaft that the tool placed stands at, or nearest to: wheel, rail, another motor, a limit. Its room is "
        "the gap less what must be kept there. It stands at what it has least room to, within 0.25 mm; that room is 0 "
        "to 2 mm, bought with up to 2 % of the hull. To make the drive smaller, something must give way there: another "
        "place for what stands there, or a clearance that may be less. What is more than 10 mm off, or meshes with the "
        "shaft, is no contact.",
        _OURS,
        _HERE,
        ("contact",),
        ("hull", "margin"),
    ),
    Word(
        "window",
        "A closed cut-out of lines and arcs. Lightening windows take out what carries little.",
        _OURS,
        _HERE,
        ("lightening",),
        ("web",),
    ),
    Word(
        "pilot",
        "The round boss on a motor's face that centres it in its plate. Its hole is a little wider; screws alone do "
        "not hold the centre distance.",
        _STD,
        "NEMA ICS 16 for stepping motors; else the motor's own",
        ("pilot boss",),
        ("slot-pilot", "motor-service"),
    ),
    Word(
        "screw circle",
        "The circle on which a motor face's screw holes lie.",
        _USE,
        _NO,
        ("bolt circle",),
        ("clocking", "pilot"),
    ),
    Word(
        "clocking",
        "How a motor is turned about its own axis: the direction of its first used screw hole, in degrees from forward "
        "toward up. It decides whether screw heads clear the gears and can be reached.",
        _USE,
        _NO,
        see=("screw circle", "motor-service"),
    ),
    Word(
        "standoff",
        "A post between the plates with a screw into each end. Three at least, one near each loaded shaft, no more "
        "than 100 mm apart in 6 mm plastic.",
        _USE,
        _NO,
        ("spacer post",),
        ("standoff-clearance", "spacer"),
    ),
    Word(
        "spacer",
        "A tube on a shaft, or round a long screw, that keeps two things apart along it.",
        _USE,
        _NO,
        see=("standoff",),
    ),
    Word(
        "flange",
        "A rim on a bearing's outer ring. It lies on the plate's face and keeps the bearing from going through; it "
        "does not count as seat.",
        _USE,
        _NO,
        see=("retainer", "bearing-seat"),
    ),
    Word(
        "retainer",
        "A small plate or ring screwed over a bearing so that it cannot come out.",
        _USE,
        _NO,
        see=("flange", "bearing-retainer"),
    ),
    Word(
        "seat",
        "What a bearing sits on in its plate: the plate's measured thickness, or the ring's width without its flange, "
        "whichever is less.",
        _USE,
        _NO,
        see=("bearing-seat", "flange"),
    ),
    Word(
        "access hole",
        "A hole in one plate through which a driver reaches a screw that holds a motor to the other.",
        _OURS,
        _HERE,
        ("access",),
        ("motor-service",),
    ),
    Word(
        "relief",
        "A hole that lets something stand proud: in the rail's wall, or in a plate.",
        _OURS,
        _HERE,
        see=("rail-face",),
    ),
    Word(
        "keep-out",
        "Room of your own that plates, motors, gears and screws stay out of: a disc or a box, with an extent along z.",
        _OURS,
        _HERE,
        ("keep_outs",),
    ),
    Word(
        "outboard",
        "The plate that faces the wheel. The inboard plate faces the robot's middle. A motor's side says where its "
        "body stands: outboard = over the wheel, inboard = toward the middle.",
        _OURS,
        _HERE,
        ("inboard", "side"),
        ("hand", "rail"),
    ),
    Word(
        "hand",
        "A robot has a right and a left gearbox, mirror images of each other. One hole stands deliberately odd, so "
        "that a plate of the other hand cannot be bolted on.",
        _OURS,
        _HERE,
        see=("wrong-hand", "face up"),
    ),
    Word(
        "face up",
        "The face of a plate that lies up in the cutter, and is etched. By default the one from which its bearings are "
        "pressed. If that face looks toward the robot's middle, the file shows the plate turned over.",
        _OURS,
        _HERE,
        see=("hand", "taper"),
    ),
    Word(
        "rail",
        "The tube of the frame that carries the gearbox. Beside: both plates on its inner side. Astride: one plate on "
        "each side, the box above it.",
        _OURS,
        _HERE,
        ("beside", "astride"),
        ("rail-face",),
    ),
    Word(
        "frame",
        "All coordinates: x forward, y up, z toward the wheel, from the axle's axis, seen from the wheel's side. "
        "Angles run from forward toward up.",
        _OURS,
        _HERE,
        ("coordinates",),
        ("outboard",),
    ),
    Word(
        "job",
        "One file that says what is wanted. It may start from another (base), drop keys of it, and change a few.",
        _OURS,
        _HERE,
        ("base",),
        ("profiles",),
    ),
    Word(
        "profiles",
        "Tables of what a job can name: motors, gears, bearings, screws, shafts, materials, cutters. A folder profiles "
        "beside the job file is laid over them, row by row.",
        _OURS,
        _HERE,
        ("profile",),
        ("job", "calibration"),
    ),
    Word(
        "standing",
        "Where a value or a limit comes from: standard, handbook, common practice, from memory, measured here, "
        "invented, geometry, or set by the job. It stands beside every limit.",
        _OURS,
        _HERE,
        see=("finding",),
    ),
    Word(
        "finding",
        "One result of one check. An error: it cannot be built or cut, and there is no cut file. A warning: against "
        "trade practice. A note: it cannot be helped.",
        _OURS,
        _HERE,
        ("error", "warning", "note", "severity"),
        ("standing", "draft"),
    ),
    Word(
        "draft",
        "Cut files made in spite of errors (--draft). Their names and their etched marks say DRAFT: for looking at, "
        "not for use.",
        _OURS,
        _HERE,
        see=("finding",),
    ),
    Word(
        "record",
        "design.json: everything about a finished design, for programs; pages and pictures are made from it.",
        _OURS,
        _HERE,
        ("design record",),
    ),
    Word(
        "registration",
        "That the holes which both plates share stand at the same places, once each is turned as it was cut.",
        _USE,
        _NO,
        see=("face up",),
    ),
    Word(
        "gap",
        "Distance between the plates' inner faces. Gears, flanges and screw heads share it.",
        _OURS,
        _HERE,
        see=("gap-room",),
    ),
)
