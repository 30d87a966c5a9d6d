"""One figure of the design record, and how near a value comes to its limit."""

from __future__ import annotations

from dataclasses import dataclass

from kitdocs.kit.limits import Limit
from kitdocs.pages.handbook import Handbook
from kitdocs.words.language import marked


@dataclass(frozen=True)
class Figure:
    """One place that a rule looked at. `room` is how far the figure is from the nearer limit, as
    a share of that limit (of the range where there are two); the least is the tightest."""

    where: str
    figure: str
    limit: str
    room: float


def room(value: float, limit: Limit) -> float:
    """The `room` of a figure."""
    if limit.least is not None and limit.most is not None:
        wide = limit.most - limit.least
        return min(value - limit.least, limit.most - value) / wide if wide else 0.0
    if limit.least is not None:
        return (value - limit.least) / (abs(limit.least) or 1.0)
    return ((limit.most or 0.0) - value) / (abs(limit.most or 0.0) or 1.0)


#: What limits are counted in, beside signs that are the same in every language.
_UNITS = {"module": marked("module"), "turns": marked("turns"), "pitch": marked("pitch")}


def limit_text(book: Handbook, limit: Limit, unit: str = "") -> str:
    """A limit as readers see it: `0.05 … 0.3 mm`, `at least 0.3 mm`, `at most 5°`.

    `unit` is what it is counted in, where that is not the name of the limit's own unit.
    """
    own = book.text(_UNITS[limit.unit]) if limit.unit in _UNITS else limit.unit

    def shown(value: float) -> str:
        return book.numbers.local(f"{value:g}")

    def measured(value: float) -> str:
        counted = unit or own
        return book.numbers.with_unit(shown(value), counted) if counted else shown(value)

    if limit.least is not None and limit.most is not None:
        return f"{shown(limit.least)} … {measured(limit.most)}"
    if limit.least is not None:
        return book.text("at least %(limit)s", limit=measured(limit.least))
    return book.text("at most %(limit)s", limit=measured(limit.most or 0.0))
