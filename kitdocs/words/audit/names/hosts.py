"""What an instruction puts something on: a thing that is there by then, and that it goes on."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from kitdocs.kit.stage import PLACING
from kitdocs.words.audit.lexicon import Lexicon
from kitdocs.words.audit.names.things import Fault, Thing
from kitdocs.words.audit.names.work import Work
from kitdocs.words.audit.scope import Scope
from kitdocs.words.audit.tongues.role_words import RoleWords

#: The last noun that may stand for a thing: a word, after numbers and articles.
_WORD = re.compile(r"[^\W\d_]+")
#: Actions that bring an item to its place.
_PLACED = frozenset({*PLACING, "place", "refit", "make-up"})


class Hosts:
    """Reads on what steps put things, whether the thing, or what it goes on, is named or not."""

    def __init__(self, words: RoleWords, machine: Work, lexicon: Lexicon):
        self.words, self.machine, self.lexicon = words, machine, lexicon

    def faults(self, text: str, things: list[Thing], scope: Scope) -> Iterator[Fault]:
        """Of the sentences of a step that begin with a verb by which something is put."""
        words, verb = self.words, self.words.put.search(text)
        for a, b in pairwise(things):
            is_fixed = words.to.fullmatch(text, a.end, b.start) and words.attached.search(
                text, 0, b.start
            )
            apart = not b.is_built or (a.is_built and not self.machine.part_of(a, b))
            if is_fixed and apart:
                yield b, "to which the other is not fixed", "what it is fixed to"
        if verb is None:
            return
        for a, b in pairwise(things):
            if words.on.fullmatch(text, a.end, b.start):
                yield from self._order(a, b, scope)
                yield from self._own_shaft(a, b)
            elif self._is_first(text, a, b):
                yield from self._order(b, a, scope)
                yield from self._fits(b, a)
                yield from self._own_shaft(b, a)
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

    def _is_first(self, text: str, host: Thing, thing: Thing) -> bool:
        """`Na słupek nałóż podkładkę`: whether what something is put on is told before it."""
        verb = self.words.put.search(text, host.end, thing.start)
        return bool(
            verb
            and not text[host.end : verb.start()].strip()
            and self.words.host_first.search(text[: host.start])
            and self.words.between.fullmatch(text, verb.end(), thing.start)
        )

    def _order(self, thing: Thing, host: Thing, scope: Scope) -> Iterator[Fault]:
        if not (thing.is_built and host.is_built):
            return
        if not self.machine.is_there(host, scope) or self._comes_later(host, thing, scope):
            yield host, "which is not there yet", "what is"

    def _own_shaft(self, thing: Thing, host: Thing) -> Iterator[Fault]:
        """What goes on a pipe is not put on the post that the pipe runs on."""
        kit = self.machine.kit
        shafts = {kit.items[name].arbor for name in thing.items} & kit.items.keys()
        if (
            not thing.is_built
            or thing.items & kit.arbors.keys()
            or not host.items & kit.arbors.keys()
        ):
            return
        if shafts and not shafts & host.items and not self.machine.part_of(thing, host):
            yield host, "which is not the shaft of the other", "the shaft that it is on"

    def _fits(self, thing: Thing, host: Thing) -> Iterator[Fault]:
        if not host.is_built or (thing.is_built and not self.machine.goes_on(thing, host)):
            yield host, "which is not where the other goes", "what is next to it"

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
