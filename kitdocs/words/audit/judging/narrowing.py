"""What a measure after a noun narrows it to: `four washers with a bore of 6.1 mm`."""

from __future__ import annotations

from dataclasses import replace

from kitdocs.words.audit.claims.claim import Claim
from kitdocs.words.audit.judging.facts_meant import facts_meant
from kitdocs.words.audit.judging.known import of_part
from kitdocs.words.audit.judging.statement import Statement, as_written
from kitdocs.words.audit.lexicon import words_in


def narrowed(at: Statement, claim: Claim, sets: list[frozenset[str]]) -> list[frozenset[str]]:
    """Of each set of parts that `claim` may count, those that have the measure told right after
    its noun; all where none is told, or none has it."""
    measure = next((c for c in at.others if c.what == "mm" and c.start > claim.end), None)
    if measure is None or not claim.noun or not _is_of_it(at, claim, measure):
        return sets
    told = replace(at, claim=measure)
    facts, parts = facts_meant(told), at.scope.design.kit.parts
    having = frozenset(
        part
        for some in sets
        for part in some
        for k in of_part(parts[part], "")
        if k.what == "mm" and (not facts or k.fact in facts) and as_written(measure, k.value)
    )
    return [some & having for some in sets] if having else sets


def _is_of_it(at: Statement, claim: Claim, measure: Claim) -> bool:
    """Whether only `with`, `of`, articles and words of measures stand between the noun of a count
    and a measure."""
    tongue = at.lexicon.tongue
    small = tongue.partitive | tongue.articles
    small |= tongue.grammar.with_ if tongue.grammar else frozenset()
    text = at.sentence.text[: measure.start]
    words = [w for start, _, w in words_in(text) if start >= claim.end]
    if claim.noun not in words or "," in text[claim.end :]:
        return False
    between = words[words.index(claim.noun) + 1 :]
    is_with = not between or between[0] in small
    return is_with and all(word in small or tongue.facts_of(word) for word in between)
