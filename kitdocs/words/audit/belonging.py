"""How the items of a machine belong together, as the words of instructions tell it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

from kitdocs.assembly.design import Design
from kitdocs.kit.model import Item
from kitdocs.kit.parts import Shaft, Tool, Toothed, bore_of
from kitdocs.kit.stage import FASTENING, PLACING
from kitdocs.words.audit.scope import Scope, beside
from kitdocs.words.audit.things import Thing, family


class Machine:
    """What is on, beside, held by or in mesh with what, and what a step does with it."""

    def __init__(self, design: Design):
        self.design, self.kit = design, design.kit
        self._speeds = design.motion.speeds
        self._known_put: dict[tuple[str, str], tuple[frozenset[str], frozenset[str]]] = {}

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

    def joins(self, adhesive: Thing, b: Thing, scope: Scope) -> bool:
        """Whether an adhesive holds a thing, or something to it, in the work of a place; of an
        oil, whether it is oiled there, where anything is."""
        if adhesive.part.kind == "oil":
            oiled = {n for a in scope.actions if a.verb == "oil" for n in a.items}
            return not oiled or bool(oiled & b.items)
        held = adhesive.held & scope.acted_ids
        return bool(held & b.items) or any(self.kit.held[name].to in b.items for name in held)

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

    def turns_forwards(self, thing: Thing, scope: Scope) -> bool | None:
        """Whether a thing on an upright axis turns anticlockwise seen from above, for the turns of
        the crank that a step asks for; None where that is not known, or it does not turn."""
        kit, told = self.kit, set[bool]()
        turned = next((a.value for a in scope.actions if a.verb == "turn" and a.value), 1)
        for arbor in map(self._arbor, thing.items):
            axis = kit.axes.get(kit.arbors[arbor].axis or "")
            speed = self._speeds.get(arbor)
            if not speed or axis is None or axis.lies == "level":
                return None
            told.add(speed * turned > 0)
        return told.pop() if len(told) == 1 else None

    def one_arbor(self, a: Thing, b: Thing) -> bool:
        return bool({self._arbor(x) for x in a.items} & {self._arbor(y) for y in b.items})

    def is_frame(self, thing: Thing) -> bool:
        return thing.part.kind == "plate" and self.moves(thing) is not True

    def is_loose(self, thing: Thing, scope: Scope) -> bool:
        """Whether a thing is only slid on in a step, where others are pressed, or is a ring."""
        pressed = {n for a in scope.actions if a.verb in ("press", "glue") for n in a.items}
        slid = {n for a in scope.actions if a.verb in ("slide-on", "place") for n in a.items}
        is_slid = bool(pressed and thing.items & slid) or thing.part.kind in ("washer", "spacer")
        return is_slid and not thing.items & pressed

    def handled(self, thing: Thing, scope: Scope) -> bool:
        """Whether a step puts a thing somewhere, or what it is made up with."""
        put, whole = self._put_in(scope)
        return bool(thing.items & put) or any(
            self._belong(item, name) for item in thing.items & scope.built for name in whole
        )

    def is_only_host(self, thing: Thing, scope: Scope) -> bool:
        """Whether a step puts other things on a thing, and the thing itself nowhere."""
        verbs = {a.verb for a in scope.actions for name in a.items if name in thing.items}
        on = {self.kit.held[n].to for a in scope.actions for n in a.items if n in self.kit.held}
        on |= {self._arbor(n) for a in scope.actions if a.verb in PLACING for n in a.items}
        return bool(thing.items & on) and not verbs - {"make-up"}

    def is_host(self, thing: Thing, scope: Scope) -> bool:
        """Whether a step puts something on or into a thing, or the two together on the bench."""
        put, whole = self._put_in(scope)
        return any(
            self._is_on(item, name) or self._is_on(name, item)
            for item in put | whole
            for name in thing.items
        )

    def is_oiled(self, thing: Thing, scope: Scope) -> bool:
        """Whether a step oils a thing, where it says what it oils."""
        oiled = {name for a in scope.actions if a.verb == "oil" for name in a.items}
        return not oiled or bool(oiled & thing.items)

    def takes_supply(self, thing: Thing, scope: Scope) -> bool:
        """Whether a step oils a thing or glues something to it, where it says what."""
        oiled = {name for a in scope.actions if a.verb == "oil" for name in a.items}
        glued = {name for a in scope.actions if a.verb == "glue" for name in a.items}
        hosts = {self.kit.held[name].to for name in glued if name in self.kit.held}
        there = oiled | glued | hosts
        return not there or bool(there & thing.items)

    def comes_in_mesh(self, thing: Thing, scope: Scope) -> bool:
        """Whether a step lets a thing, or what is on it, come in mesh, where it says what does."""
        meshed = {name for a in scope.actions if a.verb == "mesh" for name in a.items}
        shafts = {self._arbor(name) for name in meshed}
        return not meshed or bool((meshed | shafts) & thing.items)

    def is_there(self, thing: Thing, scope: Scope) -> bool:
        """Whether a thing is built when a step is done, or the step does something with it."""
        return bool(thing.items & (scope.built | scope.acted_ids | self._put_in(scope)[0]))

    def can_turn(self, thing: Thing, scope: Scope) -> bool:
        """Whether a thing can be turned in a step: it moves in the machine, or is put there."""
        return self.moves(thing) is not False or bool(thing.items & scope.acted_ids)

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

    def related(self, a: Thing, b: Thing, scope: Scope) -> bool:
        """Whether two things have to do with each other: one holds, carries or fastens the other,
        they mesh, or one is near the other on an axis. Tools have to do with everything."""
        if a.part is b.part or isinstance(a.part, Tool) or isinstance(b.part, Tool):
            return True
        for one, other in ((a, b), (b, a)):
            if one.is_fastener:
                return other.is_fastener or self.fastens(one, other) or self.goes_under(other, one)
        for one, other in ((a, b), (b, a)):
            if one.is_supply:
                return other.is_supply or self._is_treated(one, other, scope)
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

    def _is_treated(self, supply: Thing, thing: Thing, scope: Scope) -> bool:
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

    def concerns(self, thing: Thing, scope: Scope) -> bool:
        """Whether the work of a place is done to a thing, or on or with it."""
        if not thing.is_built:
            return thing.part.id in scope.parts
        acted = scope.acted_ids
        return bool(thing.items & acted) or any(
            self._belong(name, item) or self._belong(item, name)
            for item in thing.items
            for name in acted
        )

    def _put_in(self, scope: Scope) -> tuple[frozenset[str], frozenset[str]]:
        """What a step puts somewhere, with the hosts of what it puts together on the bench; and
        the items that it moves with all that is on them."""
        assert scope.stage is not None
        step = scope.stage.id, scope.step.id if scope.step else ""
        if step not in self._known_put:
            told = [(action.verb, name) for action in scope.actions for name in action.items]
            put = {name for verb, name in told if verb in _PUT}
            bench = {name for verb, name in told if verb in _JOINED and name in self.kit.held}
            put |= {self.kit.held[name].to for name in bench}
            whole = {name for verb, name in told if verb in _WHOLE and name in self.kit.items}
            self._known_put[step] = frozenset(put), frozenset(whole)
        return self._known_put[step]

    def is_put_last(self, thing: Thing, scope: Scope) -> bool:
        """Whether a thing is put on its arbor by a step, after all else that it puts there."""
        told = [(action.verb, name) for action in scope.actions for name in action.items]
        put = [name for verb, name in told if verb in _LAID and name in self.kit.items]
        mine = {self._arbor(name) for name in thing.items}
        there = [name for name in dict.fromkeys(put) if self._arbor(name) in mine]
        return len(there) > 1 and there[-1] in thing.items

    def order(self, thing: Thing, scope: Scope) -> Iterator[Item]:
        """The items of its kind that a step handles, in their order."""
        kind = family(thing.part)
        yield from (item for item in scope.handled if family(item.part) == kind)

    def _mates(self, name: str) -> tuple[Item, ...]:
        return self.kit.on_arbor[self._arbor(name)]

    def _arbor(self, name: str) -> str:
        return self.kit.items[name].arbor


_NEAR = 2  # places apart on an arbor, within which things have to do with each other
_PRESSED = 0.1  # mm that a bore may be under the shaft that is pressed into it
_TOUCH = 0.5  # mm between two things of an axis that touch, but for their end play
#: Kinds of part on which the whole machine stands.
_UNDER = ("foot", "pillar")
#: Actions that put one item to another, which words may tell the other way round.
_JOINED = frozenset({"make-up", "fit", "place"})
#: Actions on an item with all that it is made up with.
_WHOLE = frozenset({"place", "refit", "make-up"})
#: Actions by which an item comes to its place.
_LAID = frozenset({*PLACING, "place", "refit"})
#: Those, and the actions that keep it there.
_PUT = _LAID | {*FASTENING, "aim"}
