"""caution-before: whatever a stage handles brings its caution before the first step."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.assembly.hazards import stage_hazards
from kitdocs.finding import Finding
from kitdocs.rules.rule import rule


@rule(
    "caution-before",
    group="Steps",
    demand="the cautions of a stage stand before its steps, for every hazard of what it takes, "
    "handles and uses; what its words name and has a hazard is among that",
    formula="hazards of the kit, of the items of every action, of fasteners, supplies and tools",
    source="IEC/IEEE 82079-1 (warnings stand before the act), from memory",
    example="words that smear epoxy on a rod in a step whose facts glue nothing",
    after=("step-facts",),
    follows=("step-item", "build-complete", "part-hazard", "stage-tools"),
)
def caution_before(design: Design) -> Iterator[Finding]:
    parts = [part for part in design.kit.parts.values() if part.hazards]
    for stage in design.kit.stages:
        shown = stage_hazards(design, stage)
        for step in stage.steps:
            for part in parts:
                hidden = [hazard for hazard in part.hazards if hazard not in shown]
                named = rf"part\(\s*['\"]{re.escape(part.id)}['\"]\s*\)"
                if hidden and re.search(named, step.words.text):
                    shown |= set(hidden)
                    yield Finding(
                        step.place,
                        "caution-before",
                        f"the words name {part.id}, and no action of stage {stage.id} uses it",
                        f"an action that brings the caution on {', '.join(hidden)}",
                        facts=(part.place(),),
                    )
