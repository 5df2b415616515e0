"""Train and layout together: of all trains the one whose best layout is best, wish after wish, with proof."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import numpy as np

from gearplate.layout.certified.among import Chosen, best_of
from gearplate.layout.certified.branch import Settings
from gearplate.layout.certified.incumbent import polish
from gearplate.layout.certified.model import model_of
from gearplate.layout.certified.problem import Cap
from gearplate.layout.constraints import build_model
from gearplate.layout.design import AmongTrains, Layout
from gearplate.layout.proof import GAP, WISHES, angles_of, value_of
from gearplate.layout.question import question_of
from gearplate.layout.spec import WishesSpec
from gearplate.layout.train_field import TrainField
from gearplate.layout.watch import Onlooker, Stage, Watch

GIVE = 0.001  # what a wish may grow by for those that follow; as with one train
EQUAL = 1e-9  # share by which values of one and the same layout may differ
BOXES = 18  # times those of one layout's certificate, for all that is asked of the trains
MOST_EQUAL = 40  # trains nearer to the wanted ratio that are tried in the chosen one's place
OTHERS = 2  # trains that are laid out as well, to see which comes out smallest with screws and standoffs


@dataclass(frozen=True, slots=True)
class Joint:
    """`numbers`: the train to take first, and those that come next. `first`: what is proven of the first wish."""

    numbers: tuple[int, ...]
    first: Chosen
    boxes: int
    interrupted: bool = False


def best_trains(
    field: TrainField, wishes: WishesSpec, seed: int, watch: Watch | None = None, boxes: int | None = None
) -> Joint:
    """The best train of the field for a layout's wishes. Of trains that come out equal the one nearest to the wanted
    ratio is taken. `watch` is told how far it is; where it ends that, the best so far comes back. `boxes`: how far it
    may go, if not as far as usual.

    Raises ValueError where the wish is to move little: trains do not share a layout to move from.
    """
    most = (BOXES * wishes.boxes if boxes is None else boxes) // len(wishes.least)
    settings = Settings(gap=GAP, stop_boxes=most, batch=512, seed=seed)
    eye = Onlooker(watch)
    sees = eye.sees(Stage.TRAINS, settings.stop_boxes)
    answers: list[Chosen] = []
    known: tuple[int, dict[str, float]] | None = None
    caps: tuple[Cap, ...] = ()
    for least in wishes.least:
        asked = field.asking(WISHES[least], caps)
        told = None if sees is None else partial(sees, WISHES[least])
        answer = best_of(asked, settings, told, known)
        answers.append(answer)
        if answer.number is None or answer.value is None or answer.angles_rad is None:
            break
        known = answer.number, answer.angles_rad
        caps = (*caps, Cap(WISHES[least], answer.value * (1.0 + GIVE) + 1e-6, f"the {least.value} found before"))
    spent = sum(answer.boxes for answer in answers)
    if known is None:
        return Joint((), answers[0], spent, eye.ended)
    number, angles = known
    good = [answer for answer in answers if answer.value is not None]  # the last one may have been broken off
    last = good[-1]
    number = _equal(field.asking(WISHES[wishes.least[len(good) - 1]], caps), number, angles, last.value or 0.0)
    others = tuple(other for other in dict.fromkeys((known[0], *last.others)) if other != number)
    return Joint((number, *others[:OTHERS]), answers[0], spent, eye.ended)


def _equal(field: TrainField, number: int, angles_rad: dict[str, float], value: float) -> int:
    """The train that is preferred among those for which the very same layout serves."""
    for other in field.same_centres(number)[:MOST_EQUAL]:
        problem = field.problem(int(other))
        model = model_of(problem)
        here = np.array([[angles_rad[problem.nodes[k].name] for k in problem.free]])
        found = polish(model, here, 0)
        if found is not None and found.value <= value * (1.0 + EQUAL):
            return int(other)
    return number


def among_trains(field: TrainField, joint: Joint, number: int, layout: Layout) -> AmongTrains:
    """What is proven, said of a finished layout of one of the trains. Trains that the field does not hold are not
    counted."""
    spec = field.spec(number)
    problem = question_of(spec, layout.stack, build_model(spec, layout.stack, layout.rail_holes))
    wish = spec.wishes.least[0]
    value = value_of(problem, WISHES[wish], angles_of(problem, layout))
    first = joint.first
    return AmongTrains(
        wish=wish.value,
        found=len(field.kinds),
        ruled_out=0,
        settled=first.done,
        left=first.open,
        unlisted=0,
        value=value,
        bound=min(first.bound, value),
        boxes=joint.boxes,
        interrupted=joint.interrupted,
    )
