"""What a step does with the items of a machine, as the words of its instructions tell it."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.kit.model import Item
from kitdocs.kit.stage import FASTENING, PLACING
from kitdocs.words.audit.names.machine import Machine
from kitdocs.words.audit.names.things import Thing, family
from kitdocs.words.audit.scope import Scope

#: Actions that put one item to another, which words may tell the other way round.
_JOINED = frozenset({"make-up", "fit", "place"})
#: Actions on an item with all that it is made up with.
_WHOLE = frozenset({"place", "refit", "make-up"})
#: Actions by which an item comes to its place.
_LAID = frozenset({*PLACING, "place", "refit"})
#: Those, and the actions that keep it there.
_PUT = _LAID | {*FASTENING, "aim"}


class Work(Machine):
    """The machine, and the work on it."""

    def __init__(self, design: Design):
        super().__init__(design)
        self._known_put: dict[tuple[str, str], tuple[frozenset[str], frozenset[str]]] = {}

    def joins(self, adhesive: Thing, b: Thing, scope: Scope) -> bool:
        """Whether an adhesive holds a thing, or something to it, in the work of a place; of an
        oil, whether it is oiled there, where anything is."""
        if adhesive.part.kind == "oil":
            oiled = {n for a in scope.actions if a.verb == "oil" for n in a.items}
            return not oiled or bool(oiled & b.items)
        held = adhesive.held & scope.acted_ids
        return bool(held & b.items) or any(self.kit.held[name].to in b.items for name in held)

    def is_washer(self, fastener: Thing) -> bool:
        """Whether a fastener lies under the heads of others."""
        return any(f.washer is fastener.part for f in self.design.fastenings.values())

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
