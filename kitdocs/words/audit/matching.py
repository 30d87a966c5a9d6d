"""Claims held against the design: what backs each, or what stands against it."""

from __future__ import annotations

from collections.abc import Callable

from kitdocs.words.audit.judge_counts import judge_count, judge_teeth
from kitdocs.words.audit.judge_measures import judge_figure, judge_measure, judge_ratio
from kitdocs.words.audit.judge_names import (
    in_a_name,
    judge_code,
    judge_date,
    judge_designation,
    judge_reference,
)
from kitdocs.words.audit.statement import Against, Backing, Statement
from kitdocs.words.given import given_by

_JUDGES: dict[str, Callable[[Statement], Backing | Against]] = {
    "count": judge_count,
    "teeth": judge_teeth,
    "measure": judge_measure,
    "ratio": judge_ratio,
    "designation": judge_designation,
    "code": judge_code,
    "reference": judge_reference,
    "date": judge_date,
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
