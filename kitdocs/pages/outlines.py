"""Outlines of the kinds of part, in their own sizes."""

from __future__ import annotations

import math
from collections.abc import Callable

from kitdocs.kit.parts import (
    Arm,
    Ball,
    BevelWheel,
    ContrateWheel,
    Fastener,
    Holes,
    Part,
    Plate,
    RingWheel,
    Round,
    Shaft,
    Washer,
    Wheel,
)
from kitdocs.pages.fastener_outline import draw_fastener
from kitdocs.pages.shapes import (
    Circle,
    Drawing,
    Path,
    Shape,
    bore,
    flat_ring,
    lines,
    plan,
    rectangle,
    rounded,
)

_LONGEST_SHAFT = 60.0  # mm; a longer one is drawn with a break
_GAP = 3.0  # mm between two views of a part


def draw(part: Part) -> Drawing | None:
    """The shapes of a part; None where its sizes do not settle them."""
    return next((make(part) for kind, make in _DRAW.items() if isinstance(part, kind)), None)


def _holes(part: Part) -> list[Shape]:
    """The holes that stand on a circle, the first to the right, anticlockwise from above."""
    shapes: list[Shape] = []
    for pattern in part.holes:
        size = _hole_size(pattern)
        if pattern.circle is None or size is None:
            continue
        for number in range(pattern.count):
            turn = 2 * math.pi * number / pattern.count
            x, y = math.cos(turn) * pattern.circle / 2, -math.sin(turn) * pattern.circle / 2
            shapes.append(Circle(rounded(x), rounded(y), rounded(size / 2), "hole"))
    return shapes


def _hole_size(pattern: Holes) -> float | None:
    return pattern.size or (float(pattern.thread[1:].split("x")[0]) if pattern.thread else None)


def _wheel(part: Wheel | BevelWheel | ContrateWheel) -> Drawing:
    # ISO 53: addendum 1.00 m, dedendum 1.25 m.
    pitch = part.module * part.teeth / 2
    tip = pitch + part.module * (1 + part.shift)
    root = pitch - part.module * (1.25 - part.shift)
    teeth = Circle(0, 0, rounded((tip + root) / 2), "teeth", part.teeth, rounded(tip - root))
    shapes = [Circle(0, 0, rounded(root)), teeth, Circle(0, 0, rounded(pitch), "fine")]
    return plan([*shapes, *bore(part.bore), *_holes(part)], tip)


def _ring_wheel(part: RingWheel) -> Drawing:
    pitch = part.module * part.teeth / 2
    tip, root = pitch - part.module, pitch + part.module * 1.25
    teeth = Circle(0, 0, rounded((tip + root) / 2), "teeth", part.teeth, rounded(root - tip))
    shapes = [Circle(0, 0, part.outside / 2), Circle(0, 0, rounded(root), "hole"), teeth]
    return plan([*shapes, Circle(0, 0, rounded(pitch), "fine"), *_holes(part)], part.outside / 2)


def _shaft(part: Shaft) -> Drawing:
    d, length = part.diameter, part.length
    shown = min(length, _LONGEST_SHAFT)
    shapes: list[Shape] = [Path(rectangle(0, -d / 2, shown, d))]
    if part.bore:
        b = part.bore / 2
        shapes.append(Path(f"{lines((0, -b), (shown, -b))}{lines((0, b), (shown, b))}", "hidden"))
    if 0 < part.shoulder < shown / 2:
        shapes.append(Path(lines((part.shoulder, -d / 2), (part.shoulder, d / 2)), "line"))
    if shown < length:
        shapes += _break(shown * 0.6, d)
    return Drawing(shapes, 0, -d / 2 - 1, shown, d / 2 + 1)


def _break(x: float, height: float) -> list[Shape]:
    """The break of a part drawn shorter than it is: a gap between two zigzags."""
    h = height / 2 + 1
    edge = [(x, -h), (x + 1, -h / 3), (x - 1, h / 3), (x, h)]
    other = [(a + 2, b) for a, b in edge]
    return [
        Path(f"{lines(*edge, *reversed(other))}z", "gap"),
        Path(lines(*edge) + lines(*other), "line"),
    ]


def _round(part: Round) -> Drawing:
    """Seen from above, and from the side to its right."""
    r, x = part.outside / 2, part.outside / 2 + _GAP
    shapes = [Circle(0, 0, r), *bore(part.bore), *_holes(part)]
    shapes.append(Path(rectangle(x, -r, part.length, 2 * r)))
    if part.bore:
        b = part.bore / 2
        hidden = lines((x, -b), (x + part.length, -b)) + lines((x, b), (x + part.length, b))
        shapes.append(Path(hidden, "hidden"))
    if part.set_screw:
        size = float(part.set_screw.thread[1:].split("x")[0]) / 2
        shapes.append(Circle(rounded(x + part.length / 2), 0, size, "hole"))
    return Drawing(shapes, -r, -r, x + part.length, r)


def _washer(part: Washer) -> Drawing:
    return flat_ring(part.outside, part.bore, part.thickness, _GAP)


def _plate(part: Plate) -> Drawing | None:
    shapes = [*bore(part.bore), *_holes(part)]
    if part.outside:
        return plan([Circle(0, 0, part.outside / 2), *shapes], part.outside / 2)
    if not (part.width and part.depth):
        return None
    w, d = part.width / 2, part.depth / 2
    return Drawing([Path(rectangle(-w, -d, 2 * w, 2 * d)), *shapes], -w, -d, w, d)


def _arm(part: Arm) -> Drawing:
    r, bar = part.hub / 2, part.hub / 4
    end = part.reach + bar
    shapes = [Path(rectangle(0, -bar, end, 2 * bar)), Circle(0, 0, r), *bore(part.bore)]
    across, along = (part.reach - 2, part.reach + 2), (-2, 2)
    centre = lines(*((x, 0) for x in across)) + lines(*((part.reach, y) for y in along))
    return Drawing([*shapes, *_holes(part), Path(centre, "line")], -r, -max(r, 2), end, max(r, 2))


def _ball(part: Ball) -> Drawing:
    r, b = part.diameter / 2, part.bore / 2
    shapes: list[Shape] = [Circle(0, 0, r)]
    if b:
        hidden = lines((-b, -r), (-b, r)) + lines((b, -r), (b, r))
        shapes.append(Path(hidden, "hidden"))
    return plan(shapes, r)


_DRAW: dict[type[Part], Callable[..., Drawing | None]] = {
    Wheel: _wheel,
    BevelWheel: _wheel,
    ContrateWheel: _wheel,
    RingWheel: _ring_wheel,
    Shaft: _shaft,
    Round: _round,
    Washer: _washer,
    Plate: _plate,
    Arm: _arm,
    Ball: _ball,
    Fastener: draw_fastener,
}
