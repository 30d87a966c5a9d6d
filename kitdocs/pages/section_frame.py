"""The frame of one section: its scales, its ruler, and where its axes and their names stand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from math import ceil
from typing import Any

from kitdocs.kit.model import Item
from kitdocs.mechanism.heights import Span
from kitdocs.pages.handbook import Handbook
from kitdocs.pages.height_scale import HeightScale
from kitdocs.pages.label_columns import GAP
from kitdocs.pages.section_rows import DRAWN, Shown, fastener_span
from kitdocs.pages.section_strips import Column, Strip

WIDTH = 390.0  # px of every drawing
_LEFT, _RIGHT = 66.0, 364.0  # where the drawing itself lies; labels stand outside
RULER, LABELS = 42.0, 14.0  # px that the ruler and the labels stand outside the drawing
_TALLEST = 500.0  # px of the drawing itself, so that it fits a printed page
_LARGEST, _FRAME = 7.0, 3.0  # px per mm at most; of feet, plates and pillars by themselves
_NAME = 14.0  # px of a line of axis names


@dataclass(frozen=True)
class Tick:
    y: float
    text: str


@dataclass(frozen=True)
class AxisLine:
    """The centre line of an axis, from `top` to `bottom`, and its name at (`at`, `level`)."""

    x: float
    top: float
    bottom: float
    name: str
    at: float
    level: float


class SectionFrame:
    """The scales of one strip. Heights in mm are those of the design; px are of the view box.

    `tallest` is how high the drawing itself may be, in px; `named` says that its axes have names.
    """

    def __init__(self, book: Handbook, rows: Shown[Any], strip: Strip,
                 tallest: float = _TALLEST, named: bool = True):  # fmt: skip
        self.book, self.rows, self.strip = book, rows, strip
        self._named = named
        self.spans = book.design.heights.level if strip.level else book.design.heights.spans
        self.new = frozenset(rows.new)
        self.arbors = {arbor: n for n, arbor in enumerate(book.kit.arbors)}
        self.whole = rows.stage is None
        self.low, self.high = self._range()
        wide = strip.end - strip.start
        largest = _LARGEST if any(c.axis for c in strip.columns) else _FRAME
        widest = min((_RIGHT - _LEFT) / wide, largest)
        self.heights = HeightScale(self.low, self.high, self._ends(), widest, tallest)
        self.scale = self.heights.scale
        self.start = (_LEFT + _RIGHT - wide * self.scale) / 2
        self.clip = (self.start, self.start + wide * self.scale)
        self.names = self._names()
        self.lines: float = max((n + 1 for _, name, n in self.names if name), default=0)
        self.top = 8.0 + _NAME * self.lines
        self.heights.top = self.top
        self.bottom = self.heights.bottom

    def x(self, mm: float) -> float:
        return self.start + (mm - self.strip.start) * self.scale

    def y(self, mm: float) -> float:
        return self.heights.y(mm)

    def _range(self) -> tuple[float, float]:
        found: list[Span] = []
        for column in self.strip.columns:
            # Beside carried axes their root, shown elsewhere too, is cut off below the arms.
            for item in column.items if column.labelled or not self._carries else self._arms:
                if item.id in self.rows.framed and item.id in self.spans:
                    found.append(self.spans[item.id])
                fastening = self.book.design.fastenings.get(item.id)
                if fastening and fastening.kind in DRAWN and item.id in self.rows.fastened:
                    span = fastener_span(self.book, fastening)
                    found += [span] if span else []
        found = found or [self.spans[i.id] for i in self._arms if i.id in self.spans]
        if not found:
            return 0.0, 1.0  # no height is known; a rule tells of it
        low, high = min(s.bottom for s in found), max(s.top for s in found)
        margin = max(self.rows.margin, (self.rows.least - (high - low)) / 2)
        return low - margin - 1, high + (margin or 1)

    @cached_property
    def _carries(self) -> bool:
        return any(c.rods for c in self.strip.columns)

    @cached_property
    def _arms(self) -> list[Item]:
        """The items that the arbors of the carried axes stand on."""
        kit = self.book.kit
        arbors = [kit.arbors[i.arbor] for c in self.strip.columns[1:] for i in c.items]
        return [kit.items[name] for name in dict.fromkeys(a.stands_on for a in arbors) if name]

    def _ends(self) -> Iterator[Span]:
        """The spans of everything that the strip shows."""
        for column in self.strip.columns:
            for item in column.items:
                if item.id in self.spans:
                    yield self.spans[item.id]
                fastening = self.book.design.fastenings.get(item.id)
                if fastening and fastening.kind in DRAWN:
                    span = fastener_span(self.book, fastening)
                    if span and item.id in self.rows.shown_fastened:
                        yield span

    def _names(self) -> list[tuple[float, str, int]]:
        """Axis names above the drawing, in as many lines as keep them apart."""
        ends: list[float] = []
        found = []
        for column in self.strip.columns:
            if column.axis is None:
                continue
            name = self.book.axis_name(column.axis) if self._named else ""
            half = len(name) * 3.2 + 3
            # Between the columns of labels, which may stand beside it.
            west, east = self.clip[0] - 10 + half, self.clip[1] + 8 - half
            x = max(west, min(self.x(column.x), east))
            line = next((n for n, end in enumerate(ends) if end <= x - half), len(ends))
            ends[line : line + 1] = [x + half]
            found.append((x, name, line))
        return found

    def lift(self, px: float) -> None:
        """Move the drawing down to leave room above it."""
        self.top += px
        self.heights.top, self.bottom = self.top, self.bottom + px

    def make_room(self, px: float) -> None:
        """Leave room between the drawing and the names of its axes."""
        self.lift(px)
        self.lines += px / _NAME

    def shows(self, span: Span) -> bool:
        return span.top >= self.low and span.bottom <= self.high

    def sides(self, column: Column) -> list[int]:
        return [side for side, drawn in ((-1, column.left), (1, column.right)) if drawn]

    def box(self, one: float, other: float, span: Span) -> str:
        """A box from one x to another, in px, over a span of heights."""
        x, y = min(one, other), self.y(span.top)
        wide, tall = abs(other - one), self.y(span.bottom) - y
        return f"M{written(x)} {written(y)}h{written(wide)}v{written(tall)}h{written(-wide)}z"

    def zigzag(self, y: float) -> str:
        """Where a stretch is left out: a band between two zigzags."""
        left, right = self.clip[0] - 6, self.clip[1] + 6
        step = 12.0
        teeth = int((right - left) / step) + 1
        there = "".join(f"l{step / 2:g} -3l{step / 2:g} 3" for _ in range(teeth))
        back = "".join(f"l{-step / 2:g} -3l{-step / 2:g} 3" for _ in range(teeth))
        return f"M{written(left)} {written(y - 2)}{there}v6{back}z"

    def ticks(self) -> Iterator[Tick]:
        step = next(s for s in (1, 2, 5, 10, 20, 50, 100, 1000) if s * self.scale >= 2 * GAP)
        first = ceil(self.low / step)
        for n in range(first, int(self.high // step) + 1):
            if self.heights.shows(n * step):
                yield Tick(round(self.y(n * step), 1), self.book.numbers.plain(n * step))

    def axis_lines(self) -> Iterator[AxisLine]:
        columns = [c for c in self.strip.columns if c.axis is not None]
        for column, (x, name, line) in zip(columns, self.names, strict=True):
            y = self.top - _NAME * (self.lines - line) + 6
            yield AxisLine(
                round(self.x(column.x), 1), round(y + 3, 1), round(self.bottom, 1), name,
                round(x, 1), round(y, 1),
            )  # fmt: skip


def written(value: float) -> str:
    """A length in px, to tenths."""
    return f"{round(value, 1) + 0.0:g}"
