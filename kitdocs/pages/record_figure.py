"""One figure of the design record, and how near a value comes to its limit."""

from __future__ import annotations

from dataclasses import dataclass

from kitdocs.kit.limits import Limit


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
