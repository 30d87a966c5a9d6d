"""step-held: at a stage's end everything that is built stays where it is."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.rules.dry_build_faults import faults
from kitdocs.rules.rule import rule


@rule(
    "step-held",
    group="Steps",
    demand="at a stage's end every item on the machine is fastened, glued, pressed, or kept in by "
    "what lies above it, as far as it is in the finished machine; what lies made up on the bench "
    "holds together",
    source="our own: a machine is moved between two stages, and what is loose falls out",
    example="a stage ends with the sleeve on the main post, and nothing over it",
    after=("step-facts", "stack-seat"),
    follows=(
        "step-item",
        "build-complete",
        "step-order",
        "step-captive",
        "step-slack",
        "train-driven",
    ),
)
def step_held(design: Design) -> Iterator[Finding]:
    yield from faults(design, "step-held")
