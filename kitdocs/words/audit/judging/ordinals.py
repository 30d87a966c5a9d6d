"""Ordinals as counts of what there is: `the second washer`, `the last`, `every second hole`."""

from __future__ import annotations

from kitdocs.kit.model import Item
from kitdocs.words.audit.judging.known_counts import numbers
from kitdocs.words.audit.judging.mentions import mentions
from kitdocs.words.audit.judging.statement import Against, Backing, Statement
from kitdocs.words.audit.lexicon import words_in
from kitdocs.words.audit.scope import beside
from kitdocs.words.audit.tongues.grammar import Grammar

_ORDER = 3  # words at the head of an order, before what it is told of


def judge_ordinal(at: Statement, grammar: Grammar) -> Backing | Against:
    """What backs an ordinal before a noun, or stands against it."""
    claim = at.claim
    number = int(claim.high)
    words = [w for start, _, w in words_in(at.sentence.text) if start < claim.start]
    if words and words[-1] in grammar.every:
        return _every(at, number)
    same = [c for c in at.others if c is not claim and c.what == "ordinal"]
    if any(c.high == claim.high and c.noun == claim.noun for c in same):
        return Against("another one: the sentence has this number twice", "")
    parts = frozenset().union(*at.lexicon.parts_called(claim.noun, claim.others, at.sentence.text))
    here = _taken(at, parts, grammar)
    after = [w for start, _, w in words_in(at.sentence.text) if start >= claim.end][:2]
    if here and grammar.last & {*after}:
        return _held(number, [here], f"the last of {here}")
    placed = _placed(at, parts)
    if placed and grammar.here.search(at.sentence.text.lower()):
        return _of_step(at, number, placed)
    if placed and len(words) <= _ORDER and words and words[0] not in grammar.definite:
        before = _before(at, parts)
        right = [before + n for n in range(1, len(placed) + 1)]
        return _held(number, right, f"one of {right[-1]} by then")
    known = numbers(claim, at.named, at.scope.whole_stage, at.lexicon, at.sentence.text)
    most = max((n.value for n in known), default=0)
    if at.scope.step is not None:
        most = max(most, at.scope.design.takings.used.total() if not known else 0, _all(at, parts))
    if number <= most:
        return Backing("fact", f"one of {most}")
    return Against(f"at most {most}")


def _held(number: int, right: list[int], label: str) -> Backing | Against:
    if number in right:
        return Backing("fact", label)
    return Against(" or ".join(f"number {n}" for n in right), "")


def _every(at: Statement, number: int) -> Backing | Against:
    """`every second hole`: as the holes of what is fastened here are."""
    kit = at.scope.design.kit
    for item in at.scope.acted:
        held = kit.held.get(item.id)
        if held and len(held.holes) > 1:
            count = len(kit.items[held.to].part.hole_patterns)
            steps = {(b - a) % count for a, b in zip(held.holes, held.holes[1:] + held.holes[:1],
                                                     strict=True)}  # fmt: skip
            if steps == {number}:
                return Backing("fact", f"the holes of {item.id}")
    return Against("the holes that the fastening schedule names", "")


def _taken(at: Statement, parts: frozenset[str], grammar: Grammar) -> int:
    """How many there are in what the words speak of: the step, or the stage."""
    return sum(at.scope.whole_stage.taking.parts[p] for p in parts)


def _all(at: Statement, parts: frozenset[str]) -> int:
    return sum(at.scope.design.takings.used[p] for p in parts)


def _placed(at: Statement, parts: frozenset[str]) -> list[Item]:
    """What the step puts somewhere of some parts, in its order."""
    if at.scope.step is None:
        return []
    items = at.scope.design.kit.items
    return [items[i] for i in at.scope.taking.placed if items[i].part.id in parts]


def _before(at: Statement, parts: frozenset[str]) -> int:
    """How many of some parts the steps before this one have put somewhere."""
    design, scope = at.scope.design, at.scope
    items, found = design.kit.items, 0
    for stage in design.kit.stages:
        for step in stage.steps:
            if stage is scope.stage and step is scope.step:
                return found
            placed = design.takings.steps[stage.id, step.id].placed
            found += sum(items[i].part.id in parts for i in placed)
    return found


def _of_step(at: Statement, number: int, placed: list[Item]) -> Backing | Against:
    """`the second washer of this step`: one that has to do with what else the sentence names."""
    spoken = [m.items for m in mentions(at) if m.named and m.items.isdisjoint(
        item.id for item in placed)]  # fmt: skip
    near = [n for n, item in enumerate(placed, 1)
            if any(items & {*beside(at.scope.design, item)} for items in spoken)]  # fmt: skip
    return _held(number, near or [*range(1, len(placed) + 1)], f"one of {len(placed)} here")
