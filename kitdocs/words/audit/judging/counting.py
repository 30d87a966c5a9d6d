"""What rules on counts ask of the words round a number, and of the design."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kitdocs.words.audit.claims.claim import Claim
from kitdocs.words.audit.judging.known_counts import numbers
from kitdocs.words.audit.judging.narrowing import narrowed
from kitdocs.words.audit.judging.statement import Against, Backing, Statement
from kitdocs.words.audit.lexicon import words_in
from kitdocs.words.audit.tongues.grammar import Grammar

_NOUN_WITHIN = 40  # characters after a number in which its own noun stands


def is_of_all(at: Statement, grammar: Grammar) -> bool:
    """Whether a number is that of all: `of the three screws`."""
    before = [w for start, _, w in words_in(at.sentence.text) if start < at.claim.start][-2:]
    partitive = at.lexicon.tongue.partitive
    return len(before) == 2 and before[0] in partitive and before[1] in grammar.definite


def articles_for(at: Statement, mine: list[frozenset[str]]) -> int:
    """How many more an article stands for: `two feet in front and a foot at the back`."""
    lexicon = at.lexicon
    words = words_in(at.sentence.text)
    found = 0
    for n, (_, end, word) in enumerate(words[:-2]):
        if word not in lexicon.tongue.articles or lexicon.tongue.begins(word):
            continue
        near = [w for _, _, w in words[n + 1 : n + 3]]
        noun = next((w for w in near if lexicon.is_noun(w)), "")
        joined = n > 0 and words[n - 1][2] in lexicon.tongue.joins
        if noun and joined and end > at.claim.end:
            others = near[: near.index(noun)]  # "a bevel wheel" is no plain one
            called = lexicon.parts_called(noun, others, at.sentence.text)
            found += any(a & b for a in mine for b in called)
    return found


def has_noun(at: Statement, claim: Claim) -> bool:
    """Whether the noun of a count stands after it, and is not that of a count before."""
    near = at.sentence.text[claim.end : claim.end + _NOUN_WITHIN].lower()
    word = re.search(rf"\b{re.escape(claim.noun)}\b", near) if claim.noun else None
    return word is not None and not near.startswith("-")


def the_most(at: Statement) -> int:
    """The most that there may be of what is counted."""
    known = numbers(at.claim, at.named, at.scope, at.lexicon, at.sentence.text)
    return max((n.value for n in known), default=0)


def text_after(at: Statement) -> str:
    return at.sentence.text[at.claim.end :].lower()


def parts_counted(at: Statement, claim: Claim | None = None) -> list[frozenset[str]]:
    one = claim or at.claim
    return narrowed(at, one, list(at.lexicon.parts_called(one.noun, one.others, at.sentence.text)))


def held_by(at: Statement, items: frozenset[str]) -> Iterator[tuple[str, int]]:
    """The items that parts of the counted sort hold, and how many of them hold each."""
    parts = frozenset().union(*parts_counted(at))
    for name in sorted(items):
        fastening = at.scope.design.fastenings.get(name)
        for part, count in fastening.takes if fastening else ():
            if part.id in parts:
                yield name, count


def one_of_known(known: dict[int, str], claim: Claim) -> Backing | Against:
    label = known.get(int(claim.high)) if claim.high == int(claim.high) else None
    if label:
        return Backing("fact", label)
    return Against(" or ".join(f"{n} ({label})" for n, label in known.items()), "")
