"""Lengths that tell of things together: how far apart they are, how high, with what room."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kitdocs.kit.parts import Fastener
from kitdocs.words.audit.judging.facts_meant import facts_meant
from kitdocs.words.audit.judging.known import Known, of_referent, of_scope
from kitdocs.words.audit.judging.known_relations import (
    hosts,
    of_differences,
    of_distances,
    of_fits,
    of_gaps,
    of_heights,
    of_rises,
    of_screws,
    of_stack,
)
from kitdocs.words.audit.judging.mentions import Mention, mentions
from kitdocs.words.audit.judging.owners import Owners
from kitdocs.words.audit.judging.statement import Against, Backing, Statement, as_written
from kitdocs.words.audit.judging.telling import known_told, write_one
from kitdocs.words.audit.lexicon import Referent, words_in
from kitdocs.words.audit.tongues.grammar import Grammar

#: Facts by which a thing is somewhere, not how big it is.
_OF_PLACE = frozenset({"shoulder", "reach", "distance", "circle"})
_END = re.compile(r"[,;:.()] ?|$")
_AFTER, _BEFORE = 40, 16  # characters beside a number in which words belong to it


def judge_relation(
    at: Statement, grammar: Grammar, whose: Owners | None
) -> Backing | Against | None:
    """What backs such a length, or stands against it; None for one of a single thing."""
    known = _Related(at, grammar, whose).known()
    if known is None:
        return None
    found = list(known)
    for one in found:
        if as_written(at.claim, one.value):
            return Backing("fact", one.label)
    return Against(known_told(found, at.claim), write_one(found))


class _Related:
    def __init__(self, at: Statement, grammar: Grammar, whose: Owners | None):
        self.at, self.grammar, self.design = at, grammar, at.scope.design
        self.owners = whose.things if whose else ()
        self.mentions = mentions(at)
        self.items = _items(self.mentions)
        self.acted = frozenset(item.id for item in at.scope.handled)
        text, claim = at.sentence.text.lower(), at.claim
        self.before, self.after = text[: claim.start], text[claim.end :]
        end = _END.search(self.after)
        joins = "|".join(grammar.joins)
        self.clause = self.after[: end.start() if end else None][:_AFTER]
        self.near = re.split(rf" (?:{joins}) ", self.clause)[0]

    def known(self) -> Iterator[Known] | None:
        grammar, design = self.grammar, self.design
        if grammar.differs.match(self.after) or grammar.differs_by.search(self.before):
            return self._differences()
        through = self._through() if self._is_of_screw() else None
        if through is not None:
            return of_screws(design, self.acted | self.items, bool(through["through"]))
        is_its = any(thing.start >= self.at.claim.end for thing in self.owners)
        if grammar.stack.search(self.before if is_its else self.before + self.near):
            return of_stack(design, self.items | self.acted)
        is_placed = grammar.place.match(self.after) or self._is_between()
        rises = grammar.rises.search(self.clause) or grammar.rises.search(self.before[-_BEFORE:])
        if rises and not is_placed:
            return self._rises()
        if grammar.tight.search(self.near) or grammar.room.search(self._verb()):
            return self._fits()
        facts = facts_meant(self.at, after_only=True) or self._just_before()
        if facts == {"distance"}:
            return self._apart()
        return None if facts else self._placed()

    def _verb(self) -> str:
        """The word right before the number: `bleiben fünf Hundertstel Millimeter`."""
        return "".join(self.before.split()[-1:])

    def _through(self) -> re.Match[str] | None:
        """What says that a screw goes through, or into, so much: after the number or before it."""
        last = self.before.split()[-1:]
        pattern = self.grammar.through
        return pattern.match(self.near) or pattern.match(f" {last[0]} " if last else "")

    def _differences(self) -> Iterator[Known]:
        """By how much what the sentence tells of differs; where it tells of nothing, what the
        step handles."""
        told = frozenset().union(*(m.parts for m in self.mentions))
        told |= {p for m in self.mentions if m.body and not m.parts for p in self._of_body(m, told)}
        acted = frozenset(self.design.kit.items[i].part.id for i in self.acted)
        yield from of_differences(self.design, told or acted)
        yield from self._fits()

    def _of_body(self, mention: Mention, told: frozenset[str]) -> Iterator[str]:
        """What of a body is like other things: `ten millimetres farther than that of Mercury`."""
        kit = self.design.kit
        kinds = {kit.parts[p].kind for p in told} - {"ball"}
        for item in kit.on_arbor[kit.bodies[mention.body].arbor]:
            if item.part.kind in kinds:
                yield item.part.id

    def _just_before(self) -> frozenset[str]:
        """The measure that `a bore of 6 mm` tells of."""
        last = [w for _, _, w in words_in(re.split(r"[;:,.] ", self.before)[-1])][-2:]
        return frozenset(f for word in last for f in self.at.lexicon.tongue.facts_of(word))

    def _is_between(self) -> bool:
        return self.grammar.between.search(self.before + self.near) is not None

    def _is_of_screw(self) -> bool:
        parts = self.design.kit.parts
        return any(isinstance(parts[p], Fastener) for m in self.mentions for p in m.parts)

    def _rises(self) -> Iterator[Known]:
        yield from of_rises(self.design, self.items or self.acted)
        yield from of_gaps(self.design, self.items)

    def _fits(self) -> Iterator[Known]:
        if self.grammar.room.search(f"{self._verb()} {self.near}"):
            yield from of_gaps(self.design, self.items)
        yield from of_fits(self.design, self.items, self.items)
        if len({m.items for m in self.mentions}) == 1:
            others = hosts(self.design, self.items) if self._is_of_hole() else []
            in_it = list(of_fits(self.design, self.items, others))
            yield from in_it or of_fits(self.design, self.items, self.acted)

    def _is_of_hole(self) -> bool:
        noun = self.at.lexicon.tongue.noun
        return any(noun(word) == "hole" for word in self.at.words())

    def _apart(self) -> Iterator[Known]:
        """How far axes are apart: of what is named, else of what meshes here."""
        found = [*of_distances(self.design, self.items), *of_gaps(self.design, self.items)]
        for scope in (self.at.scope, self.at.scope.whole_stage):
            found = found or [k for k in of_scope(scope) if k.fact == "distance"]
        yield from found
        yield from self._own()

    def _placed(self) -> Iterator[Known] | None:
        place = self.grammar.place.match(self.after)
        if self._is_between():
            return self._between()
        if place is None:
            return None
        return self._high(place.end()) if place["over"] else self._from()

    def _between(self) -> Iterator[Known]:
        yield from of_distances(self.design, self.items)
        yield from of_gaps(self.design, self.items)
        yield from self._high(0)

    def _from(self) -> Iterator[Known]:
        yield from of_distances(self.design, self.items)
        yield from self._own()

    def _high(self, at: int) -> Iterator[Known]:
        """How high the owner is over what is named next; over the bench where nothing is."""
        start = self.at.claim.end + at
        seat = next((m for m in self.mentions if m.start >= start), None)
        between = self.after[at : seat.start - self.at.claim.end] if seat else self.after[at:]
        own = _items(self.owners) or self.acted
        under = seat.items if seat else frozenset[str]()
        if not under.isdisjoint(own):  # "over the plate stand 70.2 mm of the post"
            under = self.items - own
        lower = bool(self.grammar.lower.search(between))
        yield from of_heights(self.design, own, under, lower)
        yield from self._own()

    def _own(self) -> Iterator[Known]:
        parts = frozenset().union(*(thing.parts for thing in self.owners))
        items = self.design.kit.items
        for part in sorted(parts or {items[i].part.id for i in self.acted}):
            known = of_referent(self.design, Referent("part", part))
            yield from (k for k in known if k.what == "mm" and k.fact in _OF_PLACE)


def _items(things: tuple[Mention, ...]) -> frozenset[str]:
    return frozenset().union(*(thing.items for thing in things))
