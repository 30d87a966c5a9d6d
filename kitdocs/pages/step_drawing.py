"""The drawings of a step: the section where it works, as it stands when the step is done.

What is new is hatched and numbered, what comes from the bench is outlined, what comes off dashed;
an arrow shows the way of what moves. All else is grey. Heights and radii are those of the section.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from kitdocs.assembly.state import MACHINE
from kitdocs.assembly.step_work import MOVES, Event, Work, step_work
from kitdocs.kit.model import Item
from kitdocs.kit.stage import Stage, Step
from kitdocs.mechanism.heights import Span
from kitdocs.pages.half_section import outer_radius, pitch_radius
from kitdocs.pages.handbook import Handbook, Ref
from kitdocs.pages.label_columns import Label, Wanted
from kitdocs.pages.section_drawing import labelled
from kitdocs.pages.section_frame import WIDTH, AxisLine, SectionFrame, written
from kitdocs.pages.section_labels import SectionLabels
from kitdocs.pages.section_rows import fastener_span
from kitdocs.pages.section_shapes import SectionShapes, Shape
from kitdocs.pages.section_strips import Column, Strip
from kitdocs.pages.step_rows import StepRow, StepRows, pairs

_TALLEST = 300.0  # px of the drawing itself
_LOW = 200.0  # the same of what lies on the bench
_LEVEL = 0.01  # mm that the undersides of things side by side may differ
_WAY = 20.0  # px of an arrow above or below the drawing


@dataclass(frozen=True)
class Mark:
    """A sign in a drawing, as a path: `way`, `turn` or `contact`."""

    look: str
    d: str


@dataclass(frozen=True)
class StepDrawing:
    """One drawing. `bench` is where the bench is, in px, for what lies on it."""

    id: str
    axes: tuple[str, ...]
    level: bool
    height: float
    clip: tuple[float, float, float, float]
    shapes: tuple[Shape, ...]
    lines: tuple[AxisLine, ...]
    breaks: tuple[str, ...]
    labels: tuple[Label, ...]
    marks: tuple[Mark, ...]
    bench: float | None
    width: float = WIDTH


@dataclass(frozen=True)
class StepFigure:
    """What a step does to one assembly. `times`: so many are made alike, `twins` the others."""

    drawings: tuple[StepDrawing, ...]
    rows: tuple[StepRow, ...]
    on_bench: bool
    times: int = 1
    twins: tuple[Work, ...] = ()

    @property
    def likeness(self) -> object:
        """What two figures have in common that look alike, whatever their items are called."""
        drawn = [(d.axes if not self.on_bench else (), d.labels, d.marks,
                  [(s.d, s.look) for s in d.shapes]) for d in self.drawings]  # fmt: skip
        return drawn, [(r.done, r.name, r.note, bool(r.later)) for r in self.rows]

    def and_one(self, other: StepFigure, work: Work) -> StepFigure:
        """This figure, for one more that looks the same."""
        rows = tuple(
            replace(row, later=tuple(dict.fromkeys((*row.later, *twin.later))))
            for row, twin in zip(self.rows, other.rows, strict=True)
        )
        return replace(self, rows=rows, times=self.times + 1, twins=(*self.twins, work))


def step_figures(book: Handbook, stage: Stage, step: Step) -> tuple[StepFigure, ...]:
    """The drawings of a step; none where it builds and moves nothing."""
    found: list[StepFigure] = []
    for work in _side_by_side(book, step_work(book.design.dry_build, stage, step)):
        rows = StepRows(book, stage, step, work)
        if not any(event.kind != "oiled" for event in work.events):
            continue
        named = f"{book.prefix}-s{stage.number}-{step.number}-{len(found) + 1}"
        figure = _figure(rows, named)
        if not figure.drawings:
            continue
        twin = next((n for n, f in enumerate(found) if f.likeness == figure.likeness), None)
        if twin is None:
            found.append(figure)
        else:
            found[twin] = found[twin].and_one(figure, work)
    return tuple(found)


def _side_by_side(book: Handbook, works: Iterable[Work]) -> list[Work]:
    """Assemblies that lie on the bench at one height and on axes of their own are drawn together,
    where no teeth of theirs would seem to meet."""
    made: list[Work] = []
    for work in works:
        first = next((n for n, other in enumerate(made) if _beside(book, other, work)), None)
        if first is None:
            made.append(work)
        else:
            other = made[first]
            made[first] = Work(
                other.assembly, other.there | work.there, (*other.events, *work.events)
            )
    return made


def _beside(book: Handbook, a: Work, b: Work) -> bool:
    kit, spans = book.kit, book.design.heights.spans
    if MACHINE in (a.assembly, b.assembly):
        return False
    axes = [{kit.arbors[kit.items[i].arbor].axis for i in work.there} for work in (a, b)]
    lows = [min((spans[i].bottom for i in w.there if i in spans), default=None) for w in (a, b)]
    meet = any(
        {mesh.a.id, mesh.b.id} & a.there and {mesh.a.id, mesh.b.id} & b.there for mesh in kit.meshes
    )
    alone = not axes[0] & axes[1] and len(axes[1]) == 1 and None not in axes[0] | axes[1]
    return alone and not meet and None not in lows and abs(lows[0] - lows[1]) < _LEVEL


def stage_figures(
    book: Handbook, stage: Stage
) -> dict[str, tuple[tuple[StepFigure, ...], Ref | None]]:
    """By the ids of a stage's steps: its drawings, or else the step that has the same ones."""
    made: dict[str, tuple[tuple[StepFigure, ...], Ref | None]] = {}
    seen: list[tuple[list[object], Step]] = []
    for step in stage.steps:
        figures = step_figures(book, stage, step)
        likeness = [figure.likeness for figure in figures]
        same = next((s for known, s in seen if figures and known == likeness), None)
        if same is None:
            seen.append((likeness, step))
            made[step.id] = figures, None
        else:
            made[step.id] = (), Ref(str(same.number), stage.uri, same.id)
    return made


def _figure(rows: StepRows, named: str) -> StepFigure:
    tallest = _LOW if rows.on_bench else _TALLEST
    drawings = []
    for n, strip in enumerate(rows.strips, 1):
        frame = SectionFrame(rows.book, rows, strip, tallest, named=not rows.on_bench)
        drawings.append(_drawing(frame, rows, f"{named}-{n}"))
    kept = tuple(d for d in drawings if d.shapes)
    return StepFigure(kept, rows.rows, rows.on_bench)


def _drawing(frame: SectionFrame, rows: StepRows, named: str) -> StepDrawing:
    marks = _Marks(frame, rows)
    ways = list(marks.ways())
    if any(way.above for way in ways):
        frame.make_room(_WAY)
    labels, height = labelled(
        frame, lambda: [*SectionLabels(frame).wanted(), *marks.contact_labels()]
    )
    below = any(not way.above for way in ways)
    drawn = [*marks.contacts(), *marks.turns(), *(marks.arrow(way) for way in ways)]
    x, wide = frame.clip[0], frame.clip[1] - frame.clip[0]
    book = frame.book
    return StepDrawing(
        id=named,
        axes=tuple(book.axis_name(c.axis) for c in frame.strip.columns if c.axis is not None),
        level=frame.strip.level,
        height=round(max(height, frame.bottom + _WAY + 8 if below else 0.0), 1),
        clip=(round(x, 1), round(frame.top, 1), round(wide, 1),
              round(frame.bottom - frame.top, 1)),
        shapes=tuple(SectionShapes(frame).shapes()),
        lines=tuple(frame.axis_lines()),
        breaks=tuple(frame.zigzag(y) for y in frame.heights.breaks),
        labels=labels,
        marks=tuple(drawn),
        bench=round(marks.bench(), 1) if rows.on_bench and not frame.strip.level else None,
    )  # fmt: skip


@dataclass(frozen=True)
class _Way:
    """The way of what moves: at `x` px, to or from `end` mm, from above or below."""

    x: float
    end: float
    away: bool
    above: bool


class _Marks:
    """The signs of one drawing."""

    def __init__(self, frame: SectionFrame, rows: StepRows):
        self.frame, self.rows = frame, rows
        self.strip: Strip = frame.strip
        self.column: dict[str, Column] = {
            item.id: column for column in self.strip.columns if column.labelled
            for item in column.items
        }  # fmt: skip

    def bench(self) -> float:
        """How low the lowest thing on the bench reaches, px."""
        frame = self.frame
        lows = [frame.spans[i].bottom for i in self.rows.shown if i in frame.spans]
        for item in self.rows.shown_fastened:
            fastening = frame.book.design.fastenings.get(item)
            span = fastener_span(frame.book, fastening) if fastening else None
            lows += [span.bottom] if span else []
        return frame.y(max(min(lows, default=frame.low), frame.low))

    # The ways of what moves

    def ways(self) -> Iterator[_Way]:
        """One for each column and way: its nearest end."""
        if self.strip.level:
            return
        found: dict[tuple[int, bool, bool], list[float]] = {}
        beside: dict[int, float] = {}
        for event in self.rows.work.of(*MOVES):
            place = self.column.get(event.item)
            if place is None:
                continue
            spans = [self.frame.spans[i] for i in event.items
                     if self.column.get(i) is place and i in self.frame.spans]  # fmt: skip
            if not spans:
                continue
            above, away = not self._from_below(event), event.kind == "removed"
            end = max(s.top for s in spans) if above else min(s.bottom for s in spans)
            beside.setdefault(id(place), self._beside(place, event))
            found.setdefault((id(place), above, away), []).append(end)
        for (column, above, away), ends in found.items():
            end = max(ends) if above else min(ends)
            yield _Way(beside[column], min(max(end, self.frame.low), self.frame.high), away, above)

    def _beside(self, column: Column, event: Event) -> float:
        """Where its arrow stands: on the drawn side of the axis, clear of its centre line."""
        item = self.frame.book.kit.items[event.item]
        out = min((outer_radius(item.part) or 4.0) * 0.6, 8.0)
        side = 1 if column.right else -1
        return self.frame.x(column.x + side * out) if column.axis else self.frame.x(column.x)

    def _from_below(self, event: Event) -> bool:
        if event.kind == "removed":
            return False
        came = {i for e in self.rows.work.of("new", "placed", "refitted") for i in e.items}
        there = self.rows.shown - came
        return self.frame.book.design.access.bars(frozenset(event.items), there, False) is not None

    def arrow(self, way: _Way) -> Mark:
        x, end = written(way.x), self.frame.y(way.end)
        out = self.frame.top - _WAY + 2 if way.above else self.frame.bottom + _WAY - 2
        near = end - 2 if way.above else end + 2
        start, tip = (near, out) if way.away else (out, near)
        back = 5 if tip > start else -5
        return Mark(
            "way",
            f"M{x} {written(start)}V{written(tip)}"
            f"m-4 {-back}l4 {back}l4 {-back}",
        )  # fmt: skip

    # Screws that are turned back or tightened again, and teeth that meet

    def turns(self) -> Iterator[Mark]:
        numbers = self.rows.fastener_numbers
        for wanted in SectionLabels(self.frame).wanted():
            row = self.rows.rows[int(wanted.text) - 1]
            if wanted.look != "screw" or row.done not in ("slackened", "tightened"):
                continue
            assert row.items[0] in numbers
            x, y = written(wanted.x), written(wanted.y)
            way = 1 if row.done == "tightened" else -1
            yield Mark(
                "turn", f"M{x} {y}m{-7 * way} 0a7 7 0 1 {int(way > 0)} {7 * way} 7"
                f"m{4 * way} -4l{-4 * way} 4l{4 * way} 4"
            )  # fmt: skip

    def contacts(self) -> Iterator[Mark]:
        points = [point for _, point in self._points()]
        if points:
            yield Mark("contact", "".join(f"M{written(x)} {written(y)}h0" for x, y in points))

    def contact_labels(self) -> Iterator[Wanted]:
        middle = (self.frame.clip[0] + self.frame.clip[1]) / 2
        for number, (x, y) in self._points():
            yield Wanted(str(number), x, y, "left" if x < middle else "right", "met")

    def _points(self) -> Iterator[tuple[int, tuple[float, float]]]:
        """Where teeth meet: on the line between two axes that stand side by side."""
        for number, pair in pairs(self.rows.rows).items():
            items = [self.frame.book.kit.items[name] for name in pair]
            places = [self._column_of(item) for item in items]
            spans = [self.frame.spans.get(item.id) for item in items]
            radius = pitch_radius(items[0].part)
            if None in places or None in spans or not radius:
                continue
            (a, b), (one, other) = places, spans
            both = Span(max(one.bottom, other.bottom), min(one.top, other.top))
            if a is b or both.height <= 0 or not self.frame.shows(both):
                continue
            way = 1 if b.x > a.x else -1
            yield number, (self.frame.x(a.x + way * radius), self.frame.y(sum_half(both)))

    def _column_of(self, item: Item) -> Column | None:
        return next((c for c in self.strip.columns if item in c.items), None)


def sum_half(span: Span) -> float:
    """The middle of a span."""
    return (span.bottom + span.top) / 2
