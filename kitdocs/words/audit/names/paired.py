"""What the words between two names say that the two are to each other."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from kitdocs.kit.parts import Tool, Toothed
from kitdocs.words.audit.names.things import NEAR, Fault, Thing
from kitdocs.words.audit.names.work import Work
from kitdocs.words.audit.scope import Scope
from kitdocs.words.audit.tongues.role_words import RoleWords

#: After a name that is no part of a longer one (`the Sun`, not `the Sun wheel`).
_PHRASE_ENDS = re.compile(r"\s*(?:[.,;:]|$)")


class Paired:
    """Reads what is said of two things that stand next to each other in a sentence."""

    def __init__(self, words: RoleWords, machine: Work):
        self.words, self.machine = words, machine

    def faults(self, text: str, things: list[Thing], scope: Scope) -> Iterator[Fault]:
        for n, (a, b) in enumerate(pairwise(things)):
            if b.start - a.end > 2 * NEAR:
                continue
            if n and self._is_passed(text, things[n - 1], a, b):
                yield from self._on(text, things[n - 1], b, scope)
            else:
                yield from self._together(text, a, b, scope)

    def _is_passed(self, text: str, thing: Thing, along: Thing, b: Thing) -> bool:
        """`Lower the washer over the post onto the pipe`: whether a thing is put over one, and
        on another."""
        words = self.words
        return bool(
            words.over.fullmatch(text, thing.end, along.start)
            and words.on.fullmatch(text, along.end, b.start)
            and (words.put.search(text, 0, thing.start) or along.part.kind == "post")
        )

    def _together(self, text: str, a: Thing, b: Thing, scope: Scope) -> Iterator[Fault]:
        """What the words between two names say that the two are to each other."""
        words, machine = self.words, self.machine

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
            if a.is_built and between(words.over) and not machine.passes_over(a, b):
                yield b, "which does not go through the other", "a shaft that does"
        elif between(words.down_to) and words.down.search(text, 0, a.start):
            if a.is_built and b.is_built and not machine.goes_on(b, a):
                yield b, "which is not on the other", "what is on it"
            elif _PHRASE_ENDS.match(text, b.end) and machine.is_put_last(b, scope):
                yield b, "on which the step puts nothing", "what lies below"
        elif between(words.flush):
            if a.is_built and not (b.is_built and machine.goes_on(a, b)):
                yield b, "which is not the shaft of the other", "the shaft that it is on"
        elif between(words.of) and not isinstance(b.part, Tool):
            if a.is_fastener:
                is_so = machine.fastens(a, b)
            elif isinstance(a.part, Tool):  # in Polish only a space stands between
                is_so = not text[a.end : b.start].strip()
            else:
                is_so = not a.is_built or (b.is_built and machine.part_of(a, b))
            if not is_so or b.is_fastener:
                yield b, "to which the other does not belong", "what it belongs to"
        elif between(words.both) and words.carries.search(text, 0, a.start):
            if not a.is_built:
                yield a, "which nothing carries", "things of one arbor"
                return
            on_one = b.is_built and machine.one_arbor(a, b) and not machine.is_shaft(a, b)
            if not on_one:
                yield b, "which is not on one arbor with the other", "things of one arbor"

    def _on(self, text: str, a: Thing, b: Thing, scope: Scope) -> Iterator[Fault]:
        """One thing on, over, under or in the other."""
        machine = self.machine
        if isinstance(a.part, Tool) and self.words.over.fullmatch(text, a.end, b.start):
            yield a, "which is not put on so", "what is"
        elif isinstance(b.part, Tool):
            if not self.words.laid.search(text, 0, a.start):  # one lays things on a cloth
                yield b, "on which nothing is put", "where it goes"
        elif b.is_fastener:
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
