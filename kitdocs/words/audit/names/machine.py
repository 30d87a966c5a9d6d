"""How the items of a machine belong together, as the words of instructions tell it."""

from __future__ import annotations

from functools import cached_property

from kitdocs.assembly.design import Design
from kitdocs.kit.model import Item
from kitdocs.kit.parts import Shaft, Tool, Toothed, bore_of
from kitdocs.words.audit.names.things import Thing
from kitdocs.words.audit.scope import beside


class Machine:
    """What is on, beside, held by or in mesh with what."""

    def __init__(self, design: Design):
        self.design, self.kit = design, design.kit
        self._speeds = design.motion.speeds

    def goes_on(self, a: Thing, b: Thing, below: bool = False) -> bool:
        """Whether a thing is on or over another: on the shaft that it is, held to it or next to
        it; a shaft, on what it runs on or stands on. With `below`, whether it is under it."""
        if a.part is b.part:
            return False
        return any(
            self._is_on(x, y) or (below and self._carries(x, y)) for x in a.items for y in b.items
        )

    def _carries(self, name: str, other: str) -> bool:
        arbor = self.kit.arbors.get(other)
        held = self.kit.held.get(name)
        return (arbor is not None and arbor.stands_on == name) or (held and held.to == other)

    def _is_on(self, name: str, host: str) -> bool:
        if name == host:
            return False
        if self._belong(name, host):
            return True
        arbor = self._arbor(name)
        if self.kit.arbors[arbor].axis is None:  # of the frame, which is told either way round
            return self._belong(host, name)
        if name == arbor:
            return False
        row = self.kit.on_arbor[arbor]
        at = next(n for n, item in enumerate(row) if item.id == name)
        near = {item.id for item in row[max(0, at - 1) : at + 2]}
        if host in near or host == self.kit.arbors[arbor].stands_on:
            return True
        along = self.kit.arbors.get(host)  # a post, along which all on its axis goes
        if along is not None and along.fixed and along.axis == self.kit.arbors[arbor].axis:
            return True
        return self._lies_on(name, host)

    def _lies_on(self, name: str, host: str) -> bool:
        """Whether a thing lies on another of its axis, or under it, on an arbor of its own."""
        a, b = self.design.heights.of(name), self.design.heights.of(host)
        if a is None or b is None or not self._one_axis(name, host):
            return False
        return min(abs(a.bottom - b.top), abs(b.bottom - a.top)) <= _TOUCH

    def _one_axis(self, x: str, y: str) -> bool:
        axis = self.kit.arbors[self._arbor(x)].axis
        return axis is not None and axis == self.kit.arbors[self._arbor(y)].axis

    def part_of(self, a: Thing, b: Thing) -> bool:
        """Whether one is fixed to or carried by the other, or on the shaft that it is."""
        return any(self._belong(x, y) or self._belong(y, x) for x in a.items for y in b.items)

    def _belong(self, name: str, host: str) -> bool:
        held = self.kit.held.get(name)
        if self._arbor(name) == host or (held is not None and held.to == host):
            return True
        arbor = self.kit.arbors.get(name, None)
        return arbor is not None and host in (
            arbor.runs_on, arbor.stands_on, self.kit.carrier(name)
        )  # fmt: skip

    def mesh(self, a: Thing, b: Thing) -> bool:
        """Whether they mesh, or things on their arbors do."""
        return any(
            self._arbor(mesh.other(x).id) == self._arbor(y) or mesh.other(x).id == y
            for one in a.items
            for y in b.items
            for x in self._mates(one)
            for mesh in self.kit.meshes_of.get(x.id, ())
            if x.id == one or one == self._arbor(one)
            if mesh.other(x).id == y or y == self._arbor(y)
        )

    def fastens(self, fastener: Thing, host: Thing) -> bool:
        """Whether a fastener holds a thing, or holds something to it."""
        held = self.kit.held
        return any(
            name in host.items or (name in held and held[name].to in host.items)
            for name in fastener.held
        )

    def holds_something(self, thing: Thing) -> bool:
        """Whether anything is fixed to a thing, runs or stands on it, or is on the shaft it is."""
        return bool(thing.items & self._bearers)

    @cached_property
    def _bearers(self) -> frozenset[str]:
        """The items to which something is fixed, on which it runs or stands, or that it is on."""
        kit = self.kit
        found = {held.to for held in kit.held.values()}
        for name, arbor in kit.arbors.items():
            found |= {arbor.runs_on, arbor.stands_on, name if len(kit.on_arbor[name]) > 1 else None}
        return frozenset(one for one in found if one)

    def is_alone(self, thing: Thing) -> bool:
        """Whether nothing is held by a thing, nor by what stands under the machine."""
        return thing.part.kind not in _UNDER and not self.holds_something(thing)

    def is_pressed(self, thing: Thing) -> bool:
        """Whether a thing is held by being pressed in, which is done with blows too."""
        held = self.kit.held
        return any(name in held and held[name].by == "press" for name in thing.items)

    def is_on_crank(self, thing: Thing) -> bool:
        return self.kit.mechanism.crank in map(self._arbor, thing.items)

    def has_axis(self, thing: Thing) -> bool:
        """Whether one speaks of a thing's axis: not of that of a ring or a foot."""
        return thing.part.kind not in ("spacer", "washer", "foot", "ball", "plate")

    def passes_over(self, a: Thing, b: Thing) -> bool:
        """Whether a shaft goes through the bore of what is slid over it."""
        bore, shaft = bore_of(a.part), getattr(b.part, "diameter", 0.0)
        return not bore or not isinstance(b.part, Shaft) or bore >= shaft - _PRESSED

    def goes_under(self, thing: Thing, fastener: Thing) -> bool:
        """Whether a thing is the washer of a fastener, or what it holds."""
        held = (f for f in self.design.fastenings.values() if f.part is fastener.part)
        return any(f.washer is thing.part or f.item.id in thing.items for f in held)

    def runs(self, thing: Thing) -> bool:
        """Whether a thing is where two arbors run, one on the other."""
        names = {self._arbor(item) for item in thing.items}
        return bool(names & self._bearing & thing.items) or any(
            self.kit.items[i].part.kind in ("arbor", "pipe", "post") for i in thing.items
        )

    @cached_property
    def _bearing(self) -> frozenset[str]:
        runs = ((name, arbor.runs_on) for name, arbor in self.kit.arbors.items() if arbor.runs_on)
        return frozenset(name for pair in runs for name in pair)

    def moves(self, thing: Thing) -> bool | None:
        """Whether a thing turns; None where its items differ, or are not known to."""
        told = {bool(self._speeds[a]) if a in self._speeds else None
                for a in map(self._arbor, thing.items)}  # fmt: skip
        return told.pop() if len(told) == 1 else None

    def one_arbor(self, a: Thing, b: Thing) -> bool:
        return bool({self._arbor(x) for x in a.items} & {self._arbor(y) for y in b.items})

    def is_frame(self, thing: Thing) -> bool:
        return thing.part.kind == "plate" and self.moves(thing) is not True

    def is_tall(self, thing: Thing) -> bool:
        """Whether a thing can stand upright: a shaft or a pillar."""
        return thing.part.kind in ("arbor", "pipe", "post", "pillar")

    def holds_one_of(self, thing: Thing, parts: frozenset[str]) -> bool:
        """Whether an item of some parts is held to a thing, or stands or runs on it; so does all
        on what stands under the machine."""
        is_under = thing.part.kind in _UNDER
        return any(
            self._belong(item.id, name) or (is_under and self._belong(name, item.id))
            for item in self.kit.items.values()
            if item.part.id in parts
            for name in thing.items
        )

    def is_shaft(self, *things: Thing) -> bool:
        """Whether one of some things is the shaft of an arbor."""
        return any(name in self.kit.arbors for thing in things for name in thing.items)

    def related(self, a: Thing, b: Thing) -> bool:
        """Whether two things have to do with each other: one holds, carries or fastens the other,
        they mesh, or one is near the other on an axis. Tools have to do with everything."""
        if a.part is b.part or isinstance(a.part, Tool) or isinstance(b.part, Tool):
            return True
        for one, other in ((a, b), (b, a)):
            if one.is_fastener:
                return other.is_fastener or self.fastens(one, other) or self.goes_under(other, one)
        for one, other in ((a, b), (b, a)):
            if one.is_supply:
                return other.is_supply or self._is_treated(one, other)
        return (
            self.part_of(a, b)
            or self.mesh(a, b)
            or self.mesh(b, a)
            or self._arbors_mesh(a, b)
            or self._carries_arbor(a, b)
            or self._carries_arbor(b, a)
            or any(self._are_near(x, y) for x in a.items for y in b.items)
        )

    def _carries_arbor(self, a: Thing, b: Thing) -> bool:
        """Whether an arm or a plate carries the arbor that the other is on."""
        carriers = {self.kit.carrier(self._arbor(y)) for y in b.items}
        return a.part.kind in ("arm", "plate") and any(self._arbor(x) in carriers for x in a.items)

    def _arbors_mesh(self, a: Thing, b: Thing) -> bool:
        """Whether wheels on the arbors of two wheels, or of two other things, mesh."""
        if isinstance(a.part, Toothed) != isinstance(b.part, Toothed):
            return False
        there = {self._arbor(y) for y in b.items}
        return any(
            self._arbor(mesh.other(mate).id) in there
            for x in a.items
            for mate in self._mates(x)
            for mesh in self.kit.meshes_of.get(mate.id, ())
        )

    def _is_treated(self, supply: Thing, thing: Thing) -> bool:
        """Whether an oil or an adhesive comes on a thing, or near it."""
        if supply.part.kind == "oil":
            return self.runs(thing)
        near = (name for item in supply.held for name in beside(self.design, self.kit.items[item]))
        return bool(thing.items & {*supply.held, *near})

    def _are_near(self, x: str, y: str) -> bool:
        """Whether one is next to the other but one on its arbor, or touches it on its axis."""
        here, there = self._arbor(x), self._arbor(y)
        if here == there:
            row = [item.id for item in self.kit.on_arbor[here]]
            return abs(row.index(x) - row.index(y)) <= _NEAR
        a, b = self.design.heights.of(x), self.design.heights.of(y)
        if a is None or b is None or not self._one_axis(x, y):
            return False
        return a.bottom <= b.top + _TOUCH and b.bottom <= a.top + _TOUCH

    def _mates(self, name: str) -> tuple[Item, ...]:
        return self.kit.on_arbor[self._arbor(name)]

    def _arbor(self, name: str) -> str:
        return self.kit.items[name].arbor


_NEAR = 2  # places apart on an arbor, within which things have to do with each other
_PRESSED = 0.1  # mm that a bore may be under the shaft that is pressed into it
_TOUCH = 0.5  # mm between two things of an axis that touch, but for their end play
#: Kinds of part on which the whole machine stands.
_UNDER = ("foot", "pillar")
