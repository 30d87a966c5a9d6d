"""Ratios, and figures without a unit or a noun, held against the design."""

from __future__ import annotations

import re
from dataclasses import replace

from kitdocs.words.audit.judging.counts import judge_teeth
from kitdocs.words.audit.judging.facts_meant import column, facts_meant, head_of
from kitdocs.words.audit.judging.known import Known, of_referent
from kitdocs.words.audit.judging.lengths import judge_length
from kitdocs.words.audit.judging.measures import circles
from kitdocs.words.audit.judging.names import judge_listed_hole
from kitdocs.words.audit.judging.statement import TINY, Against, Backing, Statement, agrees
from kitdocs.words.audit.judging.telling import known_told, write_one
from kitdocs.words.audit.lexicon import WORD


def judge_ratio(at: Statement) -> Backing | Against:
    told: list[Known] = []
    for circle in circles(at):
        ratios = [k for k in circle if k.what == "ratio"]
        for known in ratios:
            is_plain = at.claim.high != 1 or _is_one_to_one(at)
            if is_plain and abs(known.value - at.claim.high) <= TINY * max(1.0, known.value):
                return Backing("fact", known.label)
        told += ratios
    return Against(known_told(told, at.claim), write_one(told))


def _is_one_to_one(at: Statement) -> bool:
    return set(re.findall(r"\d+", at.claim.text)) == {"1"}


def judge_figure(at: Statement) -> Backing | Against:
    """A figure without unit or noun: of what the sentence names, or of the head of its column."""
    claim = at.claim
    words = (word[0].lower() for word in WORD.finditer(at.sentence.text))
    grammar = at.lexicon.tongue.grammar
    if grammar is not None and "module" in facts_meant(at):
        told = replace(at, claim=replace(claim, what="mm", kind="measure"))
        if (found := judge_length(told, grammar)) is not None:
            return found
    if grammar is not None and (hole := judge_listed_hole(at)) is not None:
        return hole
    if not at.sentence.head and any(at.lexicon.tongue.noun(word) == "tooth" for word in words):
        return judge_teeth(at)
    near = [n for n in at.named if not n.start <= claim.start < n.end]
    known = [k for n in near for r in n.referents for k in of_referent(at.scope.design, r)]
    facts = column(at)
    if grammar is not None and grammar.how_many.search(head_of(at)):
        return _of_list(at, facts) or Against("how many are taken", "")
    if grammar is not None and (wrong := _number_of_name(at)) is not None:
        return wrong
    for one in known:
        if agrees(claim, one.value) and (not facts or one.fact in facts or one.what in facts):
            return Backing("fact", one.label)
    if backing := _of_all(at) or _of_list(at, facts) or _as_ratio(at):
        return backing
    return Against(known_told(known, claim), write_one(known))


def _number_of_name(at: Statement) -> Against | None:
    """`hub 7`, where the kit has a hub 6 and a hub 8."""
    before = [*at.words()][: len([*at.words()]) - len([*at.words(at.claim.start)])]
    noun = before[-1] if before and at.lexicon.is_noun(before[-1]) else ""
    parts = {p for ids in at.lexicon.parts_called(noun) for p in ids} if noun else set()
    names = [at.lexicon.names.one(at.scope.design.kit.parts[p]) for p in sorted(parts)]
    numbered = [name for name in names if re.fullmatch(rf"{noun} \d+", name.lower())]
    return Against(" or ".join(numbered), "Name the part.") if numbered else None


def _of_list(at: Statement, facts: frozenset[str]) -> Backing | None:
    """In a table of parts, how many of the part of its row there are."""
    if facts or not at.sentence.head or at.scope.stage is None:
        return None
    parts = {r.id for n in at.named for r in n.referents if r.what == "part"}
    taken = {at.scope.taking.parts.get(part) for part in parts}
    return Backing("fact", "what is taken") if len(parts) == 1 and at.claim.high in taken else None


def _as_ratio(at: Statement) -> Backing | None:
    """`136/11, or 12.36`: what a ratio beside a figure comes to."""
    ratios = (c.high for c in at.others if c.kind == "ratio")
    told = any(agrees(at.claim, ratio) for ratio in ratios)
    return Backing("fact", "what the ratio comes to") if told else None


def _of_all(at: Statement) -> Backing | None:
    """`stage 2 of 6`: after a reference, how many there are of them."""
    before = at.sentence.text[: at.claim.start].rstrip().lower()
    word = before.rsplit(" ", 1)[-1]
    if word not in at.lexicon.tongue.partitive:
        return None
    kit, stage = at.scope.design.kit, at.scope.stage
    told = [c.what for c in at.others if c.kind == "reference" and c.end <= at.claim.start]
    totals = {
        "stage": len(kit.stages),
        "parcel": len(kit.deliveries),
        "step": len(stage.steps) if stage else 0,
    }
    total = totals.get(told[-1]) if told else None
    return Backing("fact", "how many there are in all") if at.claim.high == total else None
