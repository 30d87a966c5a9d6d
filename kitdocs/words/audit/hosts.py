"""What an instruction puts something on: a thing that is there by then, and that it goes on."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from kitdocs.kit.stage import PLACING
from kitdocs.words.audit.belonging import Machine
from kitdocs.words.audit.lexicon import Lexicon
from kitdocs.words.audit.role_words import RoleWords
from kitdocs.words.audit.scope import Scope
from kitdocs.words.audit.things import Fault, Thing

#: The last noun that may stand for a thing: a word, after numbers and articles.
_WORD = re.compile(r"[^\W\d_]+")
#: Actions that bring an item to its place.
_PLACED = frozenset({*PLACING, "place", "refit", "make-up"})


class Hosts:
    """Reads on what steps put things, whether the thing, or what it goes on, is named or not."""

    def __init__(self, words: RoleWords, machine: Machine, lexicon: Lexicon):
        self.words, self.machine, self.lexicon = words, machine, lexicon

    def faults(self, text: str, things: list[Thing], scope: Scope) -> Iterator[Fault]:
        """Of the sentences of a step that begin with a verb by which something is put."""
        words, verb = self.words, self.words.put.search(text)
        if verb is None:
            return
        for thing in things:
            before = thing.start > verb.end() and words.host.fullmatch(
                text, verb.end(), thing.start
            )
            if before and thing.is_built and not self.machine.is_there(thing, scope):
                yield thing, "which is not there yet", "what is"
            if before and not thing.is_built and words.pressed.match(verb["verb"]):
                yield thing, "on which nothing is pressed", "where it goes"
        for a, b in pairwise(things):
            if not (a.is_built and b.is_built and words.on.fullmatch(text, a.end, b.start)):
                continue
            if not self.machine.is_there(b, scope) or self._comes_later(b, a, scope):
                yield b, "which is not there yet", "what is"
        for thing in things:
            if thing.is_built and thing.start >= verb.end():
                yield from self._unnamed(text, thing, things, scope)

    def _with_held(self, part: str, thing: Thing) -> frozenset[str]:
        """The items of a part and, for a shaft, what is held to them: one puts a pipe on the arm
        in which the rod is on which it runs."""
        kit = self.machine.kit
        items = {item.id for item in kit.items.values() if item.part.id == part}
        if not thing.items & kit.arbors.keys():
            return frozenset(items)
        return frozenset(items | {name for name, held in kit.held.items() if held.to in items})

    def _comes_later(self, host: Thing, thing: Thing, scope: Scope) -> bool:
        """Whether a step puts a host in its place only after what is to go on it."""
        placed = [name for a in scope.actions if a.verb in _PLACED for name in a.items]
        at = [n for n, name in enumerate(placed)
              if name in host.items and self.machine.kit.items[name].part is host.part]  # fmt: skip
        first = [n for n, name in enumerate(placed) if name in thing.items]
        return bool(at and first and min(at) > max(first))

    def _unnamed(
        self, text: str, thing: Thing, things: list[Thing], scope: Scope
    ) -> Iterator[Fault]:
        """`Lay the washer on the plate`: what it goes on, called by its noun alone."""
        on = self.words.on.match(text, thing.end) or self.words.until.match(text, thing.end)
        noun = _WORD.match(text, on.end()) if on else None
        if noun is None or any(one.start <= noun.start() < one.end for one in things):
            return
        called = self.lexicon.parts_called(noun[0].lower())
        parts = {i for ids in called for i in ids} & scope.parts
        kit = self.machine.kit
        hosts = [
            Thing(0, 0, kit.parts[part], items)
            for part in sorted(parts)
            if (items := self._with_held(part, thing))
        ]
        if hosts and not any(
            self.machine.goes_on(thing, host) and not self._comes_later(host, thing, scope)
            for host in hosts
        ):
            yield thing, "which does not go there", "what does"
