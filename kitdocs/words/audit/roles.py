"""What a sentence says of the things that it names, held against what they are in the machine.

A name may be at hand in a step and wrong all the same: a spacer that is oiled, a wheel that meshes
with no other there, a screw that turns round. Each check reads one plain form of words (a name
after its verb, or the words between two names) and tells only of what cannot be.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from kitdocs.kit.parts import Tool, Toothed
from kitdocs.words.audit.belonging import Machine
from kitdocs.words.audit.lexicon import Lexicon, Named
from kitdocs.words.audit.role_words import ROLE_WORDS
from kitdocs.words.audit.scope import Scope
from kitdocs.words.audit.things import Thing, Things, family
from kitdocs.words.sentences import Sentence

#: A thing, why it cannot be so, and what could stand there.
Fault = tuple[Thing, str, str]


def _stands(words: re.Pattern[str], text: str, thing: Thing) -> bool:
    """Whether words stand round a thing, for which they have an X."""
    start = max(0, thing.start - _NEAR)
    shown = f"{text[start : thing.start]}X{text[thing.end : thing.end + _NEAR]}"
    return words.search(shown) is not None


_NEAR = 40  # characters before or after a name in which words belong to it
#: After a name that is no part of a longer one (`the Sun`, not `the Sun wheel`).
_PHRASE_ENDS = re.compile(r"\s*(?:[.,;:]|$)")
_TEETH = re.compile(r"teeth|tooth|z[aä]hn|zęb", re.IGNORECASE)


class RoleCheck:
    """Reads what sentences say of things, in one language of a kit."""

    def __init__(self, lexicon: Lexicon):
        self.things, self.machine = Things(lexicon), Machine(lexicon.design)
        self.words = ROLE_WORDS.get(lexicon.tongue.code)

    def faults(self, sentence: Sentence, scope: Scope, named: tuple[Named, ...]) -> Iterator[Fault]:
        """What a sentence says that its things cannot be or do, each thing once."""
        if self.words is None or scope.stage is None or sentence.kind in ("row", "code"):
            return
        things = self.things.read(named, scope)
        told: set[int] = set()
        for fault in self._faults(sentence.text, things, scope) if things else ():
            if fault[0].start not in told:
                told.add(fault[0].start)
                yield fault

    def _faults(self, text: str, things: list[Thing], scope: Scope) -> Iterator[Fault]:
        assert self.words is not None
        verbs = list(self.words.put.finditer(text)) if scope.step is not None else []
        if verbs:
            yield from self._objects(text, things, verbs, scope)
        if scope.step is not None:
            yield from self._order(text, things, verbs, scope)
        for thing in things:
            yield from self._said_of(text, thing)
        for a, b in pairwise(things):
            yield from self._together(text, a, b, scope)

    # One thing

    def _objects(
        self, text: str, things: list[Thing], verbs: list[re.Match[str]], scope: Scope
    ) -> Iterator[Fault]:
        """Things that an instruction puts somewhere, and the step's facts do not."""
        assert self.words is not None
        for verb in verbs:
            for thing in things:
                if thing.start < verb.end():
                    continue
                if self.words.between.fullmatch(text, verb.end(), thing.start):
                    yield from self._put(thing, verb["verb"], scope)
                break

    def _put(self, thing: Thing, verb: str, scope: Scope) -> Iterator[Fault]:
        assert self.words is not None
        words = self.words
        if (not thing.is_built and words.pushed.match(verb)) or (
            thing.is_supply and words.laid.match(verb)
        ):
            yield thing, "which is not put on so", "what the step puts there"
        elif words.pressed.match(verb) and self.machine.is_loose(thing, scope):
            yield thing, "which is not pressed in the step's facts", "what is"
        elif thing.is_built and not self.machine.handled(thing, scope):
            yield thing, "which the step's facts do not put anywhere", "an item of its facts"

    def _order(
        self, text: str, things: list[Thing], verbs: list[re.Match[str]], scope: Scope
    ) -> Iterator[Fault]:
        """Things told as first, last or next that are not, among those of their kind."""
        words = self.words
        assert words is not None
        is_first, is_last = words.first.search(text), words.last.search(text)
        if (is_first or is_last) and things[0].is_built:
            row = list(self.machine.order(things[0], scope))
            at = row[0 if is_first else -1] if len(row) > 1 else None
            if at is not None and not any(at.id in thing.items for thing in things):
                what = "first" if is_first else "last"
                yield things[0], f"which is not the {what} in the step's facts", at.id
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

    def _said_of(self, text: str, thing: Thing) -> Iterator[Fault]:
        words, machine = self.words, self.machine
        assert words is not None
        if words.after.match(text, thing.end):
            yield from self._does(text, thing)
        before = text[max(0, thing.start - _NEAR) : thing.start]
        if words.before.search(before):
            yield from self._told_of(before, thing)
        if not thing.is_fastener and _stands(words.driven, text, thing):
            yield thing, "which is not driven in", "a fastener"
        if _stands(words.bears, text, thing) and not machine.holds_something(thing):
            yield thing, "on which nothing sits", "what things stand on"

    def _does(self, text: str, thing: Thing) -> Iterator[Fault]:
        """What the words after a thing say that it does or has."""
        words, machine = self.words, self.machine
        assert words is not None

        def said(pattern: re.Pattern[str]) -> bool:
            return pattern.match(text, thing.end) is not None

        if not thing.is_built:
            if said(words.turns) or said(words.rests):
                yield thing, "which is no thing that turns", "an arbor or what is on one"
            elif said(words.carries):
                yield thing, "which carries nothing", "what things stand on"
        else:
            moves = machine.moves(thing)
            if said(words.rests) and moves:
                yield thing, "which does turn", "a thing that is fixed"
            elif said(words.turns) and moves is False:
                yield thing, "which does not turn", "an arbor or what is on one"
            elif said(words.all) and not machine.is_frame(thing):
                yield thing, "which does not carry everything", "what all stands on"
            elif said(words.carries) and not machine.holds_something(thing):
                yield thing, "which carries nothing", "what things stand on"
            elif said(words.on_crank) and not machine.is_on_crank(thing):
                yield thing, "which is not on the crank", "what is on it"
            elif said(words.holds) and machine.is_alone(thing):
                yield thing, "which holds nothing", "what holds it"
        if not isinstance(thing.part, Toothed) and said(words.has_teeth) and _TEETH.search(text):
            yield thing, "which has no teeth", "a wheel"

    def _told_of(self, before: str, thing: Thing) -> Iterator[Fault]:
        """What the words right before a thing say of it."""
        words, machine = self.words, self.machine
        assert words is not None
        has_axis = thing.is_built and machine.has_axis(thing)
        watched = not thing.is_built and words.watch.search(before)
        if watched or (not has_axis and words.axis_of.search(before)):
            yield thing, "which has no axis of its own", "an arbor or what is on one"
        if words.each.search(before) and len(self.things.every(thing)) < 2:
            yield thing, "of which there is one", "things of which there are several"
        if words.drop_of.search(before) and not thing.is_supply:
            yield thing, "which does not come in drops", "a supply"
        if words.oil.search(before) and (not thing.is_built or not machine.runs(thing)):
            yield thing, "where nothing runs", "where two things run on each other"

    # Two things

    def _together(self, text: str, a: Thing, b: Thing, scope: Scope) -> Iterator[Fault]:
        """What the words between two names say that the two are to each other."""
        words, machine = self.words, self.machine
        assert words is not None
        if b.start - a.end > 2 * _NEAR:
            return

        def between(pattern: re.Pattern[str]) -> bool:
            return pattern.fullmatch(text, a.end, b.start) is not None

        if between(words.meshes):
            if not machine.mesh(a, b) or (
                isinstance(a.part, Toothed) != isinstance(b.part, Toothed)
                and not words.drives.search(text, a.end, b.start)
            ):
                odd = b if a.is_built else a
                yield odd, "which does not mesh with the other", "two wheels that mesh"
        elif between(words.holds):
            if a.is_fastener and not machine.fastens(a, b):
                yield b, "which no such fastener holds", "what it holds"
        elif between(words.on) or (between(words.over) and words.put.search(text, 0, a.start)):
            yield from self._on(text, a, b, scope)
        elif between(words.down_to) and words.down.search(text, 0, a.start):
            if a.is_built and b.is_built and not machine.goes_on(b, a):
                yield b, "which is not on the other", "what is on it"
            elif _PHRASE_ENDS.match(text, b.end) and machine.is_put_last(b, scope):
                yield b, "on which the step puts nothing", "what lies below"
        elif between(words.of) and not isinstance(b.part, Tool):
            if a.is_fastener:
                is_so = machine.fastens(a, b)
            else:
                is_so = not a.is_built or (b.is_built and machine.part_of(a, b))
            if not is_so or b.is_fastener:
                yield b, "to which the other does not belong", "what it belongs to"
        elif between(words.both) and a.is_built and words.carries.search(text, 0, a.start):
            if not (b.is_built and machine.one_arbor(a, b)):
                yield b, "which is not on one arbor with the other", "things of one arbor"
        elif a.is_built and a.items == b.items and len(a.items) == 1:
            yield b, "which the sentence has named already", "another thing, or a pronoun"

    def _on(self, text: str, a: Thing, b: Thing, scope: Scope) -> Iterator[Fault]:
        """One thing on, over, under or in the other."""
        machine = self.machine
        assert self.words is not None
        if b.is_fastener:
            if a.is_supply or (a.is_built and not machine.goes_under(a, b)):
                yield b, "on which nothing of that kind goes", "where it goes"
        elif a.is_fastener:
            if b.is_built and not machine.fastens(a, b) and not a.held & b.items:
                yield b, "which no such fastener holds", "what it holds"
        elif self.words.meshed.match(text, b.end):
            if not machine.mesh(a, b):
                yield b, "which does not mesh with the other", "two wheels that mesh"
        elif a.is_supply and self.words.drop_of.search(text[: a.start]):
            if not b.is_built or (a.part.kind == "oil" and not machine.runs(b)):
                yield b, "where nothing runs", "where two things run on each other"
            elif not machine.joins(a, b, scope):
                yield b, "where the step's facts have none of it", "where it goes"
        elif b.is_supply and a.is_built and not a.items & b.held:
            yield b, "on which nothing goes", "where it goes"
        elif (
            a.is_built
            and b.is_built
            and not machine.goes_on(a, b, self.words.below.search(text, a.end, b.start) is not None)
        ):
            yield b, "which is not where the other goes", "what is next to it"
