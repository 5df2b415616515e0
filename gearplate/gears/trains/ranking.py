"""Keys to rank trains by, the ranked order, and the front of closeness against size. Least is best in every key."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gearplate.gears.involute import Array, Bools
from gearplate.gears.trains.facts import Facts
from gearplate.gears.trains.listing import TrainTable, empty_table
from gearplate.gears.trains.products import Counts
from gearplate.gears.trains.size import size_bounds_mm2
from gearplate.gears.trains.window import Whole, Window, nearness

# What to rank by, in words; the keys of the command line too.
RANKINGS = {
    "closeness": "nearest to the wanted ratio",
    "size": "smallest lower bound for the plate's hull",
    "distinct": "fewest different gears",
    "on-hand": "fewest gears that are not on hand",
    "hunting": "fewest meshes with a common factor",
    "weight": "lightest gears, as solid blanks",
    "teeth": "fewest teeth in all",
}
# What decides between trains that the asked rankings leave equal; the tooth counts themselves come last of all.
TIES = ("closeness", "teeth")

Keep = Callable[[TrainTable], Bools]


@dataclass(frozen=True, slots=True)
class Ranking:
    """Rank by these keys, the first before the others. Keys other than closeness, hunting and teeth need facts.

    Raises ValueError for a key that there is not, or that needs facts.
    """

    by: tuple[str, ...]
    window: Window
    facts: Facts | None = None

    def __post_init__(self) -> None:
        for name in self.by:
            if name not in RANKINGS:
                raise ValueError(f"{name!r} is no ranking; there are {', '.join(RANKINGS)}")
            if self.facts is None and name not in ("closeness", "hunting", "teeth"):
                raise ValueError(f"ranking by {name} needs to know more of the gears than their counts")

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys in order, ties included."""
        return tuple(dict.fromkeys((*self.by, *TIES)))

    def key(self, name: str, table: TrainTable) -> Array:
        """One key of each train. `closeness` only sorts: it is not a measure (see window.nearness)."""
        if name == "closeness":
            return nearness(table.driven, table.drivers, self.window.target)
        if name == "teeth":
            return table.teeth.astype(np.float64)
        if name == "hunting":
            return common_factors(table).astype(np.float64)
        assert self.facts is not None
        return _FACT_KEYS[name](table, self.facts)

    def order(self, table: TrainTable, limit: int | None = None) -> Whole:
        """The places of the trains from best to worst; of the best `limit` only, where one is given."""
        chosen = np.arange(len(table))
        first = self.key(self.keys[0], table)
        if limit is not None and limit < len(table):
            # Only what can be among the best is sorted; many trains are equal in the first key.
            worst = np.partition(first, limit - 1)[limit - 1]
            chosen, equal = np.flatnonzero(first < worst), np.flatnonzero(first == worst)
            wanted = limit - len(chosen)
            if wanted < len(equal):
                second = self.key(self.keys[1], table.rows(equal))
                equal = equal[second <= np.partition(second, wanted - 1)[wanted - 1]]
            chosen = np.sort(np.concatenate([chosen, equal]))
        part = table.rows(chosen)
        keys: list[NDArray[np.float64] | Whole] = [*reversed(_packed(part.counts))]
        keys += [self.key(name, part) for name in reversed(self.keys[1:])]
        return np.asarray(chosen[np.lexsort((*keys, first[chosen]))][:limit])

    def best(self, tables: Iterable[TrainTable], limit: int, stages: int, keep: Keep | None = None) -> TrainTable:
        """The best `limit` trains of any number of tables, in order; only so many are held. `keep` tells which trains
        of a table count; it is asked about the best ones only, until there are enough."""
        held = empty_table(stages)
        for table in tables:
            if len(held) == limit:
                table = self._no_worse(table, held)
            if not len(table):
                continue
            together = held.and_also(table if keep is None else self._best_kept(table, limit, keep))
            held = together.rows(self.order(together, limit))
        return held

    def _no_worse(self, table: TrainTable, held: TrainTable) -> TrainTable:
        """The trains that the first two keys do not put behind the last of those held: the others need not be ranked,
        nor asked about."""
        # The last one is ranked along with them: closeness is only to be compared within one call.
        with_last = table.and_also(held.rows(slice(-1, None)))
        first, second = (self.key(name, with_last) for name in self.keys[:2])
        before = (first < first[-1]) | ((first == first[-1]) & (second <= second[-1]))
        return table.rows(np.flatnonzero(before[:-1]))

    def _best_kept(self, table: TrainTable, limit: int, keep: Keep) -> TrainTable:
        ranked = self.order(table, min(limit, len(table)))
        kept = ranked[keep(table.rows(ranked))] if len(ranked) else ranked
        done, more = len(ranked), limit
        if len(kept) < limit and done < len(table):
            ranked = self.order(table)
        while len(kept) < limit and done < len(table):
            more *= 8
            fresh = ranked[done : done + more]
            kept = np.concatenate([kept, fresh[keep(table.rows(fresh))]])
            done += len(fresh)
        return table.rows(kept[:limit])

    def front(self, tables: Iterable[TrainTable], stages: int) -> TrainTable:
        """Trains that no other beats in closeness without being larger: from the closest to the smallest bound."""
        held = empty_table(stages)
        ranking = Ranking(("closeness", "size"), self.window, self.facts)
        for table in tables:
            together = held.and_also(table)
            together = together.rows(ranking.order(together))
            size = ranking.key("size", together)
            before = np.concatenate([[np.inf], np.minimum.accumulate(size)[:-1]])
            held = together.rows(np.flatnonzero(size < before))
        return held


def common_factors(table: TrainTable) -> Whole:
    """How many stages have a factor common to both counts. Without one, each tooth meets all teeth of its mate before
    it meets the first again (a hunting tooth: wear is spread)."""
    counts = table.counts.astype(np.int64)
    return np.asarray((np.gcd(counts[:, 0::2], counts[:, 1::2]) > 1).sum(axis=1))


def _packed(counts: Counts) -> list[Whole]:
    """Four columns of counts in one number: numbers in the order in which the counts are."""
    packed = []
    for begin in range(0, counts.shape[1], 4):
        number = np.zeros(len(counts), np.int64)
        for column in counts[:, begin : begin + 4].T:
            number = number << 16 | column
        packed.append(number)
    return packed


def _size(table: TrainTable, facts: Facts) -> Array:
    # Rounded far below what can be cut: the same plate comes out the same however its stages were summed.
    return np.round(size_bounds_mm2(table, facts), 6)


def _weight(table: TrainTable, facts: Facts) -> Array:
    masses = sum((gear.masses_g[places] for gear, places in facts.gears(table)), np.zeros(len(table)))
    return np.round(masses, 6)


def _distinct(table: TrainTable, facts: Facts) -> Array:
    kinds = np.sort(np.stack([gear.kinds[places] for gear, places in facts.gears(table)], axis=1), axis=1)
    return np.asarray(1.0 + (kinds[:, 1:] != kinds[:, :-1]).sum(axis=1))


def _to_get(table: TrainTable, facts: Facts) -> Array:
    missing = [~gear.on_hand[places] for gear, places in facts.gears(table)]
    return np.asarray(np.sum(missing, axis=0, dtype=np.float64))


_FACT_KEYS: dict[str, Callable[[TrainTable, Facts], Array]] = {
    "size": _size,
    "weight": _weight,
    "distinct": _distinct,
    "on-hand": _to_get,
}


def names_of(text: str | Sequence[str]) -> tuple[str, ...]:
    """Ranking keys out of "size,weight"."""
    parts = text.split(",") if isinstance(text, str) else text
    return tuple(part.strip() for part in parts)
