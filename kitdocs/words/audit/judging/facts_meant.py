"""Which measure of a thing a number tells: its length, its bore, what its column is headed."""

from __future__ import annotations

from kitdocs.words.audit.judging.statement import Statement
from kitdocs.words.audit.lexicon import WORD


def facts_meant(at: Statement, after_only: bool = False) -> frozenset[str]:
    """The measures that words after the number, or else near before it, speak of."""
    tongue, text = at.lexicon.tongue, at.sentence.text
    words = [(w.start(), w[0].lower()) for w in WORD.finditer(text)]
    before = _before(at, words)[:7]
    after = []
    for start, word in words:
        if start >= at.claim.end:
            gap = text[at.claim.end : start]
            if word in tongue.joins | tongue.has or set(gap) & set(",;:.()") or len(after) == 2:
                break
            after.append(word)
    near = after if after_only else [*after, *before[:6]]
    for n, word in enumerate(near):
        facts = tongue.facts_of(word)
        if facts and not _FEATURES.issuperset(facts):
            rest = before[n - len(after) + 1 :] if n >= len(after) else before
            of_hole = () if after_only else _of_hole(facts, rest, at)
            return frozenset(of_hole or facts)
    return frozenset()


def feature_meant(at: Statement, has: frozenset[str]) -> frozenset[str]:
    """The feature of a thing whose size is told, where the thing `has` that: its shoulder, or the
    hub of an arm, which are no things of their own."""
    tongue = at.lexicon.tongue
    words = [(w.start(), w[0].lower()) for w in WORD.finditer(at.sentence.text)]
    for word in _before(at, words)[:_FEATURE]:
        if feature := has & {*tongue.facts_of(word), tongue.noun(word)} & _FEATURES:
            return frozenset(feature)
        if at.lexicon.is_noun(word) or tongue.facts_of(word):
            break
    return frozenset()


_FEATURES = frozenset({"shoulder", "hub"})
_FEATURE = 3  # words from a number back to the feature that it is told of


def _before(at: Statement, words: list[tuple[int, str]]) -> list[str]:
    """The words before a number that no mark parts from it, last first."""
    text, lexicon = at.sentence.text, at.lexicon
    start = max(text.rfind(mark, 0, at.claim.start) for mark in (";", ":", ". "))
    comma = text.rfind(", ", 0, at.claim.start)
    last = [word for at_word, word in words if comma < at_word < at.claim.start]
    told = any(start < claim.end <= comma for claim in at.others)
    if told and any(lexicon.is_noun(w) and not lexicon.tongue.facts_of(w) for w in last):
        start = max(start, comma)  # "its bore is 3.98 mm, the shaft 4 mm thick"
    return [word for at_word, word in words if start < at_word < at.claim.start][::-1]


#: Facts of which a diameter is told: of a hole, of the circle that holes lie on.
_ROUND = frozenset({"size", "bore", "circle"})


def _of_hole(facts: tuple[str, ...], before: list[str], at: Statement) -> tuple[str, ...]:
    """`a hole 8 mm in diameter`: the facts of the hole, where a diameter is one of a hole.
    `before` are the words before that of the diameter, last first."""
    tongue = at.lexicon.tongue
    if "diameter" not in facts:
        return ()
    end = next((n for n, word in enumerate(before) if word in tongue.joins), len(before))
    said = next((facts for word in before[:end] if (facts := tongue.facts_of(word))), ())
    return said if said and _ROUND.issuperset(said) else ()


def head_of(at: Statement) -> str:
    """The head of the column that a number in a table stands in, in lower case; else nothing."""
    if not at.sentence.head:
        return ""
    column = at.sentence.text.strip().strip("|")[: at.claim.start].count("|")
    heads = at.sentence.head.lower().split("|")
    return heads[column] if column < len(heads) else ""


def column(at: Statement) -> frozenset[str]:
    """What the head of its column says that a figure in a table measures."""
    words = [w.lower() for w in WORD.findall(head_of(at))]
    tongue = at.lexicon.tongue
    found = [f for word in words for f in tongue.facts.get(word, ())]
    if any(tongue.noun(word) == "tooth" for word in words):
        found.append("teeth")
    return frozenset(found)
