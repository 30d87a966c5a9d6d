"""Search entries of pages, taken from memory where the page has not changed.

Dividing a page into entries means parsing its HTML anew, which is a quarter of a build.
"""

from __future__ import annotations

import sys
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.pages import Page

from kitdocs.mkdocs_site.memory import Memory, digest
from kitdocs.mkdocs_site.remembered_page import headings

#: The search indexes that are known: their modules, and what they call their list of entries.
_ENTRIES = {
    "material.plugins.search.plugin": "entries",
    "mkdocs.contrib.search.search_index": "_entries",
}


def remember_entries(config: MkDocsConfig, memory: Memory) -> None:
    """Have the search indexes of this build ask `memory` first. Call it once they are made."""
    for plugin in config.plugins.values():
        index = getattr(plugin, "search_index", None)
        name = _ENTRIES.get(type(index).__module__)
        # What jieba makes of Chinese hangs on dictionaries that nobody here knows.
        if index is not None and name and not sys.modules.get("jieba"):
            index.add_entry_from_context = _Adding(index, name, memory)


class _Adding:
    """In place of an index's method that adds the entries of a page."""

    def __init__(self, index: Any, name: str, memory: Memory):
        self._add, self._memory = index.add_entry_from_context, memory
        self._entries: list[dict[str, Any]] = getattr(index, name)
        self._setting = [type(index).__module__, dict(index.config)]

    def __call__(self, page: Page) -> None:
        if "search" in page.meta:  # a boost may be anything that YAML knows
            self._add(page)
            return
        meta = [page.meta.get("title"), page.meta.get("tags")]
        key = digest([*self._setting, meta, page.url, page.title, page.content, headings(page.toc)])
        known = self._memory.get(key)
        if known is None:
            before = len(self._entries)
            self._add(page)
            self._memory.put(key, [dict(entry) for entry in self._entries[before:]])
        else:
            self._entries += [dict(entry) for entry in known]
