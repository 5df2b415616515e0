"""One wish after the other: each as good as it can be without spoiling those before by more than a stated share."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

from gearplate.layout.certified.branch import Answer, Progress, Settings, solve
from gearplate.layout.certified.problem import Cap, LayoutProblem, Wish


@dataclass(frozen=True, slots=True)
class Turn:
    """A wish and the share of its best value that may be given up for the wishes that follow."""

    wish: Wish
    give: float = 0.0


def solve_in_turn(
    problem: LayoutProblem,
    turns: Sequence[Turn],
    settings: Settings | None = None,
    progress: Callable[[Wish, Progress], bool] | None = None,
) -> tuple[Answer, ...]:
    """One answer a turn, the last layout being the one to take; fewer where a turn found no layout.

    A bound of a later turn holds among the layouts whose earlier values are at most (1 + give) times those found.
    `settings.cutoff` is that of the first turn. Raises ValueError where a give is negative.
    """
    settings = settings or Settings()
    if any(turn.give < 0.0 for turn in turns):
        raise ValueError("what may be given up is a share of the value, not below nothing")
    answers: list[Answer] = []
    for turn in turns:
        told = None if progress is None else partial(progress, turn.wish)
        answer = solve(replace(problem, wish=turn.wish), settings, told)
        answers.append(answer)
        if answer.value is None or answer.angles_rad is None:
            break
        cap = Cap(turn.wish, answer.value * (1.0 + turn.give) + 1e-6, f"the {turn.wish.value} found before")
        problem = replace(problem, caps=(*problem.caps, cap))
        settings = replace(settings, cutoff=float("inf"), start=(answer.angles_rad,))
    return tuple(answers)
