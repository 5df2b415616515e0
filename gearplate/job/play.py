"""The play table of a job made into the spec of the gears room, with what holds where it says nothing."""

from __future__ import annotations

from gearplate.catalog import Catalog
from gearplate.finding import Standing
from gearplate.gears.play.spec import PlaySpec
from gearplate.job.defaults import Assumption
from gearplate.job.reading import Reading

_USUAL = PlaySpec()
_PRACTICE, _MEMORY = Standing.COMMON_PRACTICE, Standing.FROM_MEMORY

# Key of the table, field of the spec, and where the default comes from. They decide nothing that is cut, so the account
# does not list them; `gearplate play` does.
KEYS: tuple[tuple[str, str, str, Standing], ...] = (
    ("hall", "hall_c", "a hall without heating, winter to summer (degrees Celsius)", _PRACTICE),
    ("cut_at", "cut_at_c", "an ordinary workshop (degrees Celsius)", _PRACTICE),
    ("motor_heat", "motor_heat_k", "a driven motor warms the plate round it by 20 to 40 K", _PRACTICE),
    ("moisture", "moisture", "indoors a sheet never gets from wholly dry to wet", _PRACTICE),
    ("gear_class", "gear_class", "hobbed stock gears; runout by ISO 1328-1", _PRACTICE),
    ("thickness_class", "thickness_class", "stock gears are cut thin, for play; DIN 3967", _MEMORY),
    ("bearing_clearance", "bearing_clearance", "the normal group of ISO 5753-1", _MEMORY),
    ("least", "least_mm", "mm; enough for oil and dirt", _PRACTICE),
)  # fmt: skip


def gear_materials(catalog: Catalog) -> dict[str, str]:
    """What the gears of each class of the catalogue are made of."""
    return {name: row.pattern.material for name, row in catalog.gears().items()}


def play_spec(reading: Reading) -> PlaySpec:
    """What the job says, else what is usual."""
    table = reading.file.play
    if table is None:
        return _USUAL
    given = {field: getattr(table, key) for key, field, _, _ in KEYS}
    said = {field: value for field, value in given.items() if value is not None}
    return PlaySpec(**said, most_mm=table.most, runout_mm=table.runout)


def play_assumptions(reading: Reading) -> tuple[Assumption, ...]:
    """What the job leaves to the tool of all this, in the table's order."""
    table = reading.file.play
    return tuple(
        Assumption(f"play.{key}", _words(getattr(_USUAL, field)), why, standing)
        for key, field, why, standing in KEYS
        if table is None or (getattr(table, key) is None and not (key == "gear_class" and table.runout is not None))
    )


def _words(value: object) -> str:
    if isinstance(value, tuple):
        return f"[{', '.join(f'{item:g}' for item in value)}]"
    return f"{value:g}" if isinstance(value, int | float) else str(value)
