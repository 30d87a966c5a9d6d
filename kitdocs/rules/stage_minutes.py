"""stage-minutes: what a page says of its time is about what the work takes."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.rules.rule import rule
from kitdocs.words.minutes import estimated_minutes


@rule(
    "stage-minutes",
    group="Steps",
    demand="the minutes that a stage's page claims are about those that its actions take",
    formula="claimed / (3 minutes a step + 5 × the seconds of its actions in practised hands) "
    "within the limit",
    source="our own: an evening at the bench has to be planned; waiting for glue is not in it",
    example="a page claims 20 minutes, and its steps take an hour and a half",
    after=("step-facts",),
)
def stage_minutes(design: Design) -> Iterator[Finding]:
    limit = design.limit("stage-minutes")
    for stage in design.kit.stages:
        claimed = stage.front.minutes
        if claimed is None or not stage.steps:
            continue
        needed = estimated_minutes(design, stage)
        if not limit.holds(Fraction(claimed, needed)):
            yield Finding(
                stage.front.place("minutes"),
                "stage-minutes",
                f"{claimed} minutes are claimed",
                f"about {needed}, by what the steps do",
                "Leave `minutes` out, and the page shows that; waiting for glue does not count.",
                severity="warning",
                facts=tuple(step.place for step in stage.steps[:1]),
            )
