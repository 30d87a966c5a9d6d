"""The hazards of a stage, from everything that its steps put into the builder's hands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kitdocs.kit.parts import Hazard
from kitdocs.kit.stage import Stage

if TYPE_CHECKING:
    from kitdocs.assembly.design import Design


def stage_hazards(design: Design, stage: Stage) -> set[Hazard]:
    """Hazards of the kit, and of what a stage takes, handles again, uses up and works with."""
    kit = design.kit
    taking = design.takings.stage_taking(stage)
    handled = [
        kit.items[name].part.id
        for step in stage.steps
        for action in step.actions
        for name in action.items
        if name in kit.items
    ]
    used = [*taking.parts, *taking.supplies, *stage.front.tools, *handled]
    return {*kit.about.cautions, *(h for part in used for h in kit.parts[part].hazards)}
