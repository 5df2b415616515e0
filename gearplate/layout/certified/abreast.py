"""Several models alike but for their numbers as one, so that boxes of all of them are looked at side by side: on few
boxes a call costs far more than the numbers do."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from gearplate.layout.certified.model import Model, Off
from gearplate.layout.certified.rows import Rows
from gearplate.layout.certified.waves import Waves


def likeness(model: Model) -> object:
    """Equal for models that can stand abreast: all of them but their numbers."""
    rows = model.rows
    return (
        model.free,
        model.problem.wish,
        model.most_area,
        model.groups,
        tuple(model.hull_node.tolist()),
        tuple((off.box, off.least_mm, off.reach.shape) for off in model.offs),
        (len(rows.plain), len(rows.wish), len(rows.sides), rows.squared),
        (rows.first.tobytes(), rows.second.tobytes(), (rows.weight != 0.0).tobytes()),
    )


def abreast(models: Sequence[Model]) -> Model:
    """One model whose tables hold those of all, one behind the other (see `share`)."""
    first = models[0]
    if len(models) == 1:
        return first
    every = [model.rows for model in models]
    waves = [rows.waves for rows in every]
    rows = Rows(
        first.rows.first,
        first.rows.second,
        np.stack([one.phase for one in every]),
        np.stack([one.weight for one in every]),
        np.stack([one.constant for one in every]),
        first.rows.sides,
        first.rows.plain,
        first.rows.wish,
        first.rows.squared,
        np.stack([one.slope_of for one in every]),
        first.rows.bend_of,
        np.stack([one.size for one in every]),
        np.stack([one.scale for one in every]),
        Waves(
            np.stack([one.pair_cosine for one in waves]),
            np.stack([one.pair_sine for one in waves]),
            np.stack([one.cosine for one in waves]),
            np.stack([one.sine for one in waves]),
        ),
    )
    offs = tuple(
        Off(
            np.stack([off.still for off in same]),
            np.stack([off.reach for off in same]),
            np.stack([off.radius for off in same]),
            same[0].box,
            same[0].least_mm,
        )
        for same in zip(*(model.offs for model in models), strict=True)
    )
    return Model(
        first.problem,
        first.tree,
        rows,
        first.pairs,
        first.hull_node,
        np.stack([model.hull_radius for model in models]),
        np.stack([model.hull_still for model in models]),
        np.stack([model.hull_reach for model in models]),
        first.groups,
        np.stack([model.anchor for model in models]),
        offs,
        first.most_area,
    )
