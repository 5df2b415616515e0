"""Every train of given gears whose ratio lies in a window: complete, exact, ranked.

values    a stage, a train
window    the wanted ratios, held against products of whole numbers
question  which gears each stage may have
products  all choices of drivers (or driven gears) with their products
search    the choices that meet in the window, and the trains that they make
listing   all of them, or how many they are
facts     what else is known of the gears: tip circles, centres, masses, what is on hand
size      a lower bound for the plate
ranking   keys to sort by, the order, the front of closeness against size
first     the best few without listing all
variants  the same trains with idlers
"""

from __future__ import annotations

from gearplate.gears.trains.find import TrainList, find_trains
from gearplate.gears.trains.question import Question, StageChoice
from gearplate.gears.trains.values import MOST_STAGES, Stage, Train
from gearplate.gears.trains.window import Window

__all__ = ["MOST_STAGES", "Question", "Stage", "StageChoice", "Train", "TrainList", "Window", "find_trains"]
