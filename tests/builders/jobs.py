"""Random jobs for hypothesis: valid ones over all keys of the job file, and texts of jobs with something broken.

A valid job loads; whether it can be built is another matter (shafts stand where the dice put them).

hypothesis draws one run of bytes a job, and every choice takes the next of them: a hundred draws a job would take
longer than loading it. Zeros choose the plainest job, so that shrinking still leads to a small one.
"""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from typing import Any

from hypothesis import strategies as st

Job = dict[str, Any]

SIZES = (
    ("diametral_pitch", 20, (10, 16), (24, 80)),
    ("diametral_pitch", 24, (11, 16), (24, 84)),
    ("module", 1.0, (12, 16), (24, 90)),
    ("module", 1.25, (10, 16), (20, 72)),
    ("module", 1.37, (12, 20), (24, 60)),  # in no gear catalogue
)
SHAFTS = (("hex-1/2in", "FR8ZZ-hex"), ("hex-3/8in", "FR6ZZ-hex"), ("round-12mm", "F6801ZZ"), ("round-8mm", "608"))
MOTORS = (("generic-a", 4), ("generic-b", 4), ("nema-17", 4), ("can-500", 2), ("can-700", 2))
MATERIALS = ("acetal-6mm", "acetal-quarter-inch", "birch-ply-6mm", "acrylic-6mm")
PARTS = ("drive", "../../x", "a/b", "<b>&", "naïve 北", "CON", "x" * 60, '"q"', "a\\b", "%s{}", "  x", "~", "-o", ".")
ODD = "aZ09 _-./\\\"'<>&;$`%#*?|:~é北😀ß\u0301\u00a0\ufeff"


class Dice:
    """Choices out of a run of bytes; where it ends, zeros follow."""

    def __init__(self, run: bytes) -> None:
        self._bytes = iter(run)

    def byte(self) -> int:
        return next(self._bytes, 0)

    def integer(self, low: int, high: int) -> int:
        return low + (self.byte() * 256 + self.byte()) % (high - low + 1)

    def number(self, low: float, high: float) -> float:
        return low + (high - low) * (self.byte() * 256 + self.byte()) / 65535

    def pick(self, choices: Sequence[Any]) -> Any:
        return choices[self.byte() % len(choices)]

    def maybe(self, chance: int = 3) -> bool:
        """True once in `chance` + 1."""
        return self.byte() % (chance + 1) == chance

    def length(self, low_mm: float, high_mm: float, units: str) -> Any:
        """A length as a bare number in the file's units, or as text with a unit."""
        mm = self.number(low_mm, high_mm)
        form = self.byte() % 4
        if form == 2:
            return f"{mm:.3f} mm"
        if form == 3:
            return f"{mm / 25.4:.4f} in"
        return round(mm / 25.4, 4) if units == "inch" else round(mm, 3)

    def part(self) -> str:
        if self.maybe(2):
            text = "".join(self.pick(ODD) for _ in range(self.integer(1, 30)))
            return text if text.strip() else "x"
        return self.pick(PARTS)


def toml_value(value: Any) -> str:
    """A value as TOML on one line; tables become inline tables."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{toml_key(key)} = {toml_value(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(toml_value(item) for item in value) + "]"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, float) and not math.isfinite(value):
        return "nan" if math.isnan(value) else f"{'-' if value < 0 else ''}inf"
    return repr(value)


def toml_key(key: str) -> str:
    """A key as TOML, in quotes where it needs them."""
    bare = key.isascii() and key.replace("-", "a").replace("_", "a").isalnum()
    return key if bare else toml_value(key)


def job_text(job: Job) -> str:
    """The job as the text of a file."""
    return "".join(f"{toml_key(key)} = {toml_value(value)}\n" for key, value in job.items())


def valid_jobs() -> st.SearchStrategy[Job]:
    """Jobs that load. Most shafts have places; about a third of the jobs leave some free."""
    return st.binary(min_size=250, max_size=250).map(lambda run: valid_job(Dice(run)))


def valid_job(dice: Dice) -> Job:
    """One job that loads."""
    pick, integer, maybe = dice.pick, dice.integer, dice.maybe
    units = pick(["mm", "inch"])

    def length(low: float, high: float) -> Any:
        return dice.length(low, high, units)

    job: Job = {"format": 1, "part": dice.part(), "units": units, "cutter": "demo"}
    for key, choices in (
        ("revision", ["A", "B2", "1/2"]),
        ("title", ["", "a < b & c", "Ünïcode"]),
        ("hand", ["right", "left", "both"]),
        ("drawing_units", ["mm", "inch"]),
        ("pressure_angle", [14.5, 20, 25]),
    ):
        if maybe():
            job[key] = pick(choices)
    if maybe():
        job["added_centre"] = f"{integer(0, 10) / 100} mm"
    job["material"] = pick(MATERIALS)
    size_key, size, pinions, gears = pick(SIZES)
    job[size_key] = f"{size} mm" if size_key == "module" else size

    def gear(low: int, high: int) -> Any:
        teeth = integer(low, high)
        if not maybe(4):
            return teeth
        table: Job = {"teeth": teeth}
        if maybe(1):
            table["shift"] = pick([-0.2, 0, 0.1, 0.3, 0.5])
        if maybe(1):
            table["thinning"] = f"{integer(0, 20) / 100} mm"
        if maybe(1):
            table["face_width"] = length(5, 16)
        return table

    wants_ratio = maybe(9)
    stages: list[Job] = []
    if wants_ratio:
        job["reduction"] = {
            "ratio": pick([5, "6.25", "25/4", 10.5, "12:1"]),
            "within": 0.05,
            "stages": pick([1, 2, [1, 2]]),
            "pinions": list(range(pinions[0], pinions[1] + 1)),
            "drivers": [24, 28, 32],
            "driven": list(range(40, 61, 4)),
        }
    else:
        for number in range(integer(1, 3)):
            stage: Job = {"driven": gear(36, gears[1])}
            if number:
                stage["driver"] = gear(gears[0], 34)
            if maybe(6):
                stage["idlers"] = [gear(gears[0], 40) for _ in range(integer(1, 2))]
            stages.append(stage)
        job["stages"] = stages
    names = [f"S{number + 1}" for number in range(len(stages) - 1)]
    names += [f"I{number + 1}" for number in range(sum(len(stage.get("idlers", [])) for stage in stages))]

    groups = []
    left = integer(1, 4)
    while left:
        kind, holes = pick(MOTORS)
        group: Job = {"type": kind, "count": integer(1, left)}
        left -= group["count"]
        if not wants_ratio:
            group["pinion"] = gear(*pinions)
        if maybe(1):
            group["side"] = pick(["outboard", "inboard"])
        if maybe():
            group["screws"] = integer(1, holes)
        if maybe():
            group["clocking"] = integer(-360, 360)
        if maybe(6):
            group["slots"] = f"{integer(1, 4)} mm"
        groups.append(group)
    job["motors"] = groups[0] if len(groups) == 1 and maybe(1) else groups
    motors = [f"M{number + 1}" for number in range(sum(group["count"] for group in groups))]

    stock, bearing = pick(SHAFTS)
    job["shaft"] = {"stock": stock}
    if maybe(1):
        job["shaft"]["bearing"] = bearing
    if maybe():
        job["shaft"]["pressed_from"] = pick(["gap", "outside"])
    if maybe():
        job["shaft"]["fit"] = pick(["H7", "N7", "-0.04 mm", "0.05 mm", "J7"])
    if maybe():
        job["shaft"]["retainer"] = True
    shafts: Job = {}
    for name in names:
        if maybe(5):
            shafts[name] = pick(
                [
                    {"stock": "round-8mm", "turns": False},
                    {"outboard": False},
                    {"inboard": {"fit": "M7", "pressed_from": "outside"}},
                    {"stock": "round-10mm"},
                    {"spacer": "20 mm"},
                ]
            )
    rail: Any = None
    if maybe(6):
        job["rail"] = rail = False
    elif maybe(1):
        rail = {"height": f"{integer(30, 60)} mm", "width": length(25, 50), "wall": "3 mm"}
        if maybe(2):
            rail["holes"] = [["60 mm", "8 mm"], ["60 mm", "-8 mm"], ["-60 mm", "8 mm"], ["-60 mm", "-8 mm"]]
        elif maybe(2):
            rail["count"] = integer(2, 6)
        if maybe(4):
            rail |= {"mount": "astride", "axle_from_bottom": "65 mm"}
            rail.pop("holes", None)
        if maybe(4):
            rail["reliefs"] = [{"shaft": "output", "diameter": "30 mm"}, {"at": ["40 mm", "0 mm"], "diameter": "8 mm"}]
        job["rail"] = rail
    if rail is not False and maybe(5):
        shafts["output"] = {"carried_by": pick(["plates", "blocks", "both"])}
    if shafts:
        job["shafts"] = shafts

    job["wheel"] = {"diameter": length(60, 200)}
    if maybe():
        job["wheel"] |= {"width": length(10, 50), "clear": length(1, 6), "gap": length(2, 12)}
    if maybe(5):
        job["wheel"]["neighbours"] = ["-300 mm", "300 mm"]
    if maybe():
        job["standoffs"] = {"count": integer(2, 5), "screw": pick(["M5", "#10-32", "M4"])}
    elif maybe():
        job["standoffs"] = {"places": [[f"{60 * number - 60} mm", "90 mm"] for number in range(3)]}
    if maybe():
        keys = ["height", "width", "forward", "back", "up", "down", "inward", "outward"]
        job["limits"] = {key: f"{integer(90, 400)} mm" for key in keys if maybe()}
    plates: Job = {}
    for key, values in (
        ("margin", ["6 mm", "8 mm"]),
        ("outline", ["hull", "waisted"]),
        ("waist_radius", ["10 mm", "20 mm"]),
        ("cover_gears", [True, False]),
        ("lightening", [True, False, {"web": "8 mm"}]),
        ("marks", [True, False]),
        ("letter_height", ["3 mm", "4 mm"]),
        ("washers", [True, False]),
        ("web", ["5 mm"]),
        ("outboard", [{"face_up": "inboard"}, {"measured": "6.1 mm"}]),
        ("inboard", [{"face_up": "outboard"}]),
    ):
        if maybe(4):
            plates[key] = pick(values)
    if maybe(5) and not (rail and rail.get("mount") == "astride"):
        plates["gap"] = length(35, 60)
    if plates:
        job["plates"] = plates

    places: Job = {}
    chance = pick([0, 0, 2])  # of a shaft to be left free: none in two jobs of three
    for name in [*names, *motors] if not wants_ratio else motors:
        if chance and maybe(chance):
            continue
        if maybe(4):
            at = [integer(-150, 150), integer(20, 180)]
            places[name] = {"at": [f"{value} mm" for value in at]}
        else:
            places[name] = {"angle": integer(-20, 200)}
    if places:
        job["places"] = places

    holes = []
    for number in range(pick([0, 0, 0, 1, 3])):
        hole: Job = {"name": f"own-{number}"}
        if maybe(1):
            hole["plate"] = pick(["outboard", "inboard", "both"])
        if maybe(2):
            hole["kind"] = pick(["own", "access", "relief"])
        form = pick(["circle", "slot", "window"])
        if form != "circle":
            hole["form"] = form
        if form == "window":
            x, y = integer(-80, 80), integer(0, 120)
            hole["points"] = [[f"{x + dx} mm", f"{y + dy} mm"] for dx, dy in ((0, 0), (15, 0), (12, 10), (0, 12))]
            hole["corner_radius"] = "3 mm"
        else:
            hole["diameter"] = length(3, 12)
            if form == "slot":
                hole |= {"length": length(4, 15), "angle": integer(0, 180)}
            if maybe(1):
                hole["at"] = [length(20, 90), length(20, 90)]
            elif form == "slot" or maybe(1):
                hole |= {"shaft": "output", "radius": "45 mm", "angle": integer(0, 360)}
            else:
                hole |= {"shaft": pick([*names, "output", "M1"]), "offset": ["22 mm", "-20 mm"]}
        holes.append(hole)
    if holes:
        job["holes"] = holes
    if maybe(5):
        job["keep_outs"] = [
            {"name": "hose", "disc": {"at": [length(80, 160), length(20, 90)], "diameter": length(10, 40)}},
            {"name": "battery", "box": ["-200 mm", "100 mm", "-150 mm", "160 mm"], "z": ["-60 mm", "30 mm"]},
        ]
    if maybe(5):
        job["clearances"] = {"gear_tip": "0.8 mm", "still": "0.3 mm", "axial": "0.8 mm"}
    if maybe(4):
        job["layout"] = {"least": pick(["hull", "height", "width", ["width", "hull"]]), "spend": pick([0, 0.02, 0.1])}
    return job


_WRONG_VALUES: list[Any] = [
    0, -1, 7, 1e30, -1e-30, 10**30, math.nan, math.inf, True, False, "", "x", "4 in", "1/0 in", "M99", "S1", "\u0000",
    "\u202e", "../../etc", "{}", [], [[]], [1], [1, 2], ["a"], {}, {"teeth": 12}, {"a": {"b": {"c": 1}}}, [{}],
]  # fmt: skip


def _paths(value: Any, above: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    found = [above] if above else []
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, item in items:
        found += _paths(item, (*above, key))
    return found


def mangled_jobs() -> st.SearchStrategy[str]:
    """The texts of jobs in which one to four keys, values or characters are broken."""
    return st.binary(min_size=300, max_size=300).map(lambda run: mangled_job(Dice(run)))


def mangled_job(dice: Dice) -> str:
    """The text of one broken job."""
    faults = [dice.byte() for _ in range(40)]  # taken first, so that there are some left however long the job is
    job = valid_job(dice)
    dice = Dice(bytes(faults))
    pick, integer = dice.pick, dice.integer
    for _ in range(integer(0, 3)):
        path = pick(_paths(job))
        table: Any = job
        for key in path[:-1]:
            table = table[key]
        wrong = pick(_WRONG_VALUES)
        how = integer(0, 3)
        if how == 0 or isinstance(table, list):
            table[path[-1]] = wrong
        elif how == 1:
            del table[path[-1]]
        elif how == 2:
            table[str(path[-1]) + pick(["s", "_", "x y", "é"])] = table.pop(path[-1])
        else:
            table[pick(["base", "drop", "units", "extra", "stages", "reduction", "S9"])] = wrong
        if not job:
            break
    text = job_text(job)
    for _ in range(integer(0, 2) if dice.maybe(1) else 0):
        at = integer(0, max(len(text) - 1, 0))
        end = min(len(text), at + integer(0, 6))
        text = text[:at] + pick(["", "\n", '"', "[", "]", "{", "=", "\x00", "é", "9", "'''"]) + text[end:]
    return text
