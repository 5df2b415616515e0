"""A problem made ready for numbers: tree, rows, hull discs, and values of demands and wish at many points."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from gearplate.layout.certified.hull import AreaForm, area_form, area_slopes, hull_area
from gearplate.layout.certified.mirror import alike_groups
from gearplate.layout.certified.problem import LayoutProblem, Wish
from gearplate.layout.certified.rows import Array, Ints, Rows, Table, Tree, rows_of, table_of, tree_of
from gearplate.layout.certified.separation import separation
from gearplate.layout.certified.share import ALONE, Share
from gearplate.layout.certified.waves import Pairs, pairs_of

FAR_MM = 5.0  # off a keep-out by more than that, a hull is not pushed, and how far off it is makes no difference


@dataclass(frozen=True, slots=True)
class Off:
    """Discs (`still` (N, 2), `reach` (N, n), `radius`) whose hull keeps `least_mm` from a box (x0, y0, x1, y1)."""

    still: Array
    reach: Array
    radius: Array
    box: tuple[float, float, float, float]
    least_mm: float


@dataclass(frozen=True, slots=True)
class Model:
    """One problem, or several alike but for their numbers that stand abreast (a first axis more in every table of
    floats).

    N discs of the hull, n free shafts. `hull_node` (N,): the node that each disc sits on. `hull_radius` (N,) mm. The
    centre of a disc is `hull_still` (N, 2) plus `hull_reach` (N, n) mm times the unit vectors of the free angles.
    `groups`: free shafts that may change places. `offs`: what the hull keeps off.
    """

    problem: LayoutProblem
    tree: Tree
    rows: Rows
    pairs: Pairs
    hull_node: Ints
    hull_radius: Array
    hull_still: Array
    hull_reach: Array
    groups: tuple[tuple[int, ...], ...]
    anchor: Ints  # number () of the hull disc that moves least
    offs: tuple[Off, ...]
    most_area: float  # infinite where the area has no cap

    @property
    def free(self) -> int:
        """How many shafts the search places: n."""
        return int(self.tree.reach.shape[1])

    @property
    def whole(self) -> bool:
        """Whether there are demands on the hull as a whole."""
        return bool(self.offs) or math.isfinite(self.most_area)

    @property
    def by_none(self) -> bool:
        """Whether any layout will do."""
        return self.problem.wish is Wish.ANY

    @property
    def by_area(self) -> bool:
        """Whether the wish is the hull's area."""
        return self.problem.wish is Wish.AREA


def model_of(problem: LayoutProblem) -> Model:
    """The model of one problem."""
    tree = tree_of(problem)
    return _model([problem], [tree], [table_of(problem, tree)], alike_groups(problem))


def models_abreast(problems: Sequence[LayoutProblem]) -> list[tuple[Ints, Model]]:
    """Problems alike but for their numbers as one model each, whose tables hold theirs, one behind the other along a
    first axis (see `share`); and the numbers of the problems in it."""
    trees = [tree_of(problem) for problem in problems]
    tables = [table_of(problem, tree) for problem, tree in zip(problems, trees, strict=True)]
    alike: dict[_Likeness, list[int]] = {}
    for number, (problem, table) in enumerate(zip(problems, tables, strict=True)):
        alike.setdefault(_likeness(problem, table), []).append(number)
    found: list[tuple[Ints, Model]] = []
    for (groups, _), some in alike.items():
        one = _model([problems[k] for k in some], [trees[k] for k in some], [tables[k] for k in some], groups)
        found.append((np.array(some), one))
    return found


Groups = tuple[tuple[int, ...], ...]
_Likeness = tuple[Groups, object]


def _likeness(problem: LayoutProblem, table: Table) -> _Likeness:
    """Equal for problems that can stand abreast: all of them but their numbers."""
    return alike_groups(problem), (
        problem.free,
        problem.wish,
        problem.caps,
        problem.off,
        tuple(disc.node for disc in problem.hull),
        (table.first, table.second, len(table.asks), table.wish, table.sides),
        (table.weight != 0.0).tobytes(),
    )


def _model(problems: Sequence[LayoutProblem], trees: Sequence[Tree], tables: Sequence[Table], groups: Groups) -> Model:
    first = problems[0]
    node = np.array([disc.node for disc in first.hull], dtype=np.int64)
    column = {number: k for k, number in enumerate(first.free)}
    reach = _stacked([tree.reach[node] for tree in trees])
    moves = np.abs(reach).sum(axis=-1)
    return Model(
        first,
        trees[0],
        rows_of(_stacked_table(tables), len(first.free), first.wish is Wish.MOVE),
        pairs_of(len(first.free)),
        node,
        _stacked([np.array([disc.radius_mm for disc in problem.hull]) for problem in problems]),
        _stacked([tree.still[node] for tree in trees]),
        reach,
        tuple(tuple(column[i] for i in group) for group in groups),
        np.asarray(moves.argmin(axis=-1) if len(node) else np.zeros(moves.shape[:-1], dtype=np.int64)),
        tuple(_off(problems, trees, number) for number in range(len(first.off))),
        min((cap.most for cap in first.caps if cap.wish is Wish.AREA), default=math.inf),
    )


def _stacked(parts: Sequence[Array]) -> Array:
    return parts[0] if len(parts) == 1 else np.stack(parts)


def _stacked_table(tables: Sequence[Table]) -> Table:
    if len(tables) == 1:
        return tables[0]
    return replace(
        tables[0],
        phase=np.stack([table.phase for table in tables]),
        weight=np.stack([table.weight for table in tables]),
        constant=np.stack([table.constant for table in tables]),
        scale=np.stack([table.scale for table in tables]),
        asks=np.stack([table.asks for table in tables]),
    )


def _off(problems: Sequence[LayoutProblem], trees: Sequence[Tree], number: int) -> Off:
    off = problems[0].off[number]
    each = [problem.off[number].discs or problem.hull for problem in problems]
    node = np.array([disc.node for disc in each[0]], dtype=np.int64)
    return Off(
        _stacked([tree.still[node] for tree in trees]),
        _stacked([tree.reach[node] for tree in trees]),
        _stacked([np.array([disc.radius_mm for disc in discs]) for discs in each]),
        (off.x0_mm, off.y0_mm, off.x1_mm, off.y1_mm),
        off.least_mm,
    )


def hull_places(model: Model, angles: Array, share: Share = ALONE) -> Array:
    """Centres (B, N, 2) of the hull's discs."""
    return _centres(model.hull_still, model.hull_reach, np.cos(angles), np.sin(angles), share)


def _centres(still: Array, reach: Array, cosine: Array, sine: Array, share: Share) -> Array:
    still, reach = share.each(still), reach.swapaxes(-1, -2)
    return np.stack([still[..., 0] + share.times(cosine, reach), still[..., 1] + share.times(sine, reach)], axis=2)


def hull_form(model: Model, angles: Array, share: Share = ALONE) -> AreaForm:
    centre, radius = hull_places(model, angles, share), share.each(model.hull_radius)
    return area_form(centre, radius, model.hull_still, model.hull_reach, share)


def wish_value(model: Model, angles: Array, share: Share = ALONE) -> Array:
    """The wish (B,): mm2 for an area, mm otherwise."""
    if model.by_area:
        return hull_area(hull_places(model, angles, share), share.each(model.hull_radius))
    if model.by_none:
        return np.zeros(len(angles))
    value = row_values(model.rows, angles, share)[:, model.rows.wish]
    extent = -value.min(axis=1)
    return np.sqrt(np.maximum(extent, 0.0)) if model.rows.squared else np.asarray(extent)


def row_values(rows: Rows, angles: Array, share: Share = ALONE) -> Array:
    """Values (B, rows) at angles (B, n)."""
    atoms = np.cos(_atom_angles(rows, angles, share))
    return np.asarray(share.each(rows.constant) + share.times(atoms, rows.weight.swapaxes(-1, -2)))


def row_slopes(rows: Rows, angles: Array) -> tuple[Array, Array, Array]:
    """Values (B, rows), slopes (B, rows, n) and the cosines of the atoms (B, atoms)."""
    s = _atom_angles(rows, angles)
    cosine = np.cos(s)
    slope = np.matmul(np.sin(s), rows.slope_of).transpose(1, 2, 0)
    return rows.constant + cosine @ rows.weight.T, slope, cosine


def _atom_angles(rows: Rows, angles: Array, share: Share = ALONE) -> Array:
    padded = np.concatenate([angles, np.zeros((len(angles), 1))], axis=1)
    return np.asarray(padded[:, rows.second] - padded[:, rows.first] - share.each(rows.phase))


def demands_missed(model: Model, angles: Array, share: Share = ALONE) -> Array:
    """By how many mm, at most, a demand is missed (B,); zero or below: none is."""
    value = row_values(model.rows, angles, share) * share.each(model.rows.scale)
    worst = np.full(len(angles), -math.inf)
    if len(model.rows.plain):
        worst = -value[:, model.rows.plain].min(axis=1)
    if len(model.rows.sides):
        worst = np.maximum(worst, -value[:, model.rows.sides].max(axis=2).min(axis=1))
    if model.whole:
        worst = np.maximum(worst, -whole_values(model, angles, share).kept.min(axis=1))
    return worst


@dataclass(frozen=True, slots=True)
class Whole:
    """Demands on the hull as a whole, as lengths: `kept` (B, E), >= 0 where kept, slopes (B, E, n), and the second
    derivative (B, n, n) of the last, which caps the area (zero where no area is capped)."""

    kept: Array
    slope: Array
    bend: Array


def whole_values(model: Model, angles: Array, share: Share = ALONE) -> Whole:
    """First those that keep off a box, then the cap of the area."""
    count, n = angles.shape
    cosine, sine = np.cos(angles), np.sin(angles)
    kept, slope, bend = [], [], np.zeros((count, n, n))
    for off in model.offs:
        centre = _centres(off.still, off.reach, cosine, sine, share)
        found = separation(centre, share.each(off.radius), off.box, off.least_mm + FAR_MM)
        part = found.share[:, None]
        reach = (1.0 - part) * share.at(off.reach, found.first) + part * share.at(off.reach, found.second)
        kept.append(found.apart - off.least_mm)
        slope.append(reach * (found.normal[:, :1] * sine - found.normal[:, 1:] * cosine))
    if math.isfinite(model.most_area):
        form = hull_form(model, angles, share)
        gradient, hessian = area_slopes(form, angles)
        root = np.sqrt(np.maximum(form.value, 1e-9))
        kept.append(math.sqrt(model.most_area) - root)
        slope.append(-gradient * (0.5 / root)[:, None])
        bend = -hessian * (0.5 / root)[:, None, None]
    return Whole(np.stack(kept, axis=1), np.stack(slope, axis=1), bend)
