"""What all tables of a job file have in common."""

import typing
from typing import Any, ClassVar

from pydantic import BaseModel, ConfigDict

# The value of a key that must be given and is not: the report names it, and nothing is built from such a table.
# It is not left to pydantic, so that whatever else is wrong in the file can be told in the same report.
NEEDED: Any = None


class Table(BaseModel):
    """A table of the job file: no key but its own, no value of another type, nothing converted in silence.

    `key`: the table's dotted key in `gearplate.job.defaults`, "" where its defaults are not listed by key.
    `needed`: the keys that must be given.
    """

    # Built when the whole file's table is built, all tables at once: a third of the time of each on its own.
    model_config = ConfigDict(strict=True, extra="forbid", frozen=True, defer_build=True, protected_namespaces=())

    key: ClassVar[str] = ""
    needed: ClassVar[tuple[str, ...]] = ()
    # A job with a base may say a part of the table; the base says the rest.
    merged: ClassVar[bool] = False
    # Other ways to write the table, for the JSON Schema, such as a bare count for a gear.
    shorthand: ClassVar[tuple[dict[str, Any], ...]] = ()

    @classmethod
    def __get_pydantic_json_schema__(cls, core: Any, handler: Any) -> dict[str, Any]:
        schema: dict[str, Any] = handler(core)
        full = handler.resolve_ref_schema(schema)
        if cls.needed and not cls.merged:
            full["required"] = list(cls.needed)
        return {"anyOf": [*cls.shorthand, schema]} if cls.shorthand else schema


class FalseOr:
    """A table, or false for "there is none" (and with `true_too`, true for "there is, with its defaults").

    Not a union: pydantic would then report each error once for either branch, under a path that no file has.
    """

    def __init__(self, table: type[Table], true_too: bool = False) -> None:
        self.table = table
        self.plain: tuple[bool, ...] = (False, True) if true_too else (False,)

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> Any:
        from pydantic_core import core_schema

        def read(value: Any, inner: Any) -> Any:
            return value if isinstance(value, bool) and value in self.plain else inner(value)

        return core_schema.no_info_wrap_validator_function(read, handler.generate_schema(self.table))

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> dict[str, Any]:
        return {"anyOf": [{"enum": list(self.plain)}, handler(core["schema"])]}


def table_in(field: Any) -> type[Table] | None:
    """The table class that a field of a table holds, alone, in a list or by name; None where it holds values."""
    for mark in field.metadata:
        if isinstance(mark, FalseOr):
            return mark.table
    waiting = [field.annotation]
    while waiting:
        found = waiting.pop()
        if isinstance(found, type) and issubclass(found, Table):
            return found
        waiting += typing.get_args(found)
    return None


class OneOrMany:
    """A list of tables, or a single table without brackets."""

    def __init__(self, table: type[Table]) -> None:
        self.table = table

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> Any:
        from pydantic_core import core_schema

        return core_schema.no_info_before_validator_function(
            lambda value: [value] if isinstance(value, dict) else value, handler(source)
        )

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> dict[str, Any]:
        many = handler(core["schema"])
        single = many["items"]
        # A list is never merged with the base's: each of its tables says all that is needed.
        return {"anyOf": [single, {**many, "items": {**single, "required": list(self.table.needed)}}]}
