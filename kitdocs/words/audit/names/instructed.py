"""What an instruction does to things, held against the facts of its step."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from kitdocs.kit.parts import Tool
from kitdocs.words.audit.names.things import Fault, Thing, family, shown
from kitdocs.words.audit.names.work import Work
from kitdocs.words.audit.scope import Scope
from kitdocs.words.audit.tongues.role_words import RoleWords


class Instructed:
    """Reads the instructions of steps: what is put, oiled, turned, and on what."""

    def __init__(self, words: RoleWords, machine: Work):
        self.words, self.machine = words, machine

    def faults(self, text: str, things: list[Thing], scope: Scope) -> Iterator[Fault]:
        verbs = list(self.words.put.finditer(text))
        if verbs:
            yield from self._objects(text, things, verbs, scope)
        yield from self._order(text, things, verbs, scope)
        for n, thing in enumerate(things):
            yield from self._handled(text, thing, n == 0, scope)

    def _objects(
        self, text: str, things: list[Thing], verbs: list[re.Match[str]], scope: Scope
    ) -> Iterator[Fault]:
        """Things that an instruction puts somewhere, or puts others on, and the facts do not."""
        for verb in verbs:
            thing = next((one for one in things if one.start >= verb.end()), None)
            if thing is None:
                return
            told = shown(text, thing)
            if self.words.between.fullmatch(text, verb.end(), thing.start):
                if self.words.aside.search(told) and self.machine.is_host(thing, scope):
                    continue
                yield from self._put(thing, verb["verb"], scope)
                if self.words.put_on.search(told):
                    yield from self._put_on(thing, scope)
            elif self.words.smeared.search(told):
                continue
            elif self.words.host.fullmatch(text, verb.end(), thing.start):
                yield from self._host(thing, verb["verb"], scope)

    def _put(self, thing: Thing, verb: str, scope: Scope) -> Iterator[Fault]:
        words = self.words
        is_ring = thing.is_fastener and self.machine.is_washer(thing)
        if (not thing.is_built and not is_ring and words.pushed.match(verb)) or (
            thing.is_supply and words.laid.match(verb)
        ):
            yield thing, "which is not put on so", "what the step puts there"
        elif words.pressed.match(verb) and self.machine.is_loose(thing, scope):
            yield thing, "which is not pressed in the step's facts", "what is"
        elif thing.is_built and not self.machine.handled(thing, scope):
            yield thing, "which the step's facts do not put anywhere", "an item of its facts"

    def _put_on(self, thing: Thing, scope: Scope) -> Iterator[Fault]:
        """`Press on the wheel`: never the shaft that it goes on."""
        if thing.is_built and self.machine.is_only_host(thing, scope):
            yield thing, "on which the step's facts put things", "what they put on it"

    def _host(self, thing: Thing, verb: str, scope: Scope) -> Iterator[Fault]:
        """`Slide the dial on the pipe`, where the dial is not called by its name."""
        if isinstance(thing.part, Tool):
            if self.words.pushed.match(verb):
                yield thing, "on which nothing is put", "where it goes"
        elif not thing.is_built:
            if self.words.pressed.match(verb):
                yield thing, "on which nothing is pressed", "where it goes"
        elif not self.machine.is_there(thing, scope):
            yield thing, "which is not there yet", "what is"
        elif not self.machine.is_host(thing, scope):
            yield thing, "on which the step's facts put nothing", "where they put it"

    def _order(
        self, text: str, things: list[Thing], verbs: list[re.Match[str]], scope: Scope
    ) -> Iterator[Fault]:
        """Things told as first, last or next that are not, among those of their kind."""
        words = self.words
        is_first, is_last = words.first.search(text), words.last.search(text)
        put = next((one for one in things if verbs and one.start >= verbs[0].end()), things[0])
        if (is_first or is_last) and put.is_built:
            row = list(self.machine.order(put, scope))
            at = row[0 if is_first else -1] if len(row) > 1 else None
            if at is not None and not any(at.id in thing.items for thing in things):
                what = "first" if is_first else "last"
                yield put, f"which is not the {what} in the step's facts", at.id
        for a, b in pairwise(things) if verbs else ():
            if not words.then.fullmatch(text, a.end, b.start):
                continue
            yield from self._put(b, verbs[0]["verb"], scope)
            if not (a.is_built and b.is_built):
                continue
            row = [item.id for item in self.machine.order(a, scope)]
            at = next((n + 1 for n, name in enumerate(row) if name in a.items), 0)
            follows = b.items & {*row[at : at + 1]}
            if at and not follows and family(a.part) == family(b.part):
                after = row[at] if at < len(row) else "nothing of its kind"
                yield b, f"where {after} comes next in the step's facts", after

    def _handled(self, text: str, thing: Thing, first: bool, scope: Scope) -> Iterator[Fault]:
        """What is said to be done with a thing that is there already."""
        words, machine = self.words, self.machine
        told = shown(text, thing)
        if not words.handled.search(told):
            return
        if words.oiled.search(told):
            if not machine.is_oiled(thing, scope):
                yield thing, "which the step's facts do not oil", "what they oil"
        elif words.smeared.search(told):
            if not machine.takes_supply(thing, scope):
                yield thing, "where the step's facts put none", "where it goes"
        elif words.found.search(told):
            if thing.is_built and not machine.comes_in_mesh(thing, scope):
                yield thing, "with which nothing comes in mesh here", "the wheel that it meets"
        elif first and thing.is_built and words.moved.search(told):
            if not machine.is_there(thing, scope):
                yield thing, "which is not there yet", "a thing that is"
            elif words.turned.search(told) and not machine.can_turn(thing, scope):
                yield thing, "which does not turn", "what does"
