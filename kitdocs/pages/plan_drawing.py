"""The plan: pitch circles and teeth seen from above, to scale, with the sense of each wheel.

Carried axes stand where they are with every carrier at 0 degrees. What is new is coloured and
filled with a hatch; what was there before is plain grey.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, cos, degrees, pi, radians, sin

from kitdocs.kit.model import Item
from kitdocs.kit.parts import Plate, RingWheel, Toothed
from kitdocs.kit.stage import Stage
from kitdocs.mechanism.meshes import mesh_kind, tooth_count
from kitdocs.pages.half_section import pitch_radius
from kitdocs.pages.handbook import Handbook
from kitdocs.pages.label_columns import GAP, Label, Side, Wanted, place
from kitdocs.pages.plan_geometry import arc_arrow, contact, edge_on, kind_of
from kitdocs.pages.plan_rows import AxisRow, PlanRow, axis_rows, plan_rows
from kitdocs.pages.section_rows import Rows
from kitdocs.pages.tooth_outline import outline, phases
from kitdocs.pages.turning import Turning, turning_view

WIDTH = 390.0
_LEFT, _RIGHT = 58.0, 332.0
_TALLEST = 480.0
_LARGEST = 8.0  # px per mm
_LEGIBLE = 3.6  # px from tooth to tooth, below which teeth run together
_MOST_TEETH = 330  # in one drawing; more points than it may hold


@dataclass(frozen=True)
class Circle:
    x: float
    y: float
    r: float
    look: str
    item: str
    hatch: str = ""


@dataclass(frozen=True)
class Line:
    """An open or closed path in px."""

    d: str
    look: str
    item: str = ""
    hatch: str = ""


@dataclass(frozen=True)
class AxisMark:
    x: float
    y: float
    name: str
    look: str


@dataclass(frozen=True)
class Plan:
    id: str
    whole: bool
    title: str
    description: str
    width: float
    height: float
    clip: tuple[float, float, float, float]
    circles: tuple[Circle, ...]
    lines: tuple[Line, ...]
    arrows: tuple[Line, ...]
    contacts: tuple[tuple[float, float], ...]
    axes: tuple[AxisMark, ...]
    labels: tuple[Label, ...]
    rows: tuple[PlanRow, ...]
    places: tuple[AxisRow, ...]
    scale: float
    turning: Turning | None


def plan_view(book: Handbook, stage: Stage | None = None) -> Plan | None:
    """The plan of a stage, or of the whole machine; None where nothing of it has an axis."""
    made = _Plan(book, Rows(book, stage))
    return made.plan() if made.axes else None


class _Plan:
    def __init__(self, book: Handbook, rows: Rows):
        self.book, self.rows, self.kit = book, rows, book.kit
        self.positions = book.design.positions
        self.new = frozenset(rows.new)
        shown = [i for i in self.kit.items.values() if i.id in rows.shown]
        self.meshes = [m for m in self.kit.meshes if {m.a.id, m.b.id} <= rows.shown]
        self.wheels = [i for i in shown if pitch_radius(i.part) and self._axis(i) is not None]
        self.axes = list(
            dict.fromkeys(a for i in shown if i.id in self.new and (a := self._axis(i)))
        )
        level = {a for a, axis in self.kit.axes.items() if axis.lies == "level"}
        self.upright = [a for a in self.positions if a not in level]
        partners = {i.id for m in self.meshes if {m.a.id, m.b.id} & self.new for i in (m.a, m.b)}
        self.told = [i for i in self.wheels if i.id in self.new | partners]
        if self.axes:
            self._fit(shown)

    def _axis(self, item: Item) -> str | None:
        """The upright axis of an item, or the level one."""
        axis = self.kit.arbors[item.arbor].axis
        return axis if axis in self.positions else None

    def _upright(self, item: Item) -> bool:
        return self._axis(item) in self.upright

    def _fit(self, shown: list[Item]) -> None:
        """The box of everything new and its partners, and the scale that shows it."""
        with_wheels = {self._axis(i) for i in self.told}
        axes = [a for a in self.axes if a in with_wheels] or self.axes
        boxes = [(*self.positions[a], 6.0) for a in axes]
        boxes += [
            (*self.positions[self._axis(i) or ""], (pitch_radius(i.part) or 0) + i.part.module + 2)
            for i in self.told
            if isinstance(i.part, Toothed) and self._upright(i)
        ]
        boxes += [(*p, 2.0) for i in self.told if not self._upright(i) for p in self._ends(i)]
        self.plates = [
            i for i in shown
            if i.id in self.new and isinstance(i.part, Plate) and i.part.outside
            and self.kit.arbors[i.arbor].axis is None
        ]  # fmt: skip
        if not self.told:
            boxes += [(0.0, 0.0, (i.part.outside or 0) / 2 + 2) for i in self.plates]
        self.west, self.east = min(x - r for x, _, r in boxes), max(x + r for x, _, r in boxes)
        self.south, self.north = min(y - r for _, y, r in boxes), max(y + r for _, y, r in boxes)
        self.scale = min(
            (_RIGHT - _LEFT) / (self.east - self.west),
            _TALLEST / (self.north - self.south),
            _LARGEST,
        )
        wide = (self.east - self.west) * self.scale
        self.start = (_LEFT + _RIGHT - wide) / 2
        self.top = 6.0

    def x(self, mm: float) -> float:
        return round(self.start + (mm - self.west) * self.scale, 1)

    def y(self, mm: float) -> float:
        return round(self.top + (self.north - mm) * self.scale, 1)

    def plan(self) -> Plan:
        wanted = list(self._wanted())
        tall = (self.north - self.south) * self.scale
        fullest = max([0, *(sum(w.side == s for w in wanted) for s in ("left", "right"))])
        excess = max(0.0, fullest * GAP - tall)
        self.top += excess / 2
        wide = (self.east - self.west) * self.scale
        labels = place(list(self._wanted()), self.start - 6, self.start + wide + 6, 12.0)
        lowest = max((label.level for label in labels), default=0.0)
        stage = self.rows.stage
        book = self.book
        what = book.names.stage(stage) if stage else book.text("the whole machine")
        rows = tuple(plan_rows(self.book, self.rows, self.told))
        told = "; ".join(
            book.text("%(wheel)s on %(axis)s, %(sense)s", wheel=r.name, axis=r.axis, sense=r.sense)
            for r in rows
        )
        return Plan(
            id=f"{self.book.prefix}-{f's{stage.number}' if stage else 'm'}-plan",
            whole=stage is None,
            title=book.text("Plan, %(what)s", what=what),
            description=book.text(
                "Seen from above. %(told)s.", told=told or book.text("Where the axes stand")
            ),
            width=WIDTH,
            height=round(max(self.top + tall, lowest) + 8, 1),
            clip=(round(self.start, 1), round(self.top, 1), round(wide, 1), round(tall, 1)),
            circles=tuple(self._circles()),
            lines=tuple(self._lines()),
            arrows=tuple(self._arrows()),
            contacts=tuple(self._contacts()),
            axes=tuple(self._marks()),
            labels=labels,
            rows=rows,
            places=tuple(axis_rows(self.book, self.axes if stage else self.positions)),
            scale=self.scale,
            turning=turning_view(book, stage, self),
        )

    # Circles, teeth and arms

    def _circles(self) -> Iterator[Circle]:
        for item in self.plates:
            assert isinstance(item.part, Plate)
            r = (item.part.outside or 0) / 2
            yield Circle(self.x(0), self.y(0), round(r * self.scale, 1), "kd-plate", item.id)
        toothed = {line.item for line in self._teeth()}
        order = sorted(self.wheels, key=lambda i: (i.id in self.new, -(pitch_radius(i.part) or 0)))
        for item in order:
            if not self._upright(item):
                continue
            x, y = self.positions[self._axis(item) or ""]
            r = (pitch_radius(item.part) or 0) * self.scale
            look = "kd-pitch kd-new" if item.id in self.new else "kd-pitch kd-old"
            hatch = ""
            if item.id in self.new and item.id not in toothed and self.rows.stage is not None:
                hatch = "ab"[order.index(item) % 2]
            yield Circle(self.x(x), self.y(y), round(r, 1), look, item.id, hatch)

    def _teeth(self) -> list[Line]:
        """True outlines of the new wheels, the smallest on top, while they stay legible."""
        if self.rows.stage is None:
            return []
        bearings = {}
        for n, mesh in enumerate(self.kit.meshes):
            if mesh in self.meshes and mesh_kind(mesh) in ("external", "internal"):
                a, b = (self.positions.get(self._axis(i) or "") for i in (mesh.a, mesh.b))
                if a and b and a != b:
                    bearings[n] = degrees(atan2(b[1] - a[1], b[0] - a[0]))
        turned = phases(self.kit, bearings)
        left = _MOST_TEETH
        made: list[Line] = []
        for item in sorted(self.told, key=lambda i: -(pitch_radius(i.part) or 0)):
            part = item.part
            if not isinstance(part, Toothed) or isinstance(part, RingWheel):
                continue
            apart = pi * part.module * self.scale
            legible = apart >= _LEGIBLE and part.teeth <= left and self._upright(item)
            if not legible or kind_of(self.meshes, item) not in ("external", "internal"):
                continue
            left -= part.teeth
            cx, cy = self.positions[self._axis(item) or ""]
            points = outline(part, turned.get(item.id, 0.0), apart >= 9)
            text = "L".join(f"{self.x(cx + x):g} {self.y(cy + y):g}" for x, y in points)
            new = item.id in self.new
            hatch = "ab"[len(made) % 2] if new else ""
            made.append(Line(f"M{text}z", "kd-new" if new else "kd-old", item.id, hatch))
        return made

    def _lines(self) -> Iterator[Line]:
        yield from self._teeth()
        for name in self.upright:
            axis = self.kit.axes[name]
            if axis.carried_by is None or name not in self.axes:
                continue
            carrier = self.kit.arbors[axis.carried_by].axis
            if carrier in self.positions:
                (ax, ay), (bx, by) = self.positions[carrier], self.positions[name]
                d = f"M{self.x(ax):g} {self.y(ay):g}L{self.x(bx):g} {self.y(by):g}"
                yield Line(d, "kd-arm")
        for item in self.wheels:
            if not self._upright(item):
                yield self._level_wheel(item)
        for arbor, fact in self.kit.arbors.items():
            shaft = self.kit.items.get(arbor)
            if (
                fact.axis
                and fact.axis not in self.upright
                and shaft
                and shaft.id in self.rows.shown
            ):
                yield self._level_shaft(shaft)

    # An arbor that lies level

    def _along(self, axis: str) -> tuple[float, float]:
        bearing = radians(self.kit.axes[axis].bearing)
        return cos(bearing), sin(bearing)

    def _ends(self, item: Item) -> list[tuple[float, float]]:
        """The corners of a wheel on a level arbor."""
        axis = self._axis(item) or ""
        span = self.book.design.heights.level[item.id]
        r = pitch_radius(item.part) or 0.0
        return edge_on(self.positions[axis], self._along(axis), span.bottom, span.top, r)

    def _level_wheel(self, item: Item) -> Line:
        text = "L".join(f"{self.x(x):g} {self.y(y):g}" for x, y in self._ends(item))
        new = item.id in self.new
        return Line(f"M{text}z", "kd-new" if new else "kd-old", item.id, "a" if new else "")

    def _level_shaft(self, shaft: Item) -> Line:
        axis = self._axis(shaft) or ""
        (ox, oy), (dx, dy) = self.positions[axis], self._along(axis)
        span = self.book.design.heights.level[shaft.id]
        ends = [(ox + dx * at, oy + dy * at) for at in (span.bottom, span.top)]
        d = "L".join(f"{self.x(x):g} {self.y(y):g}" for x, y in ends)
        return Line(f"M{d}", "kd-lying", shaft.id)

    # Sense, contacts, labels

    def _arrows(self) -> Iterator[Line]:
        """An arc with a head in each turning wheel's own ring."""
        step: dict[str, int] = {}
        for item in self.told:
            speed = self.book.design.motion.speeds.get(item.arbor)
            axis = self._axis(item)
            if not speed or not self._upright(item) or axis is None:
                continue
            r = (pitch_radius(item.part) or 0.0) * self.scale - 5
            if r < 6:
                continue
            begin = 80 + 37 * step.setdefault(axis, 0)
            step[axis] += 1
            span = min(60.0, degrees(26 / r))
            ends = (begin, begin + span) if speed > 0 else (begin + span, begin)
            look = "kd-arrow kd-new" if item.id in self.new else "kd-arrow"
            x, y = self.positions[axis]
            yield Line(arc_arrow(self.x(x), self.y(y), r, *ends), look, item.id)

    def _contacts(self) -> Iterator[tuple[float, float]]:
        for mesh in self.meshes:
            if not {mesh.a.id, mesh.b.id} & self.new:
                continue
            a, b = (self.positions.get(self._axis(i) or "") for i in (mesh.a, mesh.b))
            if point := contact(mesh, a, b):
                yield self.x(point[0]), self.y(point[1])

    def _wanted(self) -> Iterator[Wanted]:
        """Number and tooth count, led to the pitch circle on the side where the label stands."""
        middle = (self.west + self.east) / 2
        counts: dict[Side, int] = {"left": 0, "right": 0}
        several = {a: sum(self._axis(i) == a for i in self.told) for a in self.positions}
        for item in sorted(self.told, key=lambda i: -(pitch_radius(i.part) or 0.0)):
            axis = self._axis(item) or ""
            x, y = self.positions[axis]
            side: Side = "left" if x < middle else "right"
            if several[axis] > 1 or abs(x - middle) < 1:
                side = min(counts, key=lambda s: counts[s])
            counts[side] += 1
            teeth = self.book.text("%(teeth)s t", teeth=tooth_count(item.part))
            number = self.rows.numbers.get(item.id)
            text = f"{number}: {teeth}" if number and item.id in self.new else teeth
            if not self._upright(item):
                px, py = self._ends(item)[1 if side == "left" else 0]
            else:
                r = pitch_radius(item.part) or 0.0
                lean = radians(20 * ((counts[side] % 3) - 1))
                px = x + (-1 if side == "left" else 1) * r * cos(lean)
                py = y + r * sin(lean)
            look = "" if item.id in self.new else "was"
            yield Wanted(text, self.x(px), self.y(py), side, look)

    def _marks(self) -> Iterator[AxisMark]:
        """A cross on every axis in use, with its name where it is new or has a wheel of the
        plan, and where no other name is in the way."""
        used = {self._axis(i) for i in self.kit.items.values() if i.id in self.rows.shown}
        named = {*self.axes, *(self._axis(i) for i in self.told)}
        taken: list[tuple[float, float, float]] = []
        for name in sorted(self.upright, key=lambda a: a not in named):
            x, y = self.positions[name]
            inside = self.west <= x <= self.east and self.south <= y <= self.north
            if name not in used or not inside:
                continue
            at, level, text = self.x(x), self.y(y), self.book.axis_name(name)
            half = len(text) * 3.4
            free = all(abs(at - a) > half + h or abs(level - b) > 13 for a, b, h in taken)
            if free and name in named:
                taken.append((at, level, half))
            else:
                text = ""
            yield AxisMark(at, level, text, "kd-new" if name in self.axes else "kd-was")
