"""The plan that turns: what turns about what, and exactly how fast, for the script of the page.

A rigid body is an arbor with everything that is fixed to it, by the name of the arbor; the frame
is "". At some turn of the crank a body stands turned about its axis by its own angle against the
frame, and its axis is where the body that carries it has brought it. Speeds are whole numbers,
numerator and denominator, so that angles are exact after any number of turns.
`site_templates/assets/turning.js` turns the drawing by the same geometry.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, cos, dist, lcm, radians, sin
from typing import Any, Protocol

from kitdocs.assembly.design import Design
from kitdocs.assembly.proof import Proof
from kitdocs.kit.model import Item
from kitdocs.kit.parts import Arm, Ball, Plate
from kitdocs.kit.stage import Stage
from kitdocs.mechanism.positions import Point
from kitdocs.mechanism.rigid import FRAME
from kitdocs.pages.half_section import pitch_radius
from kitdocs.pages.handbook import Handbook
from kitdocs.pages.proof_view import proof_view, turned_name

_UNIT = 1000  # parts of a turn of the crank that the slider counts in, at least
_MOST = 400  # turns on the slider when a page opens; it grows when more are wanted
_MARGIN = 0.06  # of the drawing's size, for the names of bodies
_RING = 0.35  # the least share of a wheel's radius that its marks take up
_SMALLEST = 2.5  # px, of a ball's radius


class Frame(Protocol):
    """Where a plan draws what: px of its view box from mm in the frame."""

    scale: float

    def x(self, mm: float) -> float: ...

    def y(self, mm: float) -> float: ...


@dataclass(frozen=True)
class TurningRow:
    """An arm of the table. `speed` is its turns for one of the crank, against what `against`
    names, or the frame; `level` arms are seen from the end of their axis."""

    name: str
    against: str
    level: bool
    speed: Fraction


@dataclass(frozen=True)
class Turning:
    """`turned` is what the hand turns, and which way forward is. `turns` are those of the proof
    in words, empty without one, and `many` that number for plurals. `data` is what the script
    works with, as JSON has it."""

    turned: str
    clockwise: bool
    level: bool
    turns: str
    many: int
    rows: tuple[TurningRow, ...]
    data: dict[str, Any]


def turning_view(book: Handbook, stage: Stage | None, frame: Frame) -> Turning | None:
    """What turns in the plan of a stage's end, or of the whole machine; None where nothing does."""
    if stage is None:
        return _Machine(book, book.design, frame).whole()
    proof = book.design.proofs.get(stage.id)
    if proof is not None:
        return _Machine(book, proof.machine, frame).proving(stage, proof)
    built = book.design.built[stage.id]
    crank = book.kit.mechanism.crank
    if not any(item.id in built for item in book.kit.on_arbor[crank]):
        return None
    return _Machine(book, book.design.of_items(built), frame).whole()


class _Machine:
    def __init__(self, book: Handbook, design: Design, frame: Frame):
        self.book, self.design, self.frame = book, design, frame
        self.kit, self.rigid, self.places = design.kit, design.rigid, design.positions
        self.speeds = design.motion.speeds
        self.items = sorted(self.kit.items.values(), key=self._height)
        self.swept: list[tuple[float, float, float]] = []  # circles that things stay in, mm

    def _height(self, item: Item) -> float:
        span = self.design.heights.of(item.id)
        return span.bottom if span else 0.0

    # The whole of it

    def proving(self, stage: Stage, proof: Proof) -> Turning | None:
        """With the figures of a stage's proof."""
        view = proof_view(self.book, stage)
        rows = tuple(
            TurningRow(row.name, row.against, row.level, shown.turns / proof.turns)
            for row, shown in zip(view.rows if view else (), proof.shown, strict=True)
        )
        turned = turned_name(self.book, proof)
        return self._turning(turned, rows, proof.turns, self.book.numbers.counted_turns)

    def whole(self) -> Turning | None:
        """With every body that the machine shows."""
        kit, speeds = self.kit, self.speeds
        rows = tuple(
            TurningRow(
                self.book.names.body(name),
                self.book.arbor_name(body.seen_from) if body.seen_from else "",
                self._level(body.arbor),
                speeds[body.arbor] - speeds.get(body.seen_from or "", Fraction(0)),
            )
            for name, body in kit.bodies.items()
            if body.arbor in speeds
        )
        crank = kit.mechanism.crank
        mine = kit.on_arbor[crank]
        handle = next((i for i in mine if i.part.kind == "crank-handle"), None)
        name = self.book.names.one(handle.part) if handle else self.book.arbor_name(crank)
        forward = speeds.get(kit.about.time.arbor, Fraction(1)) * speeds.get(crank, Fraction(1))
        return self._turning(name, rows, Fraction(-1 if forward < 0 else 1))

    def _turning(
        self,
        turned: str,
        rows: tuple[TurningRow, ...],
        turns: Fraction,
        words: Callable[[Fraction], str] | None = None,
    ) -> Turning | None:
        """`words` makes words of the number of turns of a proof."""
        moves, level = list(self._moves()), list(self._lying())
        if not any(move["s"][0] for move in [*moves, *level]):
            return None
        unit = lcm(_UNIT, turns.denominator)
        slowest = min((abs(row.speed) for row in rows if row.speed), default=Fraction(1))
        most = max(2, ceil(2 * abs(turns))) if words else min(_MOST, max(2, ceil(1 / slowest)))
        data = {
            "unit": unit,
            "way": -1 if turns < 0 else 1,
            "proof": int(abs(turns) * unit) if words else 0,
            "most": most,
            "moves": moves,
            "level": level,
            "arms": list(self._arms()),
            "balls": list(self._balls()),
            "names": list(self._names()),
            "rows": [_ratio(row.speed) for row in rows],
        }
        data["box"] = self._box()
        return Turning(
            turned=turned,
            clockwise=turns < 0,
            level=self._level(self.kit.mechanism.crank),
            turns=words(turns) if words else "",
            many=ceil(abs(turns)),
            rows=rows,
            data=data,
        )

    # Bodies

    def _level(self, arbor: str) -> bool:
        axis = self.kit.arbors[arbor].axis
        return axis is not None and self.kit.axes[axis].lies == "level"

    def _at(self, arbor: str) -> Point | None:
        """Where an upright arbor stands."""
        return None if self._level(arbor) else self.places.get(self.kit.arbors[arbor].axis or "")

    def _carrier(self, arbor: str) -> str:
        carrier = self.kit.carrier(arbor)
        return FRAME if carrier is None else self.rigid.body(carrier)

    def _speed(self, body: str) -> Fraction:
        """What nothing drives goes along with what carries it."""
        if body == FRAME:
            return Fraction(0)
        speed = self.speeds.get(body)
        if speed is None:
            return Fraction(0) if self._level(body) else self._speed(self._carrier(body))
        return speed

    def _bodies(self) -> list[str]:
        """The bodies that have a place in plan, each after what carries it."""
        found: dict[str, None] = {}

        def take(body: str) -> None:
            if body != FRAME and body not in found:
                take(self._carrier(body))
                found[body] = None

        for item in self.items:
            body = self.rigid.body(item.arbor)
            if body != FRAME and (self._at(body) or self._level(body)):
                take(body)
        return list(found)

    def _moves(self) -> Iterator[dict[str, Any]]:
        upright = [(body, at) for body in self._bodies() if (at := self._at(body))]
        radii = {body: self._radius(body) for body, _ in upright}
        for body, at in upright:
            own = [item for item in self.items if self.rigid.body(item.arbor) == body]
            under = [r for b, r in radii.items() if self._at(b) == at and r < radii[body]]
            inner = min(max(under, default=0.0), radii[body] * (1 - _RING))
            plates = [i.part.outside or 0.0 for i in own if isinstance(i.part, Plate)]
            for item in own:
                if place := self._at(item.arbor):
                    self._sweep(body, place, _reach(item))
            yield {
                "id": body,
                "on": self._carrier(body),
                "s": _ratio(self._speed(body)),
                "at": self._px(at),
                "r": self._long(radii[body]),
                "in": self._long(inner),
                "rim": self._long(max(plates, default=0.0) / 2),
                "items": " ".join(item.id for item in own if pitch_radius(item.part)),
            }

    def _radius(self, body: str) -> float:
        """Of the largest wheel or dial on a body's own axis, mm."""
        return max((_reach(item) for item in self.kit.on_arbor[body]), default=0.0)

    def _lying(self) -> Iterator[dict[str, Any]]:
        """Bodies on axes that lie level: the marks of their wheels come over the top and go."""
        for body in self._bodies():
            axis = self.kit.arbors[body].axis or ""
            if not self._level(body) or axis not in self.places:
                continue
            bearing = radians(self.kit.axes[axis].bearing)
            (ox, oy), along = self.places[axis], (cos(bearing), sin(bearing))
            wheels, handles = [], []
            for item in self.kit.on_arbor[body]:
                span = self.design.heights.level.get(item.id)
                if span is None:
                    continue
                low, high = (
                    (ox + along[0] * at, oy + along[1] * at) for at in (span.bottom, span.top)
                )
                r = pitch_radius(item.part) or getattr(item.part, "reach", 0.0)
                for (x, y), side in ((low, r), (low, -r), (high, r), (high, -r)):
                    self._sweep(FRAME, (x - along[1] * side, y + along[0] * side), 0.0)
                if pitch_radius(item.part):
                    wheels.append([*self._px(low), *self._px(high), self._long(r)])
                elif isinstance(item.part, Arm):
                    middle = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
                    handles.append([*self._px(middle), self._long(r)])
            yield {
                "on": self._carrier(body),
                "s": _ratio(self._speed(body)),
                "n": [round(-along[1], 4), round(-along[0], 4)],
                "wheels": wheels,
                "handles": handles,
                "items": " ".join(item.id for item in self.kit.on_arbor[body]),
            }

    # What bodies carry

    def _arms(self) -> Iterator[list[Any]]:
        """Each arm, lowest first: its body, its axis, and where it carries something or ends."""
        for item in self.items:
            at = self._at(item.arbor)
            body = self.rigid.body(item.arbor)
            if isinstance(item.part, Arm) and at and body != FRAME:
                tips = list(dict.fromkeys(self._tips(item, item.part, at)))
                for tip in tips:
                    self._sweep(body, tip, 0.0)
                yield [body, *self._px(at), [self._px(tip) for tip in tips]]

    def _tips(self, item: Item, arm: Arm, at: Point) -> Iterator[Point]:
        axes = self.book.kit.axes
        carried = [n for n, axis in axes.items() if axis.carried_by == item.arbor]
        found = [self.book.design.positions[n] for n in carried if n in self.book.design.positions]
        yield from found or [(at[0] + arm.reach, at[1])]

    def _balls(self) -> Iterator[list[Any]]:
        for item in self.items:
            at = self._at(item.arbor)
            if isinstance(item.part, Ball) and at:
                body = self.rigid.body(item.arbor)
                self._sweep(body, at, item.part.diameter / 2)
                r = max(_SMALLEST, self._long(item.part.diameter / 2))
                yield [body, *self._px(at), r]

    def _names(self) -> Iterator[list[Any]]:
        """The name of each body that the kit shows: at its ball, its arm's end or its rim."""
        for name, fact in self.kit.bodies.items():
            arbor = fact.arbor
            at, body = self._at(arbor), self.rigid.body(arbor)
            if at is None or body == FRAME:
                continue
            mine = [i for i in self.items if self.rigid.body(i.arbor) == body]
            balls = [
                (p, i.part.diameter / 2)
                for i in mine
                if isinstance(i.part, Ball) and (p := self._at(i.arbor))
            ]
            arms = [
                (p, 0.0)
                for i in mine
                if isinstance(i.part, Arm) and i.arbor == arbor
                for p in self._tips(i, i.part, at)
            ]
            rim = [((at[0] + self._radius(arbor), at[1]), 0.0)]
            point, r = max(balls or arms or rim, key=lambda p: dist(p[0], at))
            yield [body, *self._px(point), self._long(r), self.book.names.body(name)]

    # Px of the view box

    def _px(self, point: Point) -> list[float]:
        return [self.frame.x(point[0]), self.frame.y(point[1])]

    def _long(self, mm: float) -> float:
        return round(mm * self.frame.scale, 1)

    def _sweep(self, body: str, point: Point, r: float) -> None:
        """A point that goes with a body, with `r` mm about it, needs room wherever it comes."""
        envelope = self.rigid.envelope(body) if body != FRAME else None
        at = self._at(body) if body != FRAME else None
        if envelope and at:
            (x, y), reach = envelope
            self.swept.append((x, y, reach + dist(at, point) + r))
        else:
            self.swept.append((*point, r))

    def _box(self) -> list[float]:
        """Left, top, width and height of all that is ever seen."""
        west, east = min(x - r for x, _, r in self.swept), max(x + r for x, _, r in self.swept)
        south, north = min(y - r for _, y, r in self.swept), max(y + r for _, y, r in self.swept)
        rim = _MARGIN * max(east - west, north - south)
        left, top = self.frame.x(west - rim), self.frame.y(north + rim)
        wide, high = east - west + 2 * rim, north - south + 2 * rim
        return [left, top, self._long(wide), self._long(high)]


def _ratio(speed: Fraction) -> list[int]:
    return [speed.numerator, speed.denominator]


def _reach(item: Item) -> float:
    """Of a wheel or a round plate about its axis, mm; none of anything else."""
    if isinstance(item.part, Plate):
        return (item.part.outside or 0.0) / 2
    return pitch_radius(item.part) or 0.0
