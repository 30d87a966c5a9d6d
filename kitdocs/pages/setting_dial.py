"""The drawing of the setting page: the arms seen from above, at their angles on the dial.

`site_templates/assets/setting.js` moves the same drawing to another day by the same geometry.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import atan2, cos, degrees, dist, radians, sin

from kitdocs.mechanism.setting import SetBody, reach
from kitdocs.pages.handbook import Handbook

# In px of the view box, about as wide as a phone shows it.
SIZE = 400.0
RING = 152.0
_LABELS, _CRANK, _LONGEST = 170.0, 190.0, 144.0
_BESIDE, _ABOVE, _HALF = 9.0, 12.0, 4.0  # from a ball's middle to its name; half the name's height
_UPRIGHT = 0.4  # a name whose direction is less sideways than this stands centred


@dataclass(frozen=True)
class DialArm:
    """An arm that is drawn `length` px long to the right and turned by `turn` degrees about the
    end of the arm called `base`, or about the middle. Its ball is at x, y, its name at label_x,
    label_y with the SVG `anchor`."""

    id: str
    name: str
    sky: str
    base: str
    clockwise: bool
    length: float
    from_x: float
    from_y: float
    turn: float
    x: float
    y: float
    label_x: float
    label_y: float
    anchor: str


@dataclass(frozen=True)
class DialMark:
    """A mark of the dial: 30 degrees apart, with its label."""

    turn: float
    text: str
    x: float
    y: float


@dataclass(frozen=True)
class Dial:
    """`crank` is where the word stands beside the ring, None where the crank is no landmark;
    `from_crank` how far anticlockwise from it longitude 0 lies."""

    arms: tuple[DialArm, ...]
    marks: tuple[DialMark, ...]
    crank: tuple[float, float] | None
    crank_turn: float
    from_crank: float


def dial(
    book: Handbook,
    order: Sequence[SetBody],
    bearing: float,
    longitude: Callable[[str], float],
) -> Dial | None:
    """The drawing; None where no body has an arm. `longitude` gives a body of the sky's."""
    found = list(_drawn(book, order))
    if not found:
        return None
    scale = _LONGEST / max(length + beyond for _, _, length, beyond in found)
    towards = {
        body.body: bearing + longitude(body.sky) * (-1 if body.clockwise else 1)
        for body, *_ in found
    }
    carried = {base: body.body for body, base, *_ in found if base}
    arms: dict[str, DialArm] = {}
    for number, (body, base, length, _) in enumerate(found):
        from_x, from_y = (arms[base].x, arms[base].y) if base else (SIZE / 2, SIZE / 2)
        at, px = towards[body.body], round(length * scale, 1)
        x, y = _point(from_x, from_y, px, at)
        below = number % 2 == 1
        if body.body in carried:  # out of the way of what it carries
            below = sin(radians(towards[carried[body.body]] - at)) > 0
        name_at = at if base else at + (-90 if below else 90)
        arms[body.body] = DialArm(
            body.body, book.names.body(body.body), body.sky, base, body.clockwise, px,
            from_x, from_y, round(-at % 360, 2), x, y, *_label(x, y, name_at),
        )  # fmt: skip
    crank = _crank(book, found[0][0])
    place = None if crank is None else _point(SIZE / 2, SIZE / 2, _CRANK, crank)
    turned = 0.0 if crank is None else crank
    marks = tuple(_mark(at, bearing) for at in range(0, 360, 30))
    return Dial(tuple(arms.values()), marks, place, -turned, (bearing - turned) % 360)


def _drawn(book: Handbook, order: Iterable[SetBody]) -> Iterable[tuple[SetBody, str, float, float]]:
    """The bodies with an arm, each with the body that carries it, its length in mm, and how far
    what it carries reaches beyond it; carriers before what they carry."""
    kit, positions = book.kit, book.design.positions
    arms = {b.body: b for b in order if b.shows != "date"}
    lengths = {n: r for n in arms if (r := reach(kit, positions, kit.bodies[n].arbor))}
    by_arbor = {kit.bodies[name].arbor: name for name in reversed(lengths)}
    bases = {n: by_arbor.get(kit.carrier(kit.bodies[n].arbor) or "", "") for n in lengths}
    for name, length in sorted(lengths.items(), key=lambda pair: bool(bases[pair[0]])):
        if arms[name].shows == "elongation" and not bases[name]:
            continue  # a dial of the month, whose angles are no longitudes
        beyond = max((lengths[n] for n, base in bases.items() if base == name), default=0.0)
        yield arms[name], bases[name], length, beyond


def _point(x: float, y: float, distance: float, bearing: float) -> tuple[float, float]:
    at = radians(bearing)
    return round(x + distance * cos(at), 1), round(y - distance * sin(at), 1)


def _label(x: float, y: float, bearing: float) -> tuple[float, float, str]:
    """Where a name stands in one direction from a ball, and its anchor."""
    across, up = cos(radians(bearing)), sin(radians(bearing))
    anchor = "start" if across > _UPRIGHT else "end" if across < -_UPRIGHT else "middle"
    return round(x + _BESIDE * across, 1), round(y - _ABOVE * up + _HALF, 1), anchor


def _mark(at: int, bearing: float) -> DialMark:
    x, y = _point(SIZE / 2, SIZE / 2, _LABELS, bearing + at)
    return DialMark(round(-(bearing + at) % 360, 2), f"{at}°", x, round(y + 4, 1))


def _crank(book: Handbook, body: SetBody) -> float | None:
    """The bearing of the crank's axis from that of the bodies; None where it is carried round or
    stands on that axis."""
    kit, positions = book.kit, book.design.positions
    crank = kit.arbors[kit.mechanism.crank].axis or ""
    middle = kit.arbors[kit.bodies[body.body].arbor].axis or ""
    if kit.carrier(kit.mechanism.crank) or not {crank, middle} <= positions.keys():
        return None
    (x, y), (cx, cy) = positions[crank], positions[middle]
    if dist((x, y), (cx, cy)) < 1e-6:
        return None
    return degrees(atan2(y - cy, x - cx)) % 360
