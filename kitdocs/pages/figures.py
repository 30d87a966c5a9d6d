"""Outlines of parts, to scale: plain shapes in mm that a template draws.

Only sizes that the kit or a product standard gives are drawn; a part whose sizes do not settle its
outline has none. Scales are those of ISO 5455.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kitdocs.kit.parts import Fastener, Part
from kitdocs.pages.outlines import draw
from kitdocs.pages.shapes import Drawing, Shape, rounded

PX_PER_MM = 2.0  # at scale 1:1
_LARGEST = 128.0  # px, the longest side of a picture
_SCALES = ((1, 1), (1, 2), (1, 5), (1, 10))


@dataclass(frozen=True)
class Outline:
    """Shapes within a box of mm, and the scale that they are shown at, such as `1:2`."""

    left: float
    top: float
    width: float
    height: float
    shapes: tuple[Shape, ...]
    scale: str
    px_width: float
    px_height: float


def outline(part: Part) -> Outline | None:
    """The outline of a part; None where its sizes do not settle one."""
    drawing = draw(part)
    if drawing is None:
        return None
    scales = ((2, 1), *_SCALES) if isinstance(part, Fastener) else _SCALES
    return _outline(drawing, _scale(drawing, scales))


def outlines_together(a: Part, b: Part) -> tuple[Outline, Outline] | None:
    """Two parts at one scale, as large as both can be; None where either has no outline."""
    first, second = draw(a), draw(b)
    if first is None or second is None:
        return None
    scales = ((5, 1), (2, 1), *_SCALES)
    scale = min((_scale(d, scales) for d in (first, second)), key=lambda s: s[0] / s[1])
    return _outline(first, scale), _outline(second, scale)


def _scale(drawing: Drawing, scales: Sequence[tuple[int, int]]) -> tuple[int, int]:
    """The first scale at which a picture is small enough."""
    longest = max(drawing.right - drawing.left, drawing.bottom - drawing.top) * PX_PER_MM
    return next((s for s in scales if longest * s[0] / s[1] <= _LARGEST), _SCALES[-1])


def _outline(drawing: Drawing, scale: tuple[int, int]) -> Outline:
    up, down = scale
    width, height = drawing.right - drawing.left, drawing.bottom - drawing.top
    px = PX_PER_MM * up / down
    margin = 1.0 / px
    return Outline(
        rounded(drawing.left - margin),
        rounded(drawing.top - margin),
        rounded(width + 2 * margin),
        rounded(height + 2 * margin),
        tuple(drawing.shapes),
        f"{up}:{down}",
        rounded((width + 2 * margin) * px),
        rounded((height + 2 * margin) * px),
    )
