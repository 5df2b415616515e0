"""The job file that `gearplate new` writes: short, complete, and commented for whoever meets it first."""

from __future__ import annotations

_PART = "my-drive"
SCHEMA_NAME = "job.schema.json"

_SCHEMA_THERE = f"""\
#:schema {SCHEMA_NAME}
# For editors that check and complete; gearplate schema > {SCHEMA_NAME} writes the file named above anew.
"""
# An editor that finds a schema named which is not there shows an error in a file that is right.
_SCHEMA_TO_COME = f"""\
##:schema {SCHEMA_NAME}
# For editors that check and complete: gearplate schema > {SCHEMA_NAME}, then take a # off the line above.
"""

_STARTING_JOB = """\
format = 1
part = "my-drive"            # a name of your own: on the plates, the pages and the files
units = "inch"               # of bare lengths here; text carries its own unit: "6 mm"

# The shop: ask whoever runs the cutter, and measure. The demo cutter's kerf and fits are invented.
cutter = "demo"              # kerf, fits and bed; list them: gearplate profiles cutters
material = "acetal-6mm"      # of both plates; list them: gearplate profiles materials
plates.measured = "6.1 mm"   # your sheet by caliper: bearings sit in the real thickness

# The robot.
wheel.diameter = 4           # over the tread
rail.height = 2              # the frame's tube rail; the axle stands half-way up
rail.width = 1.5             # along the axle, from the plates to the wheel's side

# The train, from the motors' pinion to the output. Its reduction: driven / driver of each stage, multiplied.
diametral_pitch = 20         # teeth per inch of diameter; 20 degrees unless pressure_angle is given
stages = [{driven = 72}, {driver = 32, driven = 60}]

# Motors: one table for a group of equal ones.
[motors]
type = "generic-a"           # face, body and shaft; list them: gearplate profiles motors
count = 2                    # 1 to 4 on one gearbox
pinion = 12                  # teeth of the gear on the motor's shaft
side = "outboard"            # body over the wheel; "inboard" stands toward the robot's middle
"""


def starting_job(part: str = _PART, schema_there: bool = False) -> str:
    """The text of a commented job of at most 30 lines that builds as it is. `part`: letters, digits and - _ . only.
    It names the schema for editors where that is there; else it says how it comes there, and the name waits."""
    head = _SCHEMA_THERE if schema_there else _SCHEMA_TO_COME
    comment = _STARTING_JOB.index("#", _STARTING_JOB.index(_PART))
    at = _STARTING_JOB.index(f'"{_PART}"')
    return head + f'{_STARTING_JOB[:at]}"{part}"'.ljust(comment - 1) + " " + _STARTING_JOB[comment:]
