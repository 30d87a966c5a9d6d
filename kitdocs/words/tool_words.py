"""Where the words of a stage speak of a tool: nothing else says which step uses it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache

from kitdocs.finding import Place
from kitdocs.kit.model import Kit
from kitdocs.kit.parts import Tool
from kitdocs.kit.stage import Passage, Step


def tools_of_step(kit: Kit, step: Step) -> tuple[Tool, ...]:
    """The tools that a step's words name, in the order of the parts file."""
    return tuple(
        tool
        for tool in kit.parts.values()
        if isinstance(tool, Tool) and tool_named((step.title, step.words), tool)
    )


def tool_named(passages: Iterable[Passage], tool: Tool) -> Place | None:
    """Where a tool is named first: by its name, its plural, its id after an article (the bench vice
    that is called `vice`; not what stands `square`), or through `part('…')`."""
    names = tuple(filter(None, (tool.name, tool.plural)))
    in_brief = tuple(name.casefold() for name in (*names, tool.id))
    for passage in passages:
        said = passage.text.casefold()
        if any(name in said for name in in_brief):  # seldom, and quickly seen
            match = _pattern(tool.id, names).search(passage.text)
            if match:
                return passage.place.within(passage.text, match.start())
    return None


@lru_cache(maxsize=256)
def _pattern(id: str, names: tuple[str, ...]) -> re.Pattern[str]:
    by_id = rf"part\(\s*['\"]{re.escape(id)}['\"]\s*\)"
    words = rf"\b(?:{'|'.join(map(re.escape, names))}|(?:the|an?) {re.escape(id)})\b|{by_id}"
    return re.compile(words, re.IGNORECASE)
