"""arm-sweep: arms and balls go all the way round without touching anything."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.rules.clash_finding import clash_findings
from kitdocs.rules.rule import rule


@rule(
    "arm-sweep",
    group="Stacks",
    demand="no arm, ball, moon or post is swept by another, whatever the angles of their arms",
    formula="full-turn sweeps about each carrier, one within another; gap: {arm-sweep}",
    source="our own",
    example="a 20 mm ball on an arm of 90 mm beside a rod that goes round at 80 mm",
    follows=("mesh-pair", "mesh-distance", "stack-height"),
)
def arm_sweep(design: Design) -> Iterator[Finding]:
    yield from clash_findings(design, "arm-sweep", ("arm-sweep",))
