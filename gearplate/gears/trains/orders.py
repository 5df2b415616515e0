"""In which orders the gears of a choice can stand in the stages, so that each train comes out exactly once.

A choice of gears gives counts to stages in rising order within each group of stages that share a list. The trains of
it are made in two steps. First the gears are put in other orders within their groups; of trains that differ only by
the order of stages of one class (stages with the very same choices) just one is made, the one whose stages rise. Then
the stages of each class are put in every order. Where equal things change places nothing changes: such an order is
skipped for those rows, which each order lists as pairs that must differ there.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise, permutations, product

from gearplate.gears.trains.question import Question

Pairs = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Order:
    """Stage `s` gets what stood at `source[s]`. Rows count only where what stands at each pair of `differ` differs."""

    source: tuple[int, ...]
    differ: Pairs


@dataclass(frozen=True, slots=True)
class Orders:
    """`drivers`, `driven`: orders of the gears; `stages`: of whole stages. `classes`: neighbours in a class of equal
    stages."""

    drivers: tuple[Order, ...]
    driven: tuple[Order, ...]
    stages: tuple[Order, ...]
    neighbours: Pairs


def orders_of(
    question: Question, driver_groups: tuple[tuple[int, ...], ...], driven_groups: tuple[tuple[int, ...], ...]
) -> Orders:
    """All orders for a question whose choices were grouped so."""
    stages = question.stages
    classes = tuple(
        tuple(number for number, other in enumerate(stages) if other == stage) for stage in dict.fromkeys(stages)
    )
    neighbours = tuple(pair for group in classes for pair in pairwise(group))
    size = len(stages)
    drivers = tuple(
        order for order in _orders(driver_groups, size) if all(order.source[a] < order.source[b] for a, b in neighbours)
    )
    return Orders(drivers, _orders(driven_groups, size), _orders(classes, size), neighbours)


def _orders(groups: tuple[tuple[int, ...], ...], size: int) -> tuple[Order, ...]:
    found = []
    for choice in product(*(permutations(group) for group in groups)):
        source = list(range(size))
        for group, order in zip(groups, choice, strict=True):
            for place, taken in zip(group, order, strict=True):
                source[place] = taken
        # Equal things that are neighbours in rising order must stay in order, or the same row comes twice.
        differ = tuple((a, b) for group in groups for a, b in pairwise(group) if source.index(a) > source.index(b))
        found.append(Order(tuple(source), differ))
    return tuple(found)
