"""The search for places as a user sees it: bound and best so far on the terminal, and an end to it at Ctrl-C."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

from gearplate.cli.say import complain

if TYPE_CHECKING:
    from gearplate.cli.interrupt import Asked
    from gearplate.cli.progress import Shown
    from gearplate.layout.watch import Seen
    from gearplate.units import Unit

ENDING = "gearplate: ending the search with the best layout so far; Ctrl-C again stops at once."


def told_of_the_end(shown: Shown) -> Callable[[], None]:
    """What to do when an interrupt has asked a search to end."""

    def tell() -> None:
        shown.say("ending the search")
        shown.clear(lambda: complain(ENDING))

    return tell


def watching(shown: Shown, unit: Unit, asked: Asked | None = None) -> Callable[[Seen], bool]:
    """What to tell the search's progress to. It goes on until `asked` to end."""

    def watch(seen: Seen) -> bool:
        if asked is not None:
            asked.begun = True
            if asked.to_end:
                return False
        shown.say(seen_text(seen, unit))
        return True

    return watch


def seen_text(seen: Seen, unit: Unit) -> str:
    """ "searching: hull 124.1 cm², at least 121.0; 38 % of the boxes", which fits a terminal of 80 columns."""
    from gearplate.packet.layout_text import area
    from gearplate.units import format_length

    def told(value: float) -> str:
        return area(value) if seen.wish == "area" else format_length(value, unit)

    what = {"area": "hull", "move": "largest move"}.get(seen.wish, seen.wish)
    best = "none yet" if seen.best is None else told(seen.best)
    if math.isinf(seen.bound):  # every box is ruled out
        best = "none" if seen.best is None else best
    least = f", at least {told(seen.bound).split()[0]}" if 0.0 < seen.bound < math.inf else ""
    doing = {"trains": "weighing trains", "search": "searching", "proof": "proving"}[seen.stage.value]
    return f"{doing}: {what} {best}{least}; {100.0 * seen.share:.0f} % of the boxes"
