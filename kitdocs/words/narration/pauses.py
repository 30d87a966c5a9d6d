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
#: The most seconds of one action: longer work is shown cut short.
LONGEST = 60.0


def hands(design: Design, action: Action) -> float:
    """Seconds that an action keeps practised hands busy."""
    each = SECONDS.get(action.verb, 6.0)
    if action.verb == "mesh":
        return each
    if action.verb not in ("fasten", "slacken", "tighten"):
        return each * len(action.items)
    held = (design.fastenings.get(name) for name in action.items)
    return each * sum(max(1, f.count) if f else 1 for f in held)


def seconds_for(design: Design, action: Action) -> float:
    """How long a presenter shows an action."""
    return min(LONGEST, hands(design, action))
