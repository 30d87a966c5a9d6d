"""Parts that a builder can put in each other's places."""

from __future__ import annotations

from kitdocs.assembly.look_alikes import NEAR_LENGTH
from kitdocs.kit.parts import Arm, Fastener, Part, Round, Shaft, Toothed, Washer, bore_of

#: Bores that go on one shaft alike, mm.
SAME_BORE = 0.05
#: Sizes as near as this are taken for each other: a share of the larger, or mm (our own).
NEAR_SHARE, NEAR = 0.15, NEAR_LENGTH


def interchangeable(a: Part, b: Part) -> bool:
    """Whether one part goes where the other belongs, and it makes a difference."""
    if a.id == b.id or a.kind != b.kind or isinstance(a, (Arm, Fastener)):
        return False
    if abs(bore_of(a) - bore_of(b)) > SAME_BORE or a.holes != b.holes:
        return False
    if isinstance(a, Toothed) and isinstance(b, Toothed):
        return a.module == b.module and a.teeth != b.teeth
    if isinstance(a, Shaft) and isinstance(b, Shaft):
        same = abs(a.diameter - b.diameter) <= SAME_BORE and a.shoulder == b.shoulder
        return same and _near(a.length, b.length)
    return isinstance(a, (Round, Washer)) and _near(a.height, b.height)


def _near(a: float, b: float) -> bool:
    return 0 < abs(a - b) <= max(NEAR, NEAR_SHARE * max(a, b))


def other_length(a: Fastener, b: Fastener) -> bool:
    one, other = a.parsed, b.parsed
    same = (one.product, one.thread) == (other.product, other.thread)
    return same and bool(one.length) and bool(other.length) and one.length != other.length
