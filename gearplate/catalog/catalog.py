"""All tables, overlaid folder by folder, each read when it is first asked for."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol, TypeVar, cast

from gearplate.catalog.folders import profiles_folder
from gearplate.catalog.tables import TABLES, read_table
from gearplate.catalog.unknown import UnknownProfile
from gearplate.errors import FileError, JobError, Problem

if TYPE_CHECKING:
    from gearplate.catalog.bearings import Bearing
    from gearplate.catalog.common import Front
    from gearplate.catalog.cutters import Cutter
    from gearplate.catalog.fasteners import Fastener
    from gearplate.catalog.gears import BoughtGear, GearClass
    from gearplate.catalog.materials import Material
    from gearplate.catalog.motors import Motor
    from gearplate.catalog.reading import Reader
    from gearplate.catalog.retainers import Retainer
    from gearplate.catalog.shafts import Chain, ShaftStock
    from gearplate.catalog.strengths import Strength


class _Named(Protocol):
    @property
    def name(self) -> str: ...
    @property
    def also(self) -> tuple[str, ...]: ...


R = TypeVar("R", bound=_Named)


class Catalog:
    """The tables of one or more folders. A row of a later folder takes the place of a row of the same name before it.

    Every look-up by name raises UnknownProfile where no table has the name, and JobError (all problems of that table,
    with file and line) where the table itself is wrong.
    """

    def __init__(self, folders: Sequence[Path]) -> None:
        self.folders = tuple(folders)
        self._tables: dict[str, Mapping[str, Any]] = {}
        self._aliases: dict[str, dict[str, str]] = {}
        self._gears: dict[tuple[float, float], list[GearClass]] | None = None

    def table(self, table: str) -> Mapping[str, Any]:
        """All rows of a table ("motors", ...) by name, in the order of the files.

        Raises:
            KeyError: no table is called so.
        """
        if table not in TABLES:
            raise KeyError(table)
        rows: Mapping[str, Any] = getattr(self, table)()
        return rows

    def problems(self) -> tuple[Problem, ...]:
        """All that is wrong in all tables, those too that nobody asked for."""
        found: list[Problem] = []
        for table in TABLES:
            try:
                self.table(table)
            except JobError as error:
                found += error.problems
        return tuple(found)

    def motors(self) -> Mapping[str, Motor]:
        """All motors by name."""
        from gearplate.catalog.motors import read_motor

        return self._rows("motors", read_motor)

    def gears(self) -> Mapping[str, GearClass]:
        """All classes of bought gears by name."""
        from gearplate.catalog.gears import read_gear_class

        return self._rows("gears", read_gear_class)

    def bearings(self) -> Mapping[str, Bearing]:
        """All bearings by designation."""
        from gearplate.catalog.bearings import read_bearing

        return self._rows("bearings", read_bearing)

    def fasteners(self) -> Mapping[str, Fastener]:
        """All screws by size."""
        from gearplate.catalog.fasteners import read_fastener

        return self._rows("fasteners", read_fastener)

    def shafts(self) -> Mapping[str, ShaftStock]:
        """All bar for shafts by name."""
        from gearplate.catalog.shafts import read_shaft

        return self._rows("shafts", read_shaft)

    def retainers(self) -> Mapping[str, Retainer]:
        """All rings and collars for shafts by name."""
        from gearplate.catalog.retainers import read_retainer

        return self._rows("retainers", read_retainer)

    def chain(self) -> Mapping[str, Chain]:
        """All chains by their ANSI number."""
        from gearplate.catalog.shafts import read_chain

        return self._rows("chain", read_chain)

    def materials(self) -> Mapping[str, Material]:
        """All sheet materials by name, those that must never be cut among them."""
        from gearplate.catalog.materials import read_material

        return self._rows("materials", read_material)

    def strengths(self) -> Mapping[str, Strength]:
        """What materials stand, by family."""
        from gearplate.catalog.strengths import read_strength

        return self._rows("strengths", read_strength)

    def cutters(self) -> Mapping[str, Cutter]:
        """All cutters by name."""
        from gearplate.catalog.cutters import read_cutter

        return self._rows("cutters", read_cutter)

    def motor(self, name: str) -> Motor:
        """A motor by name."""
        return self._find("motors", self.motors(), name)

    def bearing(self, name: str) -> Bearing:
        """A bearing by designation."""
        return self._find("bearings", self.bearings(), name)

    def fastener(self, name: str) -> Fastener:
        """A screw by size."""
        return self._find("fasteners", self.fasteners(), name)

    def shaft(self, name: str) -> ShaftStock:
        """Bar for shafts by name."""
        return self._find("shafts", self.shafts(), name)

    def retainer(self, name: str) -> Retainer:
        """A ring or collar by name."""
        return self._find("retainers", self.retainers(), name)

    def chain_row(self, name: str) -> Chain:
        """A chain by its ANSI number."""
        return self._find("chain", self.chain(), name)

    def material(self, name: str) -> Material:
        """A sheet material by name. A sheet that no table has but whose name speaks of a material that must never be
        cut ("pvc-4mm") is that material."""
        rows = self.materials()
        if name not in rows:
            forbidden = next((row for row in rows.values() if row.never_cut and row.names(name)), None)
            if forbidden is not None:
                return forbidden
        return self._find("materials", rows, name)

    def strength(self, name: str) -> Strength:
        """What a family of material stands."""
        return self._find("strengths", self.strengths(), name)

    def cutter(self, name: str) -> Cutter:
        """A cutter by name."""
        return self._find("cutters", self.cutters(), name)

    def find_gear(
        self,
        teeth: int,
        *,
        pressure_angle_deg: float = 20.0,
        diametral_pitch: float | None = None,
        module_mm: float | None = None,
        role: str | None = None,
    ) -> BoughtGear | None:
        """The stock gear of this tooth count, pressure angle and diametral pitch (per inch) or module; None where no
        class has it. `role` ("pinion" or "gear") picks where both are made; without it a pinion comes first."""
        fitting = [
            entry
            for entry in self.gear_classes(
                pressure_angle_deg=pressure_angle_deg, diametral_pitch=diametral_pitch, module_mm=module_mm, role=role
            )
            if teeth in entry.counts
        ]
        fitting.sort(key=lambda entry: entry.pattern.role != "pinion")
        return fitting[0].gear(teeth) if fitting else None

    def gear_classes(
        self,
        *,
        pressure_angle_deg: float = 20.0,
        diametral_pitch: float | None = None,
        module_mm: float | None = None,
        role: str | None = None,
    ) -> tuple[GearClass, ...]:
        """All classes of one pressure angle and size, of both roles or one."""
        from gearplate.catalog.gears import pitch_key
        from gearplate.catalog.reading import MM_PER_INCH

        if (diametral_pitch is None) == (module_mm is None):
            raise ValueError("give a diametral pitch or a module")
        if self._gears is None:
            self._gears = {}
            for entry in self.gears().values():
                key = pitch_key(entry.pattern.module_mm, entry.pattern.pressure_angle_deg)
                self._gears.setdefault(key, []).append(entry)
        module = module_mm if module_mm is not None else MM_PER_INCH / cast(float, diametral_pitch)
        fitting = self._gears.get(pitch_key(module, pressure_angle_deg), [])
        return tuple(entry for entry in fitting if role is None or entry.pattern.role == role)

    def tooth_counts(
        self,
        *,
        pressure_angle_deg: float = 20.0,
        diametral_pitch: float | None = None,
        module_mm: float | None = None,
        role: str | None = None,
    ) -> tuple[int, ...]:
        """Tooth counts on hand of one pressure angle and size, in order."""
        classes = self.gear_classes(
            pressure_angle_deg=pressure_angle_deg, diametral_pitch=diametral_pitch, module_mm=module_mm, role=role
        )
        return tuple(sorted({count for entry in classes for count in entry.counts}))

    def _rows(self, table: str, read: Callable[[Reader, str, Front], R]) -> Mapping[str, R]:
        if table not in self._tables:
            rows: dict[str, R] = {}
            for folder in self.folders:
                path = folder / f"{table}.toml"
                if path.is_file():
                    shown = f"{path.name} (shipped)" if folder == profiles_folder() else str(path)
                    rows.update(read_table(path, TABLES[table], shown, read))
            self._tables[table] = rows
        return self._tables[table]

    def _find(self, table: str, rows: Mapping[str, R], name: str) -> R:
        if name in rows:
            return rows[name]
        if table not in self._aliases:
            self._aliases[table] = {other: row.name for row in rows.values() for other in row.also}
        if name in self._aliases[table]:
            return rows[self._aliases[table][name]]
        raise UnknownProfile(table, name, [*rows, *self._aliases[table]])


def load_catalog(folders: Sequence[Path]) -> Catalog:
    """The tables of these folders, the first laid down and the later ones over it, row by row.

    Only names of files are looked at here; tables are read when they are asked for.

    Raises:
        FileError: a folder that is none or cannot be read.
        JobError: a TOML file in a folder that is no table by its name.
    """
    problems = []
    for folder in folders:
        try:
            names = sorted(entry.name for entry in folder.iterdir() if entry.suffix == ".toml")
        except OSError as error:
            reason = error.strerror or str(error)
            raise FileError(f"{folder}: cannot be read as a folder of profiles: {reason}.") from None
        for name in names:
            if name.removesuffix(".toml") not in TABLES:
                known = ", ".join(f"{table}.toml" for table in TABLES)
                problems.append(
                    Problem(str(folder / name), None, "", "", "this file is no table that gearplate knows.", known)
                )
    if problems:
        raise JobError(tuple(problems))
    return Catalog(folders)
