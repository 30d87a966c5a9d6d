"""step-slack: what a stage slackens or removes, it tightens or refits."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.rules.dry_build_faults import faults
from kitdocs.rules.rule import rule


@rule(
    "step-slack",
    group="Steps",
    demand="an item is removed before it is refitted and slackened before it is removed or "
    "tightened; what is glued or pressed is never undone; a stage ends with everything back in "
    "place and tight (an item of the machine is never thrown away)",
    source="our own: instructions must be possible in every step",
    example="a stage removes the Venus arm and refits the Venus washer only",
    after=("step-facts", "stack-seat"),
    follows=("step-item", "step-order", "build-complete", "step-captive"),
)
def step_slack(design: Design) -> Iterator[Finding]:
    yield from faults(design, "step-slack")
