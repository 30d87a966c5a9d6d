"""Outlines of fasteners, in the sizes of their product standards."""

from __future__ import annotations

import math

from kitdocs.kit.parts import Fastener
from kitdocs.mechanism.standards import head, washer_size
from kitdocs.pages.shapes import (
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

_GAP = 1.5  # mm between two views of a washer


def draw_fastener(part: Fastener) -> Drawing | None:
    """A screw, nut or washer; None where neither its standard nor the kit gives its sizes."""
    designation = part.parsed
    d = designation.nominal
    washer, top = washer_size(designation), head(designation)
    if washer is not None:
        return flat_ring(washer.outside, washer.bore, washer.thickness, _GAP)
    kind = top.kind if top else "own"
    wide = part.head or (top.diameter if top else None)
    high = part.head_height or (top.height if top else None)
    if kind == "nut" and wide:
        # Across corners; ISO 4032 gives the width across flats.
        corner = wide / math.cos(math.pi / 6) / 2
        angles = [math.pi / 3 * n for n in range(6)]
        points = [(corner * math.cos(a), corner * math.sin(a)) for a in angles]
        return plan([Path(lines(*points) + "z"), *bore(d)], corner)
    if not designation.length:
        return None
    length = float(designation.length)
    if kind == "headless":
        return Drawing(_thread(0, length, d), 0, -d / 2, length, d / 2)
    if not wide or not high:
        return None
    half = wide / 2
    if kind == "countersunk":  # its head lies within its length
        body = [(0, -half), (high, -d / 2), (high, d / 2), (0, half)]
        shapes = [Path(lines(*body) + "z"), *_thread(high, length - high, d)]
        return Drawing(shapes, 0, -half, length, half)
    dome = rounded(-high / 2)
    top = rounded(-1.5 * high)  # the curve reaches halfway to it: to the head's height
    domed = f"M0 {-half:g}v{wide:g}H{dome:g}Q{top:g} 0 {dome:g} {-half:g}z"
    shapes = [Path(domed if kind == "pan" else rectangle(-high, -half, high, wide))]
    return Drawing([*shapes, *_thread(0, length, d)], -high, -half, length, half)


def _thread(x: float, length: float, d: float) -> list[Shape]:
    """A threaded shank from `x`: its body, and the thread's roots as two fine lines."""
    root = d * 0.4
    roots = lines((x, -root), (x + length, -root)) + lines((x, root), (x + length, root))
    return [Path(rectangle(x, -d / 2, length, d)), Path(roots, "line")]
