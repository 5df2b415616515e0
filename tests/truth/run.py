"""Holds gearplate against worked examples of outside truth.

    python tests/truth/run.py FILE...

A file is TOML; every table of a list named `example` is one example: `kind` picks the function, `given` holds its
keyword arguments. Each value of `expected` must agree to 1e-6 (relative; near zero to 1e-9), or, of a kind whose
results are drawn, to the tolerance that its function's own `tolerance` tells; each value of `published` to its entry
in `published_tol`. What stands under `published_disagrees` is known to be misprinted and is
not compared. An unknown kind, a missing key and a function that fails count as misses.

A table of a list named `table` that has a `kind` is an example a row: its `columns` named in `inputs` are given, the
others expected, or published where `tolerance` has an entry for them; "" is no value.

Exit 0: all agree. 1: something missed. 2: a file that cannot be read, or that holds no example.
"""

from __future__ import annotations

import importlib.util
import math
import sys
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
KINDS_FOLDER = Path(__file__).resolve().parent / "kinds"

RELATIVE = 1e-6
NEAR_ZERO = 1e-9

Kind = Callable[..., Mapping[str, Any]]


class BadInput(Exception):
    """A file that is not of the form told above."""


@dataclass(frozen=True)
class Miss:
    """One value that does not agree."""

    file: str
    example: str
    key: str
    wanted: object
    got: object

    def __str__(self) -> str:
        return f"{self.file}: {self.example}: {self.key}: wanted {self.wanted!r}, got {self.got!r}"


@dataclass(frozen=True)
class Outcome:
    """What one example came to: how many values were compared, and which of them missed."""

    compared: int
    misses: tuple[Miss, ...]


def all_kinds(folder: Path = KINDS_FOLDER) -> dict[str, Kind]:
    """Every kind of example that the modules of `folder` know, each in its `KINDS`."""
    if str(ROOT) not in sys.path:  # as a plain script only this file's own folder is there
        sys.path.insert(0, str(ROOT))
    kinds: dict[str, Kind] = {}
    for path in sorted(folder.glob("[!_]*.py")):
        name = f"truth_kinds_{path.stem}"
        spec = importlib.util.spec_from_file_location(name, path)
        assert spec is not None
        assert spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        sys.modules[name] = module  # dataclasses look their own module up there
        spec.loader.exec_module(module)
        for kind, function in module.KINDS.items():
            if kind in kinds:
                raise RuntimeError(f"{path.name}: the kind {kind!r} is there twice")
            kinds[kind] = function
    return kinds


def read_examples(path: Path) -> list[dict[str, Any]]:
    """The example tables of a file, wherever they hang. Raises BadInput."""
    try:
        document = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as fault:
        raise BadInput(f"{path}: {fault}") from fault
    examples = list(_examples(document))
    for number, example in enumerate(examples, 1):
        name = example.get("id", f"example {number}")
        if not isinstance(example.get("kind"), str):
            raise BadInput(f"{path}: {name}: it names no kind")
        for part in ("given", "expected", "published", "published_tol"):
            if not isinstance(example.get(part, {}), dict):
                raise BadInput(f"{path}: {name}: {part} is not a table")
        if not example.get("expected") and not example.get("published"):
            raise BadInput(f"{path}: {name}: it has neither expected nor published values")
    return examples


def _examples(table: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    for key, value in table.items():
        if key == "example" and isinstance(value, list):
            yield from (item for item in value if isinstance(item, dict))
        elif key == "table" and isinstance(value, list):
            yield from (row for item in value if isinstance(item, dict) and "kind" in item for row in _rows(item))
        elif isinstance(value, dict):
            yield from _examples(value)


def _rows(table: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    columns, inputs, tolerance = table["columns"], table["inputs"], table.get("tolerance", {})
    for values in table["rows"]:
        row = {column: value for column, value in zip(columns, values, strict=True) if value != ""}
        given = {column: row.pop(column) for column in inputs}
        yield {
            "id": " ".join(map(str, (table["name"], *given.values()))),
            "kind": table["kind"],
            "mark": table["mark"],
            "source": table["source"],
            "given": given,
            "expected": {column: value for column, value in row.items() if column not in tolerance},
            "published": {column: value for column, value in row.items() if column in tolerance},
            "published_tol": {column: tolerance[column] for column in row if column in tolerance},
        }


def run_example(example: Mapping[str, Any], kinds: Mapping[str, Kind], file: str = "") -> Outcome:
    """Compares one example with what its kind's function returns."""
    name = str(example.get("id", example.get("title", "example without id")))
    kind = kinds.get(example["kind"])
    if kind is None:
        return Outcome(0, (Miss(file, name, "kind", example["kind"], "no function of that kind"),))
    try:
        got = dict(kind(**example.get("given", {})))
    except Exception as fault:  # whatever a kind's function does wrong is a miss of this example, not the end
        return Outcome(0, (Miss(file, name, "kind", example["kind"], f"{type(fault).__name__}: {fault}"),))
    misses: list[Miss] = []
    compared = 0
    tolerance_of = getattr(kind, "tolerance", None)
    for key, wanted in example.get("expected", {}).items():
        compared += 1
        allowed = None if tolerance_of is None else tolerance_of(key, got)
        if key not in got:
            misses.append(Miss(file, name, key, wanted, "not returned"))
        elif not agrees_as_printed(got[key], wanted, allowed):
            misses.append(Miss(file, name, key, wanted, got[key]))
    misprinted = example.get("published_disagrees", ())
    for key, wanted in example.get("published", {}).items():
        if key in misprinted:
            continue
        compared += 1
        tolerance = example.get("published_tol", {}).get(key)
        if key not in got:
            misses.append(Miss(file, name, f"published {key}", wanted, "not returned"))
        elif not agrees_as_printed(got[key], wanted, tolerance):
            misses.append(Miss(file, name, f"published {key}", wanted, got[key]))
    return Outcome(compared, tuple(misses))


def agrees(got: object, wanted: object) -> bool:
    """Equal; numbers to 1e-6 of their size (1e-9 near zero); lists and tables element by element."""
    return _compare(got, wanted, lambda g, w: math.isclose(g, w, rel_tol=RELATIVE, abs_tol=NEAR_ZERO))


def agrees_as_printed(got: object, wanted: object, tolerance: object) -> bool:
    """Within the tolerance (one for all, or a list of them); without one as `agrees`."""
    if tolerance is None:
        return agrees(got, wanted)
    if isinstance(tolerance, list):
        return (
            isinstance(wanted, list)
            and isinstance(got, list | tuple)
            and len(got) == len(wanted) == len(tolerance)
            and all(agrees_as_printed(g, w, t) for g, w, t in zip(got, wanted, tolerance, strict=True))
        )
    if isinstance(tolerance, bool) or not isinstance(tolerance, int | float):
        return False
    # The last place of the tolerance itself is in floats: 0.1 must hold between 1.0 and 1.1.
    allowed = tolerance * (1 + 1e-9) + 1e-12
    return _compare(got, wanted, lambda g, w: abs(g - w) <= allowed or g == w)


def _compare(got: object, wanted: object, close: Callable[[float, float], bool]) -> bool:
    if hasattr(got, "tolist"):  # numpy's arrays, numbers and truth values
        got = got.tolist()
    if isinstance(wanted, list):
        return (
            isinstance(got, list | tuple)
            and len(got) == len(wanted)
            and all(_compare(g, w, close) for g, w in zip(got, wanted, strict=True))
        )
    if isinstance(wanted, dict):
        return isinstance(got, dict) and all(k in got and _compare(got[k], w, close) for k, w in wanted.items())
    if isinstance(wanted, bool) or isinstance(got, bool):
        return got is wanted
    if isinstance(wanted, int | float) and isinstance(got, int | float):
        return close(float(got), float(wanted))
    return type(got) is type(wanted) and got == wanted


def run_file(path: Path, kinds: Mapping[str, Kind] | None = None) -> list[Outcome]:
    """Every example of a file. Raises BadInput."""
    known = all_kinds() if kinds is None else kinds
    return [run_example(example, known, str(path)) for example in read_examples(path)]


def main(arguments: list[str]) -> int:
    if not arguments or any(argument in ("-h", "--help") for argument in arguments):
        print(__doc__, file=sys.stderr)
        return 0 if arguments else 2
    kinds = all_kinds()
    bad = False
    outcomes: list[Outcome] = []
    for argument in arguments:
        try:
            found = run_file(Path(argument), kinds)
        except BadInput as fault:
            print(fault, file=sys.stderr)
            bad = True
            continue
        if not found:
            print(f"{argument}: no example in it", file=sys.stderr)
            bad = True
        outcomes += found
    for outcome in outcomes:
        for miss in outcome.misses:
            print(miss)
    agreeing = sum(not outcome.misses for outcome in outcomes)
    compared = sum(outcome.compared for outcome in outcomes)
    print(f"{agreeing} of {len(outcomes)} examples agree, {compared} values compared")
    if bad:
        return 2
    return 0 if agreeing == len(outcomes) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
