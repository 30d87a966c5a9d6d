"""What a sentence says of one thing: what it does, has, or can have done to it."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kitdocs.kit.parts import Toothed
from kitdocs.words.audit.lexicon import Lexicon
from kitdocs.words.audit.names.features import has_feature
from kitdocs.words.audit.names.things import NEAR, Fault, Thing, Things, shown
from kitdocs.words.audit.names.work import Work
from kitdocs.words.audit.scope import Scope
from kitdocs.words.audit.tongues.role_words import RoleWords

_TEETH = re.compile(r"teeth|tooth|z[aä]hn|zęb", re.IGNORECASE)
_GENITIVE = ("'s", "’s")
_NOUN = re.compile(r"[^\W\d_]+")


class Alone:
    """Reads what is said of each thing by itself."""

    def __init__(self, words: RoleWords, machine: Work, things: Things, lexicon: Lexicon):
        self.words, self.machine, self.things, self.lexicon = words, machine, things, lexicon

    def faults(self, text: str, things: list[Thing], scope: Scope) -> Iterator[Fault]:
        words = self.words
        for thing in things:
            told = shown(text, thing)
            if words.after.match(text, thing.end):
                yield from self._does(text, thing, scope)
            if (told_sense := words.sense.match(text, thing.end)) and thing.is_built:
                yield from self._sense(told_sense["sense"], thing, scope)
            before = text[max(0, thing.start - NEAR) : thing.start]
            if words.before.search(before):
                yield from self._told_of(before, thing)
            if words.around.search(told):
                yield from self._told_around(told, thing)
                if not text.startswith(_GENITIVE, thing.end - 2):  # the teeth of the arbor's wheel
                    yield from self._features(told, thing)

    def _sense(self, said: str, thing: Thing, scope: Scope) -> Iterator[Fault]:
        """Which way a thing turns, seen from above, when the crank is turned as the step says."""
        forwards = self.machine.turns_forwards(thing, scope)
        if forwards is not None and forwards == bool(self.words.backwards.match(said)):
            yield thing, "which turns the other way", "what turns so"

    def _told_around(self, told: str, thing: Thing) -> Iterator[Fault]:
        """What the words on both sides of a thing say of it."""
        words, machine = self.words, self.machine
        is_pounded = machine.is_pressed(thing) and words.pounded.search(told)
        if not (thing.is_fastener or is_pounded) and words.driven.search(told):
            yield thing, "which is not driven in", "a fastener"
        if words.bears.search(told) and not machine.holds_something(thing):
            yield thing, "on which nothing sits", "what things stand on"
        if words.oil.search(told) and (not thing.is_built or not machine.runs(thing)):
            yield thing, "where nothing runs", "where two things run on each other"
        if words.several.search(told) and len(self.things.every(thing)) < 2:
            yield thing, "of which there is one", "things of which there are several"

    def _features(self, told: str, thing: Thing) -> Iterator[Fault]:
        """`The shoulder of the post`: parts of a thing, which only some kinds have."""
        for pattern in (self.words.feature_of, self.words.feature_had):
            for found in pattern.finditer(told):
                key = self.words.features.get(found["feature"].lower())
                if key and not has_feature(thing.part, key):
                    yield thing, f"which has no {key}", f"a thing that has a {key}"

    def _does(self, text: str, thing: Thing, scope: Scope) -> Iterator[Fault]:
        """What the words after a thing say that it does or has."""
        words, machine = self.words, self.machine

        def said(pattern: re.Pattern[str]) -> bool:
            return pattern.match(text, thing.end) is not None

        if not thing.is_built:
            if said(words.turns) or said(words.rests):
                yield thing, "which is no thing that turns", "an arbor or what is on one"
            elif said(words.carries) or said(words.stands):
                yield thing, "which is no thing that stands on another", "a thing of the machine"
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
            elif said(words.holds):
                yield from self._holds(text, thing, scope)
            elif said(words.upright) and not machine.is_tall(thing):
                yield thing, "which does not stand upright", "a post or another shaft"
        if not isinstance(thing.part, Toothed) and said(words.has_teeth) and _TEETH.search(text):
            yield thing, "which has no teeth", "a wheel"

    def _holds(self, text: str, thing: Thing, scope: Scope) -> Iterator[Fault]:
        """`The arm holds the rod`: of a thing that holds another, called by a noun alone."""
        verb = self.words.holds.match(text, thing.end)
        noun = _NOUN.match(text, verb.end()) if verb else None
        called = self.lexicon.parts_called(noun[0].lower()) if noun else ()
        meant = frozenset({i for ids in called for i in ids} & scope.parts)
        machine = self.machine
        if noun and self.lexicon.tongue.noun(noun[0].lower()) == "screw":
            return  # which holds and is not held: see free_order.py
        if machine.is_alone(thing) or (meant and not machine.holds_one_of(thing, meant)):
            yield thing, "which does not hold it", "what holds it"

    def _told_of(self, before: str, thing: Thing) -> Iterator[Fault]:
        """What the words right before a thing say of it."""
        words, machine = self.words, self.machine
        has_axis = thing.is_built and machine.has_axis(thing)
        watched = not thing.is_built and words.watch.search(before)
        if watched or (not has_axis and words.axis_of.search(before)):
            yield thing, "which has no axis of its own", "an arbor or what is on one"
        if words.each.search(before) and len(self.things.every(thing)) < 2:
            yield thing, "of which there is one", "things of which there are several"
        if words.drop_of.search(before) and not thing.is_supply:
            yield thing, "which does not come in drops", "a supply"
        if words.mixed.search(before) and thing.part.kind != "adhesive":
            yield thing, "which is not mixed", "an adhesive"
