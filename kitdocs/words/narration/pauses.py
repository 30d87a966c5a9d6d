"""How long hands need: the pause that an action asks of a presenter.

Seconds are our own estimate of work that is ready to be shown: parts sorted, tools at hand. They
leave out what the maker of a glue decides, and every wait.
"""

from __future__ import annotations

from kitdocs.assembly.design import Design
from kitdocs.kit.stage import Action

#: Seconds for each item of an action; of the last four, for each fastener.
SECONDS = {
    "make-up": 6.0,
    "place": 8.0,
    "fit": 8.0,
    "slide-on": 6.0,
    "press": 20.0,
    "mesh": 8.0,
    "glue": 15.0,
    "remove": 5.0,
    "refit": 6.0,
    "oil": 6.0,
    "aim": 8.0,
    "turn": 10.0,
    "check": 6.0,
    "fasten": 12.0,
    "slacken": 5.0,
    "tighten": 6.0,
}
#: Actions on the fasteners of an item.
DRIVEN = ("fasten", "slacken", "tighten")
#: The most seconds of one action: longer work is shown cut short.
LONGEST = 60.0


def hands(design: Design, action: Action) -> float:
    """Seconds that an action keeps practised hands busy."""
    if action.verb == "mesh":
        return hands_on(design, action.verb, action.items[0])
    return sum(hands_on(design, action.verb, item) for item in action.items)


def hands_on(design: Design, verb: str, item: str) -> float:
    """Seconds of an action on one of its items."""
    each = SECONDS.get(verb, 6.0)
    held = design.fastenings.get(item) if verb in DRIVEN else None
    return each * max(1, held.count) if held else each


def shown(design: Design, action: Action) -> float:
    """The share of an action's seconds that a presenter shows: all of it, unless it is long."""
    return min(1.0, LONGEST / hands(design, action))
