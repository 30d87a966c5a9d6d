"""The section along the upright axes: everything at its height and radius, to one scale.

Heights are those of the design, which the rules use too; nothing here works any out. What is new
is hatched (the hatch leans the other way from arbor to arbor, as where cut parts touch) and
numbered; what was there before is plain grey.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from math import ceil

from kitdocs.kit.model import Item
from kitdocs.kit.parts import Arm, Plate
from kitdocs.kit.stage import Stage
from kitdocs.mechanism.heights import Span
from kitdocs.mechanism.screws import Fastening
from kitdocs.pages.half_section import Ring, outer_radius, rings
from kitdocs.pages.handbook import Handbook
from kitdocs.pages.height_scale import HeightScale
from kitdocs.pages.label_columns import GAP, Label, Side, Wanted, place
from kitdocs.pages.section_rows import (
    DRAWN,
    Row,
    Rows,
    fastener_span,
    from_above,
    head_height,
    washer_height,
)
from kitdocs.pages.section_strips import Column, Strip, strips
from kitdocs.words.numbers import plain

WIDTH = 390.0  # of every drawing, px
_LEFT, _RIGHT = 66.0, 364.0  # where the drawing itself lies; labels stand outside
_RULER, _LABELS = 42.0, 14.0  # px that the ruler and the labels stand outside the drawing
_TALLEST = 500.0  # px of the drawing itself, so that it fits a printed page
_LARGEST, _FRAME = 7.0, 3.0  # px per mm at most; of feet, plates and pillars by themselves
_MARGIN = 5.0  # mm shown below and above what is new
_NAME = 14.0  # px of a line of axis names


@dataclass(frozen=True)
class Shape:
    """A path in px, of an item or of the fasteners that hold it; `low` and `high` in mm."""

    d: str
    look: str
    item: str
    low: float
    high: float
    hatch: str = ""  # a or b where it is hatched


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


@dataclass(frozen=True)
class Section:
    """One drawing. The clip box holds the shapes; leaders and labels stand over it."""

    id: str
    whole: bool
    title: str
    description: str
    width: float
    height: float
    clip: tuple[float, float, float, float]
    shapes: tuple[Shape, ...]
    axes: tuple[AxisLine, ...]
    ticks: tuple[Tick, ...]
    ruler: float
    breaks: tuple[str, ...]
    labels: tuple[Label, ...]
    caption: str
    scale: float  # px per mm


@dataclass(frozen=True)
class SectionView:
    """The drawings of a section, and the table of their numbers."""

    drawings: tuple[Section, ...]
    rows: tuple[Row, ...]


def section_view(book: Handbook, stage: Stage | None = None) -> SectionView:
    """The section of a stage, or of the whole machine."""
    rows = Rows(book, stage)
    if not rows.rows:
        return SectionView((), ())
    wanted = {*rows.new, *rows.fastened}
    made = strips(book.kit, rows.shown, wanted)
    drawings = (_Drawing(book, rows, strip).section(n, len(made)) for n, strip in enumerate(made))
    return SectionView(tuple(d for d in drawings if d.shapes), rows.rows)


class _Drawing:
    """One strip, drawn."""

    def __init__(self, book: Handbook, rows: Rows, strip: Strip):
        self.book, self.rows, self.strip = book, rows, strip
        self.spans = book.design.heights.level if strip.level else book.design.heights.spans
        self.new = frozenset(rows.new)
        self.arbors = {arbor: n for n, arbor in enumerate(book.kit.arbors)}
        self.whole = rows.stage is None
        self.low, self.high = self._range()
        wide = strip.end - strip.start
        largest = _LARGEST if any(c.axis for c in strip.columns) else _FRAME
        widest = min((_RIGHT - _LEFT) / wide, largest)
        self.heights = HeightScale(self.low, self.high, self._ends(), widest, _TALLEST)
        self.scale = self.heights.scale
        self.start = (_LEFT + _RIGHT - wide * self.scale) / 2
        self.clip = (self.start, self.start + wide * self.scale)
        self.names = self._names()
        self.lines = max((line + 1 for *_, line in self.names), default=0)
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
                if item.id in self.new and item.id in self.spans:
                    found.append(self.spans[item.id])
                fastening = self.book.design.fastenings.get(item.id)
                if fastening and fastening.kind in DRAWN and item.id in self.rows.fastened:
                    span = fastener_span(self.book, fastening)
                    found += [span] if span else []
        found = found or [self.spans[i.id] for i in self._arms if i.id in self.spans]
        low, high = min(s.bottom for s in found), max(s.top for s in found)
        return (low if self.whole else low - _MARGIN) - 1, high + (1 if self.whole else _MARGIN)

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
            name = column.axis.replace("-", " ")
            half = len(name) * 3.2 + 3
            x = min(max(self.x(column.x), half), WIDTH - half)
            line = next((n for n, end in enumerate(ends) if end <= x - half), len(ends))
            ends[line : line + 1] = [x + half]
            found.append((x, name, line))
        return found

    # What is drawn

    def section(self, number: int, of: int) -> Section:
        wanted = self._wanted()
        fullest = max(sum(w.side == side for w in wanted) for side in ("left", "right"))
        excess = fullest * GAP - (self.bottom - self.top)
        if excess > 0:  # the drawing stands at half the height of the labels
            self.top += excess / 2
            self.heights.top, self.bottom = self.top, self.bottom + excess / 2
            wanted = self._wanted()
        labels = place(
            wanted,
            self.clip[0] - _LABELS,
            self.clip[1] + _LABELS - 6,
            self.top + 4 - max(0.0, excess / 2),
        )
        lowest = max((label.level for label in labels), default=0.0)
        height = max(self.bottom, lowest) + 8
        names = [c.axis.replace("-", " ") for c in self.strip.columns if c.axis is not None]
        about = " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
        what = self.rows.stage.title if self.rows.stage else "the whole machine"
        key = f"s{self.rows.stage.number}" if self.rows.stage else "m"
        title = f"Section {number + 1} of {of}, {what}: {about or 'the frame'}"
        return Section(
            id=f"{self.book.prefix}-{key}-h{number + 1}",
            whole=self.whole,
            title=title,
            description=self._told(),
            width=WIDTH,
            height=round(height, 1),
            clip=(round(self.clip[0], 1), round(self.top, 1),
                  round(self.clip[1] - self.clip[0], 1), round(self.bottom - self.top, 1)),
            shapes=tuple(self._shapes()),
            axes=tuple(self._axis_lines()),
            ticks=tuple(self._ticks()),
            ruler=round(self.clip[0] - _RULER, 1),
            breaks=tuple(self._break(y) for y in self.heights.breaks),
            labels=labels,
            caption=self._caption(about),
            scale=self.scale,
        )  # fmt: skip

    def _caption(self, about: str) -> str:
        if self.strip.level:
            return f"Along the {about} axis, which lies level; millimetres from its shoulder."
        carried = any(c.axis and self.book.kit.axes[c.axis].carried_by for c in self.strip.columns)
        if not about:
            return "The frame; what stands on it is set in a row here."
        if carried:
            return f"{about}: the arms all turned one way.".capitalize()
        return f"Along {about}."

    def _told(self) -> str:
        """The drawing in words: what is new, from the lowest up."""
        items = [i for c in self.strip.columns if c.labelled for i in c.items if i.id in self.new]
        found = sorted((self.spans[i.id].bottom, n, i) for n, i in enumerate(items)
                       if i.id in self.spans)  # fmt: skip
        names = dict.fromkeys(
            f"{self.rows.numbers[i.id]} {self.book.names.one(i.part)}" for *_, i in found
        )
        return f"From the lowest up: {'; '.join(names)}." if names else "Shown again."

    def _shapes(self) -> Iterator[Shape]:
        parts: list[tuple[int, float, Column, Item]] = []
        for n, column in enumerate(self.strip.columns):
            for item in column.items:
                if item.id in self.spans and not isinstance(item.part, Plate):
                    rank = {"shaft": 2, "stack": 1, "end_stack": 1}[item.where]
                    parts.append((rank, n, column, item))
        yield from self._slabs()
        for new in (False, True):
            chosen = [p for p in parts if (p[3].id in self.new) is new]
            # A plain shaft passes through what is on it; a pipe's outside is bounded by bores.
            for *_, column, item in sorted(chosen, key=lambda p: p[0]):
                yield from self._item(column, item)
            for *_, column, item in chosen:
                yield from self._fasteners(column, item, fresh=False)
        for *_, column, item in parts:
            yield from self._fasteners(column, item, fresh=True)
        for column in self.strip.columns:
            for item in column.items:
                if isinstance(item.part, Plate):
                    yield from self._fasteners(column, item, fresh=True)

    def _slabs(self) -> Iterator[Shape]:
        """Plates of the frame go through from end to end; a plate on an arbor is round."""
        if self.strip.level:
            return
        for item in self.book.kit.items.values():
            if not isinstance(item.part, Plate) or item.id not in self.rows.shown:
                continue
            if self.book.kit.arbors[item.arbor].axis is not None or item.id not in self.spans:
                continue
            span = self.spans[item.id]
            d = self._box(self.clip[0] - 3, self.clip[1] + 3, span)
            yield self._shape(d, item, span)
        for column in self.strip.columns:
            for item in column.items:
                if column.axis and isinstance(item.part, Plate) and item.id in self.spans:
                    yield from self._item(column, item)

    def _shape(self, d: str, item: Item, span: Span, look: str = "") -> Shape:
        hatch = ""
        if item.id in self.new and look != "teeth":
            turn = self.arbors[item.arbor] + item.level + (item.where != "shaft")
            hatch = "ab"[turn % 2]
        state = "new" if item.id in self.new else "old"
        look = f"kd-{state}{f' kd-{look}' if look else ''}"
        return Shape(d, look, item.id, round(span.bottom, 3), round(span.top, 3), hatch)

    def _sides(self, column: Column) -> list[int]:
        return [side for side, drawn in ((-1, column.left), (1, column.right)) if drawn]

    def _item(self, column: Column, item: Item) -> Iterator[Shape]:
        span = self.spans[item.id]
        if span.top < self.low or span.bottom > self.high:
            return
        by_look: dict[str, list[str]] = {}
        made = rings(item.part)
        if not made:
            made = (Ring(0.0, 2.0),)
        for ring in made:
            look = "" if ring.look == "body" else ring.look
            if ring.inner == 0 and ring.look != "ball" and column.left and column.right:
                ends = self.x(column.x - ring.outer), self.x(column.x + ring.outer)
                by_look.setdefault(look, []).append(self._box(*ends, span))
                continue
            for side in self._sides(column):
                by_look.setdefault(look, []).append(self._ring(column.x, side, ring, span))
        if isinstance(item.part, Arm):
            by_look.setdefault("", []).append(self._arm(column, item.part, span))
        for look, paths in by_look.items():
            yield self._shape("".join(paths), item, span, look)

    def _ring(self, at: float, side: int, ring: Ring, span: Span) -> str:
        if ring.look == "ball":
            x, r, top = self.x(at), ring.outer * self.scale, self.y(span.top)
            return f"M{_n(x)} {_n(top)}a{_n(r)} {_n(r)} 0 0 {int(side > 0)} 0 {_n(2 * r)}z"
        return self._box(self.x(at + side * ring.inner), self.x(at + side * ring.outer), span)

    def _box(self, one: float, other: float, span: Span) -> str:
        """A box from one x to another, in px, over a span of heights."""
        x, y = min(one, other), self.y(span.top)
        wide, tall = abs(other - one), self.y(span.bottom) - y
        return f"M{_n(x)} {_n(y)}h{_n(wide)}v{_n(tall)}h{_n(-wide)}z"

    def _arm(self, column: Column, arm: Arm, span: Span) -> str:
        """The bar of an arm, to the end that carries something."""
        side = 1 if column.right else -1
        hub, end = column.x + side * arm.hub / 2, column.x + side * (arm.reach + arm.hub / 4)
        return self._box(self.x(hub), self.x(end), span)

    def _break(self, y: float) -> str:
        """Where a stretch is left out: a band between two zigzags."""
        left, right = self.clip[0] - 6, self.clip[1] + 6
        step = 12.0
        teeth = int((right - left) / step) + 1
        there = "".join(f"l{step / 2:g} -3l{step / 2:g} 3" for _ in range(teeth))
        back = "".join(f"l{-step / 2:g} -3l{-step / 2:g} 3" for _ in range(teeth))
        return f"M{_n(left)} {_n(y - 2)}{there}v6{back}z"

    # Fasteners

    def _fasteners(self, column: Column, item: Item, fresh: bool) -> Iterator[Shape]:
        fastening = self.book.design.fastenings.get(item.id)
        if fastening is None or item.id not in self.rows.shown_fastened:
            return
        if (item.id in self.rows.fastened) is not fresh or fastening.kind not in DRAWN:
            return
        if self.whole and not column.labelled:
            return  # the drawing that labels this axis shows them
        span = fastener_span(self.book, fastening)
        if span is None or span.top < self.low or span.bottom > self.high:
            return
        look = "kd-screw kd-new" if fresh else "kd-screw kd-old"
        d = "".join(self._screw(column, fastening, side, span) for side in self._sides(column)[:1])
        yield Shape(d, look, item.id, round(span.bottom, 3), round(span.top, 3))

    def _screw(self, column: Column, fastening: Fastening, side: int, span: Span) -> str:
        part = fastening.part
        assert part is not None
        half = part.parsed.nominal / 2
        if fastening.kind == "set-screw":
            bore = getattr(fastening.item.part, "bore", 0.0) / 2
            length = float(part.parsed.length or 0)
            return self._bar(column.x, side, bore, bore + length, span.bottom, span.top)
        at = self._screw_radius(fastening)
        head = head_height(fastening)
        wide = (fastening.head.diameter if fastening.head else None) or 2 * half
        down = from_above(self.book, fastening)
        shank = (span.bottom, span.top - head) if down else (span.bottom + head, span.top)
        cap = (span.top - head, span.top) if down else (span.bottom, span.bottom + head)
        d = self._bar(column.x, side, at - half, at + half, *shank)
        if head:
            d += self._bar(column.x, side, at - wide / 2, at + wide / 2, *cap)
        if fastening.washer is not None:
            r = outer_radius(fastening.washer) or wide / 2
            under = washer_height(fastening)
            flat = (shank[1] - under, shank[1]) if down else (shank[0], shank[0] + under)
            d += self._bar(column.x, side, at - r, at + r, *flat)
        return d

    def _screw_radius(self, fastening: Fastening) -> float:
        """How far from the held item's axis its screws stand."""
        if self.book.kit.arbors[fastening.item.arbor].axis is None:
            return 0.0  # in a row with the rest of the frame
        circles = [fastening.passing, *fastening.host_holes]
        circle = next((c.circle for c in circles if c is not None and c.circle), None)
        return circle / 2 if circle else 0.0

    def _bar(self, at: float, side: int, inner: float, outer: float, low: float, high: float):
        return self._box(self.x(at + side * inner), self.x(at + side * outer), Span(low, high))

    # Labels, ruler and axes

    def _wanted(self) -> list[Wanted]:
        """Labels of the end columns go to the near side, those between to where there is room."""
        ends: list[Wanted] = []
        between: list[tuple[Column, Item, int]] = []
        told: set[int] = set()
        for column in self.strip.columns:
            for item in column.items if column.labelled else ():
                number = self.rows.numbers.get(item.id)
                if number and number not in told and item.id in self.spans:
                    told.add(number)
                    if column.left and column.right:
                        between.append((column, item, number))
                    else:
                        ends.append(self._label(column, item, number, 1 if column.right else -1))
                screw = self.rows.fastener_numbers.get(item.id)
                if screw and screw not in told:
                    told.add(screw)
                    ends += self._screw_label(column, item, screw)
        ends = self._evened(ends)
        counts = {side: sum(w.side == side for w in ends) for side in ("left", "right")}
        centre = (self.strip.start + self.strip.end) / 2
        most = (self.heights.bottom - self.top) / GAP
        for column, item, number in sorted(between, key=lambda b: -self.spans[b[1].id].top):
            near = "left" if column.x <= centre else "right"
            other = "right" if near == "left" else "left"
            # One column of the drawing: turn about. Several: the near side while it has room.
            alone = len(self.strip.columns) == 1 or counts[near] >= most
            side = other if alone and counts[other] < counts[near] else near
            counts[side] += 1
            ends.append(self._label(column, item, number, -1 if side == "left" else 1, side))
        return ends

    def _evened(self, wanted: list[Wanted]) -> list[Wanted]:
        """Where one side has more labels than the drawing is high, what reaches furthest over
        goes to the other side."""
        most = (self.heights.bottom - self.top) / GAP
        for side, other in (("left", "right"), ("right", "left")):
            own = sorted((w for w in wanted if w.side == side), key=lambda w: w.x)
            spare = int(len(own) - max(most, len(wanted) / 2))
            if spare > 0:
                over = own[-spare:] if side == "left" else own[:spare]
                moved = [replace(w, side=other) for w in over]
                wanted = [w for w in wanted if w not in over] + moved
        return wanted

    def _label(self, column: Column, item: Item, number: int, direction: int,
               side: Side | None = None) -> Wanted:  # fmt: skip
        """A label whose leader ends on that half of the item."""
        span = self.spans[item.id]
        made = rings(item.part) or (Ring(0.0, 1.0),)
        inner = min(r.inner for r in made)
        outer = max(r.outer for r in made if r.look != "teeth")
        depth = min((outer - inner) / 2, 3.0)
        if item.where == "shaft":  # its upper end is what shows
            reach, height = inner + depth, span.top - min(1.5, span.height / 2)
        else:
            reach, height = outer - depth, (span.bottom + span.top) / 2
        plate = isinstance(item.part, Plate) and column.axis is None
        x = self.x(column.x if plate else column.x + direction * reach)
        x = min(max(x, self.clip[0] + 2), self.clip[1] - 2)
        return Wanted(
            str(number), x, self.y(height), side or ("left" if direction > 0 else "right")
        )

    def _screw_label(self, column: Column, item: Item, number: int) -> Iterable[Wanted]:
        fastening = self.book.design.fastenings[item.id]
        span = fastener_span(self.book, fastening)
        if span is None:
            return
        side = self._sides(column)[0]
        if fastening.kind == "set-screw":
            length = float(fastening.part.parsed.length or 0) if fastening.part else 0.0
            at = getattr(item.part, "bore", 0.0) / 2 + length * 0.7
            y = self.y((span.bottom + span.top) / 2)
        else:
            at = self._screw_radius(fastening)
            end = head_height(fastening) / 2
            y = self.y(span.top - end if from_above(self.book, fastening) else span.bottom + end)
        middle = (self.clip[0] + self.clip[1]) / 2
        x = self.x(column.x + side * at)
        x = min(max(x, self.clip[0] + 1), self.clip[1] - 1)
        yield Wanted(str(number), x, y, "left" if x < middle else "right", "screw")

    def _ticks(self) -> Iterator[Tick]:
        step = next(s for s in (1, 2, 5, 10, 20, 50, 100, 1000) if s * self.scale >= 2 * GAP)
        first = ceil(self.low / step)
        for n in range(first, int(self.high // step) + 1):
            if self.heights.shows(n * step):
                yield Tick(round(self.y(n * step), 1), plain(n * step))

    def _axis_lines(self) -> Iterable[AxisLine]:
        columns = [c for c in self.strip.columns if c.axis is not None]
        for column, (x, name, line) in zip(columns, self.names, strict=True):
            y = self.top - _NAME * (self.lines - line) + 6
            yield AxisLine(
                round(self.x(column.x), 1), round(y + 3, 1), round(self.bottom, 1), name,
                round(x, 1), round(y, 1),
            )  # fmt: skip


def _n(value: float) -> str:
    return f"{round(value, 1) + 0.0:g}"
