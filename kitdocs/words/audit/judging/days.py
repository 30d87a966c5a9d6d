"""Periods and errors held against those of the body that they are told of."""

from __future__ import annotations

import re

from kitdocs.words.audit.judging.known import of_body
from kitdocs.words.audit.judging.owners import owners
from kitdocs.words.audit.judging.statement import Against, Backing, Statement, agrees
from kitdocs.words.audit.judging.telling import known_told, write_one
from kitdocs.words.audit.tongues.grammar import Grammar

_PERIODS = frozenset({"period", "reference"})
_OWN_YEAR = 0.05  # of a body's own year, which days tell of
_END = re.compile(r"[,;:.()] ?|$")


def judge_days(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """What backs a period, how long it takes to be off, or an error; None where no body owns it."""
    whose, design = owners(at), at.scope.design
    bodies = [thing.body for thing in whose.things if thing.body] if whose else []
    if not bodies:
        return None
    if (years := _own_years(at, grammar, bodies[0])) is not None:
        return years
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


def _own_years(at: Statement, grammar: Grammar, body: str) -> Backing | Against | None:
    """`one year of Mars takes 687 days`: as many of a body's own years as the days make."""
    claim, train = at.claim, at.scope.design.trains.get(body)
    days = [c.high for c in at.others if c.what == "day" and c is not claim]
    after = at.sentence.text[claim.end :].lower().split()
    if claim.digits or train is None or not days or not after or after[0] not in grammar.whose:
        return None
    said = claim.high / (2 * claim.step)
    if any(abs(day / float(train.period_days) - said) < _OWN_YEAR for day in days):
        return Backing("fact", f"the years of {body} that the days make")
    return Against(f"as many years of {body} as the days make", "")
