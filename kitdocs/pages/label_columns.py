"""Labels beside a drawing: two columns of text, joined by leader lines to what they name."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

GAP = 14.0  # px between the base lines of two labels
Side = Literal["left", "right"]


@dataclass(frozen=True)
class Wanted:
    """A label to place: its text, the point that it names (px), and the column it goes to."""

    text: str
    x: float
    y: float
    side: Side
    look: str = ""


@dataclass(frozen=True)
class Label:
    """A placed label: its text at (`at`, `level`), its leader from `start` to the point (x, y)."""

    text: str
    anchor: Literal["start", "end"]
    at: float
    level: float
    start: float
    x: float
    y: float
    look: str


def place(wanted: Sequence[Wanted], left: float, right: float, top: float) -> tuple[Label, ...]:
    """Labels in two columns that end at `left` and begin at `right`; none above `top`.

    A label stands as near to the height of its point as the others let it, and the columns keep
    the order of the points, so that no leader crosses another of its column more than it must.
    """
    placed: list[Label] = []
    for side in ("left", "right"):
        labels = [w for w in wanted if w.side == side]
        labels.sort(key=lambda w: (w.y, w.x if side == "left" else -w.x))
        levels = apart([w.y for w in labels], GAP, top)
        at, start = (left, left + 3) if side == "left" else (right, right - 3)
        at, start = round(at, 1), round(start, 1)
        anchor: Literal["start", "end"] = "end" if side == "left" else "start"
        for label, level in zip(labels, levels, strict=True):
            placed.append(
                Label(label.text, anchor, at, round(level, 1), start, round(label.x, 1),
                      round(label.y, 1), label.look)
            )  # fmt: skip
    return tuple(placed)


def apart(wanted: Sequence[float], gap: float, low: float) -> list[float]:
    """Rising values moved so that each is `gap` from the next and none is below `low`.

    Runs of values that are too close together are spread about their common middle.
    """
    runs: list[list[float]] = []  # each: its first value, how many it holds
    for value in wanted:
        runs.append([max(value, low), 1])
        while len(runs) > 1 and runs[-2][0] + runs[-2][1] * gap > runs[-1][0]:
            (first, many), (second, more) = runs[-2:]
            middle = (first * many + (second - many * gap) * more) / (many + more)
            runs[-2:] = [[max(middle, low), many + more]]
    return [first + n * gap for first, many in runs for n in range(int(many))]
