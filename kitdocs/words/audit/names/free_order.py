"""What sentences say of things where what is done to them may come first, as in Polish.

*Piastę trzyma jeden wkręt* has the hub before the verb and the screw that holds it after it.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise, product

from kitdocs.kit.parts import Tool
from kitdocs.mechanism.positions import axis_distance
from kitdocs.words.audit.lexicon import Lexicon, sort_of, words_in
from kitdocs.words.audit.names.things import Fault, Thing, shown
from kitdocs.words.audit.names.work import Work
from kitdocs.words.audit.scope import Scope
from kitdocs.words.audit.tongues.role_words import RoleWords


class FreeOrder:
    """Reads forms of words that tell what is done to a thing before or after its verb, in every
    language that has patterns for them; those of free word order have most."""

    def __init__(self, words: RoleWords, machine: Work, lexicon: Lexicon):
        self.words, self.machine, self.lexicon = words, machine, lexicon
        self.kit = machine.kit

    def faults(self, text: str, things: list[Thing], scope: Scope) -> Iterator[Fault]:
        words = self.words
        for thing in things:
            told = shown(text, thing)
            if holds := words.held_by.search(text, 0, thing.start):
                yield from self._held_by(text[: holds.start()], thing, scope)
            if (holds := words.holds.match(text, thing.end)) and thing.is_built:
                yield from self._is_held(text[holds.end() :], thing)
            if words.turns_of.search(text, 0, thing.start) and not self._turns(thing):
                yield thing, "which does not turn", "what does"
            if words.pressed_in.search(told) and not self._is_pressed(thing):
                yield thing, "which is pressed nowhere", "what is"
            if thing.is_supply and thing.is_typed and not self._is_used(thing, scope):
                yield thing, "of which the step's facts use none", "what they use"
            if thing.is_supply and words.counted.search(text, 0, thing.start):
                yield thing, "which does not come in pieces", "what does"
            if words.until_end.match(text, thing.end) and not self._is_last(thing):
                yield thing, "over which no end shows", "what is last on its arbor"
            if scope.step is not None and words.taken_off.search(text, 0, thing.start):
                yield from self._taken_off(thing, scope)
        for a, b in pairwise(things):
            if words.both.fullmatch(text, a.end, b.start):
                if words.axis_of.search(text, 0, a.start) and not self._are_apart(a, b):
                    yield b, "which has no axis beside the other", "an arbor beside it"
            elif words.away.fullmatch(text, a.end, b.start):
                if not (b.is_built and self.machine.has_axis(b) and self._are_apart(a, b)):
                    yield b, "which is not so far from the other", "what is"
            elif words.on.fullmatch(text, a.end, b.start):
                if a.is_built and sort_of(b.part) == "set-screw":
                    yield b, "on which nothing goes", "where it goes"
            elif words.off.fullmatch(text, a.end, b.start):
                slackens = scope.step is not None and words.taken_off.search(text, 0, a.start)
                if slackens and not self.machine.is_there(b, scope):
                    yield b, "which is not there", "what it is taken off"
            elif words.of.fullmatch(text, a.end, b.start):
                yield from self._of(text, a, b, scope)
        for a, b, c in zip(things, things[1:], things[2:], strict=False):
            if words.between_two.search(f"{text[: a.start]}X{text[a.end : b.start]}X"):
                yield from self._between(text, a, b, c)

    def _held_by(self, before: str, thing: Thing, scope: Scope) -> Iterator[Fault]:
        """What holds a thing that is called by a noun before the verb."""
        nouns = [word for _, _, word in words_in(before) if self.lexicon.is_noun(word)]
        if nouns and self.lexicon.tongue.noun(nouns[-1]) == "screw":
            return  # the screw holds, and is told first
        called = self.lexicon.parts_called(nouns[-1]) if nouns else ()
        meant = frozenset({part for ids in called for part in ids} & scope.parts)
        held = {name for name in self.kit.held if self.kit.items[name].part.id in meant}
        hosts = {n for n, one in self.kit.held.items() if self._part(one.to) in meant}
        if not meant or thing.is_fastener or thing.is_supply:
            is_so = not meant or bool(thing.held & (held | hosts))
        else:
            is_so = thing.is_built and self.machine.holds_one_of(thing, meant)
        if not is_so:
            yield thing, "which does not hold it", "what holds it"

    def _is_held(self, after: str, thing: Thing) -> Iterator[Fault]:
        """Fasteners, called by a noun after the verb, that hold a thing."""
        noun = next((word for _, _, word in words_in(after)), "")
        if self.lexicon.tongue.noun(noun) == "screw":
            fastenings = self.machine.design.fastenings
            hosts = (self.kit.held[name].to for name in fastenings)
            if not thing.items & {*fastenings, *hosts}:
                yield thing, "which no screw holds", "what one holds"

    def _is_last(self, thing: Thing) -> bool:
        rows = self.kit.on_arbor.values()
        return any(row and row[-1].id in thing.items for row in rows)

    def _of(self, text: str, a: Thing, b: Thing, scope: Scope) -> Iterator[Fault]:
        """What a tool does not have, and screws that are slackened in another thing."""
        if isinstance(b.part, Tool) and not self.words.used.match(text, b.start):
            yield b, "to which nothing belongs", "what it belongs to"
        slackens = scope.step is not None and self.words.taken_off.search(text, 0, a.start)
        loose = self._loose(scope) if slackens and a.is_fastener else frozenset()
        hosts = {self.kit.held[name].to for name in loose if name in self.kit.held}
        if loose and not b.items & (loose | hosts):
            yield b, "which the step's facts do not slacken", "what they do"

    def _are_apart(self, a: Thing, b: Thing) -> bool:
        """Whether the axes of two things are so far apart as the plan shows."""
        design = self.machine.design
        arbors = ({self.kit.items[name].arbor for name in thing.items} for thing in (a, b))
        return any(axis_distance(self.kit, *pair, design.positions) for pair in product(*arbors))

    def _loose(self, scope: Scope) -> frozenset[str]:
        """What a step takes off or slackens."""
        loose = (a for a in scope.actions if a.verb in ("remove", "slacken"))
        return frozenset(name for action in loose for name in action.items)

    def _part(self, item: str) -> str:
        return self.kit.items[item].part.id if item in self.kit.items else ""

    def _turns(self, thing: Thing) -> bool:
        return thing.is_built and self.machine.moves(thing) is True

    def _is_pressed(self, thing: Thing) -> bool:
        return any(name in self.kit.held and self.kit.held[name].by == "press"
                   for name in thing.items)  # fmt: skip

    def _is_used(self, thing: Thing, scope: Scope) -> bool:
        """Whether a step oils or glues something, with an oil or an adhesive."""
        verb = "oil" if thing.part.kind == "oil" else "glue"
        return any(action.verb == verb for action in scope.actions)

    def _taken_off(self, thing: Thing, scope: Scope) -> Iterator[Fault]:
        """Things that an instruction takes off or slackens, and the facts of its step do not."""
        loose = self._loose(scope)
        there = thing.held if thing.is_fastener else thing.items
        if loose and not loose & there and thing.part.kind != "tool":
            yield thing, "which the step's facts do not take off", "what they do"

    def _between(self, text: str, a: Thing, b: Thing, c: Thing) -> Iterator[Fault]:
        """`Między kołami leży tulejka`: of two things and what lies between them on an arbor."""
        if not self.words.lies.fullmatch(text, b.end, c.start):
            return
        rows = self.kit.on_arbor.values()
        for row in rows:
            at = [[n for n, item in enumerate(row) if item.id in t.items] for t in (a, b, c)]
            if all(at) and any(min(x, y) < z < max(x, y) for x in at[0] for y in at[1]
                               for z in at[2]):  # fmt: skip
                return
        yield c, "which does not lie between them", "what does"
