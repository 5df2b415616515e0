"""A problem made ready for numbers: tree, rows, hull discs, and values of demands and wish at many points."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from gearplate.layout.certified.hull import AreaForm, area_form, hull_area
from gearplate.layout.certified.problem import LayoutProblem, Wish
from gearplate.layout.certified.rows import Array, Ints, Rows, Tree, places, rows_of, tree_of


@dataclass(frozen=True, slots=True)
class Model:
    problem: LayoutProblem
    tree: Tree
    rows: Rows
    hull_node: Ints
    hull_radius: Array
    hull_still: Array
    hull_reach: Array
    groups: tuple[tuple[int, ...], ...]
    anchor: int  # the hull disc that moves least

    @property
    def free(self) -> int:
        return int(self.tree.reach.shape[1])

    @property
    def by_area(self) -> bool:
        return self.problem.wish is Wish.AREA


def model_of(problem: LayoutProblem) -> Model:
    tree = tree_of(problem)
    node = np.array([disc.node for disc in problem.hull], dtype=np.int64)
    column = {number: k for k, number in enumerate(problem.free)}
    return Model(
        problem,
        tree,
        rows_of(problem, tree),
        node,
        np.array([disc.radius_mm for disc in problem.hull]),
        tree.still[node],
        tree.reach[node],
        tuple(tuple(column[i] for i in group) for group in problem.interchangeable),
        int(np.abs(tree.reach[node]).sum(axis=1).argmin()) if len(node) else 0,
    )


def hull_places(model: Model, angles: Array) -> Array:
    where = places(model.tree, angles)
    return np.asarray(where[:, model.hull_node])


def hull_form(model: Model, angles: Array) -> AreaForm:
    return area_form(hull_places(model, angles), model.hull_radius, model.hull_still, model.hull_reach)


def wish_value(model: Model, angles: Array) -> Array:
    """The wish (B,): mm2 for an area, mm otherwise."""
    if model.by_area:
        return hull_area(hull_places(model, angles), model.hull_radius)
    value = row_values(model.rows, angles)[:, model.rows.wish]
    extent = -value.min(axis=1)
    return np.sqrt(np.maximum(extent, 0.0)) if model.rows.squared else np.asarray(extent)


def row_values(rows: Rows, angles: Array) -> Array:
    """Values (B, rows) at angles (B, n)."""
    return rows.constant + np.cos(_atom_angles(rows, angles)) @ rows.weight.T


def row_slopes(rows: Rows, angles: Array) -> tuple[Array, Array, Array]:
    """Values (B, rows), slopes (B, rows, n) and the cosines of the atoms (B, atoms)."""
    s = _atom_angles(rows, angles)
    cosine = np.cos(s)
    slope = np.matmul(np.sin(s), rows.slope_of).transpose(1, 2, 0)
    return rows.constant + cosine @ rows.weight.T, slope, cosine


def _atom_angles(rows: Rows, angles: Array) -> Array:
    padded = np.concatenate([angles, np.zeros((len(angles), 1))], axis=1)
    return np.asarray(padded[:, rows.second] - padded[:, rows.first] - rows.phase)


def demands_missed(model: Model, angles: Array) -> Array:
    """By how many mm, at most, a demand is missed (B,); zero or below: none is."""
    value = row_values(model.rows, angles) * model.rows.scale
    worst = np.full(len(angles), -math.inf)
    if len(model.rows.plain):
        worst = -value[:, model.rows.plain].min(axis=1)
    if len(model.rows.sides):
        worst = np.maximum(worst, -value[:, model.rows.sides].max(axis=2).min(axis=1))
    return worst
