"""What all tables of a job file have in common: which keys they have, and how each is read and described.

Our own reader rather than a validation library: every value here has a kind of its own with its own words
(`gearplate.job.kinds`), so that little was left for one to do, and importing and building it took longer than all the
rest of loading a job.
"""

from typing import Any, ClassVar, NamedTuple

from gearplate.job.kinds import MOST_ITEMS, Kind, Refused

# The value of a key that must be given and is not: the report names it, and nothing is built from such a table.
NEEDED: Any = None
SHOWN_KEYS = 6  # of a table that stands as something else: enough to recognise it by, `schema` has all

KeyPath = tuple[str | int, ...]


class Faults:
    """Collects what a reading finds wrong: the path, the table class there, and what was refused."""

    def __init__(self, catalog: Any) -> None:
        self.catalog = catalog
        self.refused: list[tuple[KeyPath, Refused]] = []
        self.unknown: list[tuple[KeyPath, type[Table]]] = []


class Key(NamedTuple):
    """One key of a table: how its value is read, and what it means."""

    shape: "Kind | Shape"
    description: str


class Table:
    """A table of the job file: no key but its own, no value of another type, nothing converted in silence.

    A class of it lists its keys as `name: Annotated[type, kind or shape, "what it means"] = None`. A key that is not
    given, or that was refused, is None. Nothing changes a table once it is read.

    `key`: the table's dotted key in `gearplate.job.defaults`, "" where its defaults are not listed by key.
    `needed`: the keys that must be given. `merged`: a job with a base may say a part of the table; the base says the
    rest. `shorthand`: the type that may stand in place of the table, and the key that it is then the value of.
    """

    key: ClassVar[str] = ""
    needed: ClassVar[tuple[str, ...]] = ()
    merged: ClassVar[bool] = False
    shorthand: ClassVar[tuple[type, str] | None] = None
    keys: ClassVar[dict[str, Key]] = {}

    def __init_subclass__(cls) -> None:
        marks = {name: getattr(hint, "__metadata__", None) for name, hint in cls.__annotations__.items()}
        cls.keys = {name: Key(*mark) for name, mark in marks.items() if mark is not None}

    def __init__(self, **values: Any) -> None:
        self.__dict__.update(values)

    @classmethod
    def _keys_in_words(cls) -> str:
        """Its keys, those that must be given first: whoever wrote `wheel = 4` looks for the key that 4 belongs to."""
        names = [*cls.needed, *(name for name in cls.keys if name not in cls.needed)]
        return ", ".join(names[:SHOWN_KEYS]) + (", ..." if len(names) > SHOWN_KEYS else "")

    @classmethod
    def _no_table(cls, value: Any) -> Refused:
        if cls.shorthand is None:
            return Refused("This is not a table.", f"a table {{ ... }} with {cls._keys_in_words()}")
        what = "no whole number"
        if isinstance(value, str):
            what = f"text: write {value.strip()} without quotes" if value.strip().isdecimal() else "text"
        return Refused(f"This is {what}.", "a tooth count (a whole number), or a table { ... }")

    @classmethod
    def read(cls, value: Any, path: KeyPath, faults: Faults) -> "Table | None":
        """The table that stands at a path; None where none does. Whatever is wrong in it goes to `faults`."""
        if cls.shorthand is not None and isinstance(value, cls.shorthand[0]) and not isinstance(value, bool):
            value = {cls.shorthand[1]: value}
        if not isinstance(value, dict):
            faults.refused.append((path, cls._no_table(value)))
            return None
        found: dict[str, Any] = {}
        for key, item in value.items():
            if key not in cls.keys:
                faults.unknown.append(((*path, key), cls))
                continue
            shape, here = cls.keys[key].shape, (*path, key)
            if isinstance(shape, Shape):
                found[key] = shape.read(item, here, faults)
                continue
            try:
                found[key] = shape.read_with(item, faults.catalog)
            except Refused as refused:
                faults.refused.append((here, refused))
        return cls(**found)


class Shape:
    """How tables stand under a key: one of them, unless a subclass says otherwise."""

    def __init__(self, table: type[Table]) -> None:
        self.table = table

    def read(self, value: Any, path: KeyPath, faults: Faults) -> Any:
        return self.table.read(value, path, faults)


class One(Shape):
    """A table."""


class FalseOr(Shape):
    """A table, or false for "there is none" (and with `true_too`, true for "there is, with its defaults")."""

    def __init__(self, table: type[Table], true_too: bool = False) -> None:
        super().__init__(table)
        self.plain: tuple[bool, ...] = (False, True) if true_too else (False,)

    def read(self, value: Any, path: KeyPath, faults: Faults) -> Any:
        return value if isinstance(value, bool) and value in self.plain else super().read(value, path, faults)


class Many(Shape):
    """A list of at most `most` tables; `or_one`: or a single one without brackets."""

    def __init__(self, table: type[Table], most: int = MOST_ITEMS, or_one: bool = False) -> None:
        super().__init__(table)
        self.most, self.or_one = most, or_one

    def read(self, value: Any, path: KeyPath, faults: Faults) -> Any:
        if self.or_one and isinstance(value, dict):
            value = [value]
        if not isinstance(value, list):
            faults.refused.append((path, Refused("This is not a list.", "a list [ ... ]")))
            return None
        if len(value) > self.most:
            faults.refused.append((path, Refused("There are too many entries.", f"at most {self.most}")))
            return None
        tables = [self.table.read(item, (*path, index), faults) for index, item in enumerate(value)]
        return None if None in tables else tables


class Named(Shape):
    """Tables by name, at most `most`."""

    def __init__(self, table: type[Table], most: int) -> None:
        super().__init__(table)
        self.most = most

    def read(self, value: Any, path: KeyPath, faults: Faults) -> Any:
        if not isinstance(value, dict):
            faults.refused.append((path, Refused("This is not a table.", "a table { ... }")))
            return None
        if len(value) > self.most:
            faults.refused.append((path, Refused("There are too many entries.", f"at most {self.most}")))
            return None
        tables = {name: self.table.read(item, (*path, name), faults) for name, item in value.items()}
        return {name: table for name, table in tables.items() if table is not None}
