"""Periods and errors held against those of the body that they are told of."""

from __future__ import annotations

import re

from kitdocs.words.audit.grammar import Grammar
from kitdocs.words.audit.known import of_body
from kitdocs.words.audit.owners import owners
from kitdocs.words.audit.statement import Against, Backing, Statement, agrees
from kitdocs.words.audit.telling import known_told, write_one

_PERIODS = frozenset({"period", "reference"})
_END = re.compile(r"[,;:.()] ?|$")


def judge_days(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """What backs a period, how long it takes to be off, or an error; None where no body owns it."""
    whose, design = owners(at), at.scope.design
    bodies = [thing.body for thing in whose.things if thing.body] if whose else []
    is_one = not at.claim.digits and at.claim.high == 2 * at.claim.step and len(at.others) > 1
    if not bodies or is_one:  # "one year of Mars takes 687 days"
        return None
    text, claim = at.sentence.text.lower(), at.claim
    after = text[claim.end :]
    near = after[: end.start()] if (end := _END.search(after)) else after
    is_off = grammar.too_long.search(near) or grammar.drifts.search(text[: claim.start])
    known = [k for body in dict.fromkeys(bodies) for k in of_body(design, body)
             if k.what == claim.what
             and (claim.what != "day" or (k.fact in _PERIODS) != bool(is_off))]  # fmt: skip
    for one in known:
        if agrees(claim, one.value):
            return Backing("fact", one.label)
    return Against(known_told(known, claim), write_one(known)) if known else None
