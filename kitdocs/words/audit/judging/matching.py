"""Claims held against the design: what backs each, or what stands against it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from kitdocs.words.audit.judging.counts import judge_count, judge_teeth
from kitdocs.words.audit.judging.figures import judge_figure, judge_ratio
from kitdocs.words.audit.judging.measures import judge_measure
from kitdocs.words.audit.judging.names import (
    in_a_name,
    judge_code,
    judge_date,
    judge_designation,
    judge_reference,
)
from kitdocs.words.audit.judging.statement import Against, Backing, Statement
from kitdocs.words.given import given_by


def _judge_time(at: Statement) -> Backing | Against:
    """A date, or a time of day that is a ratio: `19:53`."""
    over, _, under = at.claim.text.partition(":")
    if under.isdigit() and int(under):
        ratio = replace(at.claim, high=int(over) / int(under))
        found = judge_ratio(replace(at, claim=ratio))
        if isinstance(found, Backing):
            return found
    return judge_date(at)


_JUDGES: dict[str, Callable[[Statement], Backing | Against]] = {
    "count": judge_count,
    "teeth": judge_teeth,
    "measure": judge_measure,
    "ratio": judge_ratio,
    "designation": judge_designation,
    "code": judge_code,
    "reference": judge_reference,
    "date": _judge_time,
    "number": judge_figure,
}


def judge(at: Statement) -> Backing | Against:
    """What backs a claim, or what stands against it."""
    for backed in at.sentence.backed:
        if backed.start <= at.claim.start and at.figure_end <= backed.end:
            given = given_by(backed)
            return (
                Backing("source", given.source) if given else Backing("expression", backed.source)
            )
    return in_a_name(at) or _JUDGES[at.claim.kind](at)
