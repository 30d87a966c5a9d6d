"""Counts and teeth held against the design."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from kitdocs.kit.parts import Part, Toothed
from kitdocs.words.audit.claims.claim import Claim
from kitdocs.words.audit.judging.counting import is_of_all
from kitdocs.words.audit.judging.known_counts import Number, numbers
from kitdocs.words.audit.judging.shares import judge_share
from kitdocs.words.audit.judging.statement import Against, Backing, Statement, agrees, write
from kitdocs.words.audit.judging.teeth import judge_teeth_of
from kitdocs.words.audit.lexicon import WORD, Named, sort_of


def judge_count(at: Statement) -> Backing | Against:
    claim, grammar = at.claim, at.lexicon.tongue.grammar
    if grammar is not None and (found := judge_share(at, grammar)) is not None:
        return found
    known = numbers(claim, at.named, at.scope, at.lexicon, at.sentence.text)
    most = max((n.value for n in known), default=0)
    for number in known:
        if agrees(claim, number.value) and not (claim.one_of and claim.high == most > 1):
            return Backing("fact", number.label)
    together = sum(c.high for c in at.others if c.kind == "count" and _same_noun(at, c))
    together += _with_article(at)
    if claim.high < most == together and not (grammar and is_of_all(at, grammar)):
        return Backing("fact", "one of the shares that make up all")
    if claim.one_of and 0 < claim.high < most:
        return Backing("fact", f"some of {most}")
    if claim.low == claim.high == 1 and most and not claim.digits and _one_of_several(at):
        return Backing("fact", "one of several")
    expression = next((n.expression for n in known if n.expression), "")
    return Against(_told(known, claim.noun), write(expression))


def _same_noun(at: Statement, other: Claim) -> bool:
    """Whether another claim counts the same: `two feet here and one foot there`."""
    lexicon, one = at.lexicon, at.claim
    mine = lexicon.parts_called(one.noun, one.others, at.sentence.text)
    theirs = lexicon.parts_called(other.noun, other.others, at.sentence.text)
    return any(a & b for a in mine for b in theirs)


def _with_article(at: Statement) -> int:
    """How many more of them an article stands for: `two feet here and a foot there`."""
    lexicon, one = at.lexicon, at.claim
    mine = lexicon.parts_called(one.noun, one.others)
    tongue = lexicon.tongue
    after = (b for a, b in pairwise(at.words()) if a in tongue.articles and not tongue.begins(a))
    counted = (word for word in after if lexicon.is_noun(word))
    return sum(any(a & b for a in mine for b in lexicon.parts_called(word)) for word in counted)


def _one_of_several(at: Statement) -> bool:
    return bool({*at.words()} & at.lexicon.tongue.each)


def _told(known: list[Number], noun: str) -> str:
    told = dict.fromkeys(f"{n.value} ({n.label})" for n in known)
    if not told:
        return f"a number that the design has; it has no '{noun}' here to count"
    return " or ".join(list(told)[:3])


def judge_teeth(at: Statement) -> Backing | Against:
    claim = at.claim
    if claim.low < 6 and not claim.digits:
        return Backing("fact", "a few teeth of any wheel")
    grammar = at.lexicon.tongue.grammar
    owned = judge_teeth_of(at, grammar) if grammar and at.scope.part is None else None
    if owned is not None:
        return owned
    meant = _wheels_meant(at)
    for name, teeth in meant.items():
        if agrees(claim, teeth):
            return Backing("fact", f"the teeth of {name}")
    item = next((i for i in at.scope.acted if i.part.id in meant), None)
    mend = f"Write {{{{ item('{item.id}') }}}}, or its .teeth." if item else ""
    listed = ", ".join(map(str, sorted({*meant.values()})[:8]))
    return Against(f"{listed} teeth, which wheels here have" if listed else "a wheel here", mend)


def _wheels_meant(at: Statement) -> dict[str, int]:
    """Teeth of the wheels that a claim may speak of: those named beside it, those of a body that
    the sentence names, or all at hand; of the sort that is said."""
    scope, kit = at.scope, at.scope.design.kit
    parts: Iterable[Part] = (kit.parts[i] for i in sorted(scope.parts))
    toothed = {part.id: part.teeth for part in parts if isinstance(part, Toothed)}
    if scope.part is not None:
        return {scope.part.id: getattr(scope.part, "teeth", 0)}
    sorts = _sorts_said(at)
    if sorts is not None:
        toothed = {i: n for i, n in toothed.items() if sort_of(kit.parts[i]) in sorts}
    named = set(_named_beside(at)) & toothed.keys()
    bodies = [r.id for n in at.named for r in n.referents if r.what == "body"]
    shown = {i for i in toothed if _shows(at, i, bodies)}
    return {i: toothed[i] for i in toothed if i in (named or shown or toothed)}


def _sorts_said(at: Statement) -> frozenset[str] | None:
    """The sorts of wheel that the words round a count of teeth speak of; None where no wheel
    is spoken of there."""
    lexicon, claim = at.lexicon, at.claim
    noun = claim.noun
    if lexicon.tongue.head_first and lexicon.tongue.noun(noun) != "wheel":
        noun = ""  # "koło o 29 zębach napędza wałek"
    phrase = [*claim.others, noun] if noun else []
    if not phrase:
        before = [w[0].lower() for w in WORD.finditer(at.sentence.text[: claim.start])]
        nouns = [n for n, word in enumerate(before) if lexicon.tongue.noun(word) == "wheel"]
        if not nouns:
            return None
        phrase = before[max(0, nouns[-1] - 2) : nouns[-1] + 2]
    elif lexicon.tongue.noun(noun) != "wheel":
        return None
    return lexicon.tongue.sorts_in(" ".join(phrase)) or frozenset({""})


def _named_beside(at: Statement) -> Iterator[str]:
    """Parts that the sentence names a few words before the count."""
    items = at.scope.design.kit.items
    for named in at.named:
        if not _close(at, named):
            continue
        for referent in named.referents:
            if referent.what == "part":
                yield referent.id
            elif referent.what == "item" and referent.id in items:
                yield items[referent.id].part.id


def _close(at: Statement, named: Named) -> bool:
    between = at.sentence.text[named.end : at.claim.start]
    return named.end <= at.claim.start and len(WORD.findall(between)) <= 3


def _shows(at: Statement, part: str, bodies: Iterable[str]) -> bool:
    kit = at.scope.design.kit
    arbors = {kit.bodies[b].arbor for b in bodies if b in kit.bodies}
    return any(i.part.id == part and i.arbor in arbors for i in kit.items.values())
