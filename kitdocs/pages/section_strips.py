"""Which axes stand side by side in a section, and how far apart: the unfolded plan, in mm.

Axes whose wheels mesh stand at their true distance, one chain of them after another, as if the
plan were unfolded into one plane. Carried axes stand beside their carrier's axis with every arm
turned the same way. An axis that has neither stands by itself, and what stands on the frame
without an axis stands in a row whose order is all that it tells.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace

from kitdocs.kit.model import Item, Kit
from kitdocs.kit.parts import Plate
from kitdocs.mechanism.positions import axis_distance
from kitdocs.pages.half_section import outer_radius

_WIDEST = 125.0  # mm in one drawing: more would be too small to read on a phone
_MOST = 44  # labels in one drawing
_BETWEEN = 6.0  # mm between two things that are not at their true distance


@dataclass(frozen=True)
class Column:
    """An axis at `x` mm, the halves of it that are drawn, and the items on it.

    `labelled`: whether its items carry their labels here, and not in another strip. `rods` says
    that the axes which its arms carry stand to its right. `axis` is None for what stands on the
    frame without one.
    """

    axis: str | None
    x: float
    left: bool
    right: bool
    items: tuple[Item, ...]
    labelled: bool = True
    rods: bool = False


@dataclass(frozen=True)
class Strip:
    """Columns from `start` to `end` mm. `level`: the axis lies level, heights run along it."""

    columns: tuple[Column, ...]
    start: float
    end: float
    level: bool = False

    def moved(self, by: float) -> Strip:
        columns = tuple(replace(c, x=c.x + by) for c in self.columns)
        return replace(self, columns=columns, start=self.start + by, end=self.end + by)


def strips(kit: Kit, shown: Collection[str], wanted: Collection[str]) -> list[Strip]:
    """The strips of one section: every item of `wanted`, in its surroundings of `shown`."""
    return _Strips(kit, shown, wanted).made()


def trimmed(strip: Strip) -> Strip:
    """A strip without the columns on which nothing is, and the room that they take."""
    columns = tuple(column for column in strip.columns if column.items)
    if columns == strip.columns or not columns:
        return strip
    first = columns[0]
    start = first.x - max((outer_radius(i.part) or 0.0 for i in first.items), default=0.0)
    return replace(strip, columns=columns, start=max(strip.start, start - _BETWEEN / 2))


class _Strips:
    def __init__(self, kit: Kit, shown: Collection[str], wanted: Collection[str]):
        self.kit = kit
        self.wanted = wanted
        self.on_axis: dict[str | None, list[Item]] = {}
        for item in kit.items.values():
            if item.id in shown:
                self.on_axis.setdefault(kit.arbors[item.arbor].axis, []).append(item)
        self.axes = [a for a, items in self.on_axis.items() if any(i.id in wanted for i in items)]
        self.labelled: set[str] = set()

    def made(self) -> list[Strip]:
        kit = self.kit
        carried = [a for a in self.axes if a is not None and kit.axes[a].carried_by is not None]
        roots = dict.fromkeys(root for a in carried if (root := self._root(a)) is not None)
        level = [a for a in self.axes if a is not None and kit.axes[a].lies == "level"]
        upright = [a for a in self.axes if a is not None and a not in (*carried, *level)]
        fixed = list(self._chains())
        in_chain = {c.axis for strip in fixed for c in strip.columns}
        alone = [a for a in upright if a not in in_chain and a not in roots]
        singles = [self._single(a) for a in alone]
        frame = [self._frame()] if None in self.axes else []
        groups = [self._group(root, carried) for root in roots]
        return [
            *_packed([*frame, *fixed, *singles]),
            *groups,
            *(replace(self._single(a), level=True) for a in level),
        ]

    def _column(self, axis: str, x: float, left: bool, right: bool, **more: bool) -> Column:
        first = axis not in self.labelled
        self.labelled.add(axis)
        return Column(axis, x, left, right, tuple(self.on_axis.get(axis, ())), first, **more)

    def _radius(self, items: Iterable[Item]) -> float:
        return max((outer_radius(i.part) or 0.0 for i in items), default=0.0) or 2.0

    # Fixed axes whose wheels mesh

    def _chains(self) -> Iterator[Strip]:
        """Every pair of axes with a mesh once, in runs that are as long as one drawing holds."""
        near = self._neighbours()
        left = {frozenset(edge) for edge in near}
        while left:
            ends: dict[str, int] = {}
            for edge in left:
                for axis in edge:
                    ends[axis] = ends.get(axis, 0) + 1
            order = [a for a in self.kit.axes if a in ends]
            run = [min(order, key=lambda a: (ends[a], order.index(a)))]
            width = 0.0
            while True:
                onward = [
                    a
                    for a in order
                    if frozenset((run[-1], a)) in left
                    and a not in run
                    and width + near[frozenset((run[-1], a))] <= _WIDEST
                    and self._count([*run, a]) <= _MOST
                ]
                if not onward:
                    break
                run.append(min(onward, key=lambda a: (ends[a], order.index(a))))
                left.discard(frozenset(run[-2:]))
                width += near[frozenset(run[-2:])]
            if len(run) == 1:  # one pair is more than a drawing holds
                edge = next(e for e in left if run[0] in e)
                left.discard(edge)
                run += [a for a in edge if a != run[0]]
            yield self._chain(run, near)

    def _count(self, run: Iterable[str]) -> int:
        """How many items of these axes have yet to be labelled."""
        axes = [a for a in run if a not in self.labelled]
        return sum(i.id in self.wanted for a in axes for i in self.on_axis.get(a, ()))

    def _neighbours(self) -> dict[frozenset[str], float]:
        """Fixed upright axes that wanted wheels join, with how far apart they stand."""
        kit = self.kit
        shown = {i.id for items in self.on_axis.values() for i in items}
        found: dict[frozenset[str], float] = {}
        for mesh in kit.meshes:
            pair = {mesh.a.id, mesh.b.id}
            axes = [kit.arbors[i.arbor].axis for i in (mesh.a, mesh.b)]
            if not pair <= shown or not pair & set(self.wanted) or None in axes:
                continue
            if any(kit.axes[a].carried_by for a in axes) or axes[0] == axes[1]:
                continue
            distance = axis_distance(kit, mesh.a.arbor, mesh.b.arbor)
            if distance:
                found[frozenset(axes)] = distance
        return found

    def _chain(self, run: list[str], near: dict[frozenset[str], float]) -> Strip:
        x, columns = 0.0, []
        for n, axis in enumerate(run):
            columns.append(self._column(axis, x, n > 0, n < len(run) - 1))
            if n < len(run) - 1:
                x += near[frozenset(run[n : n + 2])]
        return Strip(tuple(columns), 0.0, x)

    # Carried axes, and what stands alone

    def _root(self, axis: str) -> str | None:
        """The fixed axis that a carried one goes round in the end."""
        seen: list[str] = []
        at: str | None = axis
        while at is not None and at not in seen:
            seen.append(at)
            carrier = self.kit.axes[at].carried_by
            if carrier is None:
                return at
            at = self.kit.arbors[carrier].axis
        return None

    def _along(self, axis: str) -> float:
        """How far a carried axis is from its root, all arms in one line."""
        fact = self.kit.axes[axis]
        if fact.carried_by is None:
            return 0.0
        back = abs((fact.bearing + 180) % 360 - 180) > 90  # on the other end of its arm
        distance = -(fact.distance or 0.0) if back else fact.distance or 0.0
        parent = self.kit.arbors[fact.carried_by].axis
        return distance + (self._along(parent) if parent is not None else 0.0)

    def _group(self, root: str, carried: Iterable[str]) -> Strip:
        axes = [a for a in carried if self._root(a) == root]
        # An axis on the way to a wanted one is shown too: its arm carries it.
        for axis in list(axes):
            at = axis
            while (carrier := self.kit.axes[at].carried_by) and (
                at := self.kit.arbors[carrier].axis or root
            ) != root:
                if at not in axes:
                    axes.append(at)
        beyond = [self._along(a) for a in axes]
        both = min(beyond) < 0
        columns = [self._column(root, 0.0, both, True, rods=True)]
        columns += [
            self._column(a, self._along(a), True, True, rods=True)
            for a in sorted(axes, key=lambda a: (self._along(a), a))
        ]
        ends = [(c.x + side * self._radius(c.items)) for c in columns[1:] for side in (-1, 1)]
        hub = self._radius([i for i in columns[0].items if not isinstance(i.part, Plate)])
        start = min([0.0, *ends]) if not both else min([-min(hub, 20.0), *ends])
        return Strip(tuple(columns), start, max([*ends, min(hub, 20.0)]) + 3.0)

    def _single(self, axis: str) -> Strip:
        column = self._column(axis, 0.0, True, True)
        r = self._radius(column.items)
        return Strip((column,), -r, r)

    def _frame(self) -> Strip:
        """Feet, pillars and the like in a row, like ones together; plates run through."""
        rows: dict[tuple[str, int], list[Item]] = {}
        plates: list[Item] = []
        for item in self.on_axis[None]:
            if isinstance(item.part, Plate):
                plates.append(item)
            else:
                rows.setdefault((item.part.id, item.level), []).append(item)
        x = 6.0
        columns = [Column(None, x, True, True, tuple(plates))]
        x += 6.0 + _BETWEEN
        for items in rows.values():
            r = self._radius(items)
            columns.append(Column(None, x + r, True, True, tuple(items)))
            x += 2 * r + _BETWEEN
        return Strip(tuple(columns), 0.0, x)


def _packed(made: Iterable[Strip]) -> Iterator[Strip]:
    """Strips set side by side as long as one drawing holds them."""
    row: Strip | None = None
    for strip in made:
        if row is not None and row.end - row.start + _BETWEEN + strip.end - strip.start <= _WIDEST:
            moved = strip.moved(row.end + _BETWEEN - strip.start)
            row = Strip((*row.columns, *moved.columns), row.start, moved.end)
        else:
            if row is not None:
                yield row
            row = strip
    if row is not None:
        yield row
