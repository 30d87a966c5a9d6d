"""stage-tools: the tools that a stage lists are those that its words use."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.parts import Tool
from kitdocs.kit.stage import Passage, Stage
from kitdocs.rules.rule import rule
from kitdocs.words.tool_words import tool_named


@rule(
    "stage-tools",
    group="Steps",
    demand="a tool stands on a stage's list when its words name it, and only then; drivers are "
    "added from the screws",
    source="our own: what a stage needs is laid out before it begins",
    example="a stage lists the vice, and no step of it does anything in a vice",
    after=("step-facts",),
)
def stage_tools(design: Design) -> Iterator[Finding]:
    tools = [part for part in design.kit.parts.values() if isinstance(part, Tool)]
    for stage in design.kit.stages:
        said = _passages(stage)
        for tool in tools:
            listed = tool.id in stage.front.tools
            named = tool_named(said, tool)
            if listed and named is None:
                yield Finding(
                    stage.front.place("tools", stage.front.tools.index(tool.id)),
                    "stage-tools",
                    f"{tool.id}, which no words of the stage name",
                    "the tools that are used",
                    f"Take it from the list, or say where it is used: {{{{ part('{tool.id}') }}}}.",
                    facts=(tool.place(),),
                )
            elif named is not None and not listed and not _drives(design, stage, tool):
                yield Finding(
                    named,
                    "stage-tools",
                    f"{tool.id}, which is not on the stage's list of tools",
                    f"tools: [{tool.id}]",
                    facts=(stage.front.place("tools"), tool.place()),
                )


def _drives(design: Design, stage: Stage, tool: Tool) -> bool:
    return tool.name in design.takings.stage_taking(stage).drivers


def _passages(stage: Stage) -> list[Passage]:
    return [stage.words, *(text for step in stage.steps for text in (step.title, step.words))]
