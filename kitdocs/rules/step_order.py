"""step-order: the needs of every action are met when its turn comes."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.rules.dry_build_faults import faults
from kitdocs.rules.rule import rule


@rule(
    "step-order",
    group="Steps",
    demand="an item is built once, on what it sits on; what an action works on is built and in "
    "its place by then; what goes over the end of a shaft is slid on, what passes none is "
    "fitted; teeth are brought together as soon as both wheels are in place",
    source="our own: instructions must be possible in every step",
    example="stage 5 fastens a wheel that stage 6 fits",
    after=("step-facts", "stack-seat"),
    follows=("step-item", "build-complete", "held-host", "screw-grip"),
)
def step_order(design: Design) -> Iterator[Finding]:
    yield from faults(design, "step-order")
