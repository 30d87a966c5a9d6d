"""The shapes that outlines are made of, in mm: x to the right, y downwards."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Circle:
    """A circle. With `teeth` it is the ring of their tips, `width` mm from root to tip."""

    x: float
    y: float
    r: float
    look: str = "body"
    teeth: int = 0
    width: float = 0.0


@dataclass(frozen=True)
class Path:
    """An SVG path in mm."""

    d: str
    look: str = "body"


Shape = Circle | Path


@dataclass
class Drawing:
    """Shapes and the box that holds them."""

    shapes: list[Shape]
    left: float
    top: float
    right: float
    bottom: float


def rounded(value: float) -> float:
    """To hundredths, without a negative zero."""
    return round(value, 2) + 0.0


def rectangle(x: float, y: float, width: float, height: float) -> str:
    """A path, as `lines` is."""
    right, down = rounded(width), rounded(height)
    return f"M{rounded(x):g} {rounded(y):g}h{right:g}v{down:g}h{-right:g}z"


def lines(*points: tuple[float, float]) -> str:
    return "M" + "L".join(f"{rounded(x):g} {rounded(y):g}" for x, y in points)


def plan(shapes: list[Shape], radius: float) -> Drawing:
    """A view along the axis of something round."""
    return Drawing(shapes, -radius, -radius, radius, radius)


def bore(diameter: float) -> list[Shape]:
    """The hole in the middle, if there is one."""
    return [Circle(0, 0, rounded(diameter / 2), "hole")] if diameter else []


def flat_ring(outside: float, inside: float, thickness: float, gap: float) -> Drawing:
    """A washer from above, and from the side to its right."""
    r, x = outside / 2, outside / 2 + gap
    side = Path(rectangle(x, -r, thickness, outside))
    return Drawing([Circle(0, 0, r), *bore(inside), side], -r, -r, x + thickness, r)
