"""The tables of a plan: its wheels and its axes, in the design's own figures."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import dist

from kitdocs.kit.model import Item
from kitdocs.mechanism.meshes import tooth_count
from kitdocs.mechanism.positions import axis_distance
from kitdocs.pages.half_section import pitch_radius
from kitdocs.pages.handbook import Handbook
from kitdocs.pages.section_rows import Rows


@dataclass(frozen=True)
class PlanRow:
    """A wheel of the plan: `number` as in the section, 0 for what was there before."""

    number: int
    name: str
    teeth: int
    pitch: str
    arbor: str
    axis: str
    sense: str
    meshes: tuple[str, ...]


@dataclass(frozen=True)
class AxisRow:
    """An axis: where it stands in the frame, mm, and what carries it."""

    name: str
    x: str
    y: str
    carried: str


def plan_rows(book: Handbook, rows: Rows, wheels: Iterable[Item]) -> Iterator[PlanRow]:
    """A row for each wheel, with those of its meshes whose other wheel is there."""
    kit, places = book.kit, book.design.positions
    for item in wheels:
        axis = kit.arbors[item.arbor].axis or ""
        partners = []
        for mesh in kit.meshes_of.get(item.id, ()):
            other = mesh.b if mesh.a.id == item.id else mesh.a
            if other.id not in rows.shown:
                continue
            apart = axis_distance(kit, item.arbor, other.arbor, places)
            name = book.names.one(other.part)
            if apart:
                distance = book.numbers.millimetres(apart)
                name = book.text(
                    "%(wheel)s, axes %(distance)s apart", wheel=name, distance=distance
                )
            partners.append(name)
        yield PlanRow(
            number=rows.numbers.get(item.id, 0),
            name=book.names.one(item.part),
            teeth=tooth_count(item.part) or 0,
            pitch=book.numbers.millimetres(2 * (pitch_radius(item.part) or 0.0)),
            arbor=book.arbor_name(item.arbor),
            axis=book.axis_name(axis),
            sense=_sense(book, item),
            meshes=tuple(partners),
        )


def _sense(book: Handbook, item: Item) -> str:
    speed = book.design.motion.speeds.get(item.arbor)
    if speed is None:
        return book.text("not driven")
    if speed == 0:
        return book.text("stands still")
    return book.text("anticlockwise") if speed > 0 else book.text("clockwise")


def axis_rows(book: Handbook, axes: Iterable[str]) -> Iterator[AxisRow]:
    """A row for each axis: where it stands with every carrier at 0 degrees."""
    kit, places = book.kit, book.design.positions
    for name in axes:
        axis = kit.axes[name]
        x, y = places[name]
        how = book.text("fixed")
        numbers = book.numbers
        if axis.carried_by is not None:
            root = places.get(kit.arbors[axis.carried_by].axis or "", (0.0, 0.0))
            how = book.text(
                "by the %(arbor)s, %(distance)s out",
                arbor=book.arbor_name(axis.carried_by),
                distance=numbers.millimetres(dist(root, (x, y))),
            )
        elif axis.lies == "level":
            bearing = numbers.with_unit(numbers.plain(axis.bearing), "°")
            how = book.text("lies level, bearing %(bearing)s", bearing=bearing)
        yield AxisRow(book.axis_name(name), numbers.plain(x, 2), numbers.plain(y, 2), how)
