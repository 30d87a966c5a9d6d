"""step-oil: what turns on a post or a pipe is oiled before it is put there."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.rules.dry_build_faults import faults
from kitdocs.rules.rule import rule


@rule(
    "step-oil",
    group="Steps",
    demand="where a kit has oil, an arbor or the post or pipe that it runs on is oiled before the "
    "one is put on the other",
    source="common practice",
    example="the Mars pipe lowered over the dry Earth pipe",
    after=("step-facts", "stack-seat"),
    follows=("step-item", "build-complete", "step-order"),
)
def step_oil(design: Design) -> Iterator[Finding]:
    yield from faults(design, "step-oil")
