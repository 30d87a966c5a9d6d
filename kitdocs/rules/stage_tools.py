"""stage-tools: the tools that a stage lists are those that its words use."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding, Place
from kitdocs.kit.parts import Tool
from kitdocs.kit.stage import Passage, Stage
from kitdocs.rules.rule import rule


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
        said = "\n".join(passage.text for passage in _passages(stage)).casefold()
        for tool in tools:
            names = (tool.id, tool.name, tool.plural or tool.name)
            listed = tool.id in stage.front.tools
            is_said = any(name.casefold() in said for name in names)  # seldom, and quickly seen
            named = _where(stage, tool, *names[1:]) if is_said else None
            if listed and named is None and _where(stage, tool, tool.id) is None:
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


def _where(stage: Stage, tool: Tool, *names: str) -> Place | None:
    """Where a stage's words name a tool first: by one of these names, or through `part('…')`."""
    by_id = rf"part\(\s*['\"]{re.escape(tool.id)}['\"]\s*\)"
    words = rf"\b(?:{'|'.join(map(re.escape, names))})\b|{by_id}"
    pattern = re.compile(words, re.IGNORECASE)
    return next((place for text in _passages(stage) if (place := _found(text, pattern))), None)


def _passages(stage: Stage) -> list[Passage]:
    return [stage.words, *(text for step in stage.steps for text in (step.title, step.words))]


def _found(passage: Passage, pattern: re.Pattern[str]) -> Place | None:
    match = pattern.search(passage.text)
    if match is None:
        return None
    before = passage.text[: match.start()]
    line = before.count("\n") + 1
    column = match.start() - (before.rfind("\n") + 1) + 1
    return passage.place.shifted(line, column)
