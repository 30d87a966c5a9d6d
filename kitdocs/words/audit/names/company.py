"""Things that a sentence names together have to do with each other, or with the work of its step.

This reads no words between the names, so that it holds for all that can be said of them: what a
thing has nothing to do with is not put beside it, whatever is told.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from kitdocs.words.audit.names.things import Fault, Thing
from kitdocs.words.audit.names.work import Work
from kitdocs.words.audit.scope import Scope
from kitdocs.words.audit.tongues.role_words import RoleWords


class Company:
    """Holds the things of each clause against each other."""

    def __init__(self, words: RoleWords, machine: Work):
        self.words, self.machine = words, machine

    def faults(self, text: str, things: list[Thing], scope: Scope) -> Iterator[Fault]:
        for a, b in pairwise(things):
            again = a.is_built and a.items == b.items and len(a.items) == 1
            new = b.is_typed and self.words.parts_clauses.search(text, a.end, b.start)
            if again and not new:
                yield b, "which the sentence has named already", "another thing, or a pronoun"
        here = [one for one in things if not self.words.place_of.search(text[: one.start])]
        for clause in self._clauses(text, here):
            for thing in clause:
                others = [one for one in clause if one is not thing]
                if others and not any(self.machine.related(thing, o) for o in others):
                    yield thing, "which has nothing to do with what it is named with", "what has"
        for thing in things:
            if not (thing.is_typed and thing.is_built) or thing.part.kind == "ball":
                continue  # a ball is called as its body is
            if self.machine.concerns(thing, scope):
                continue
            others = [one for one in things if one is not thing]
            if others and not any(self.machine.related(thing, one) for one in others):
                yield thing, "with which the work here has nothing to do", "what it is done to"

    def _clauses(self, text: str, things: list[Thing]) -> Iterator[list[Thing]]:
        """Things between which no comma and no word stands that begins something new."""
        clause: list[Thing] = []
        for thing in things:
            if clause and self.words.parts_clauses.search(text, clause[-1].end, thing.start):
                yield clause
                clause = []
            clause.append(thing)
        yield clause
