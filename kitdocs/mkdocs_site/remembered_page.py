"""Pages whose rendered HTML is kept from one preview build to the next.

Rendering Markdown is half of a build. What it gives depends on the page's final Markdown, the
extensions and their settings, and which files there are to link to: their digest is the key.
A page whose rendering logged anything is rendered again, so that the message is seen again.
"""

from __future__ import annotations

import copy
import hashlib
import json
import logging
import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import TableOfContents
from mkdocs.utils import CountHandler

from kitdocs.mkdocs_site.nav import leaves

#: Extensions whose output depends on the Markdown and their settings alone: all of Markdown's
#: own, and most of pymdownx. Others read files of their own, or may do anything.
_SETTLED = re.compile(
    r"(markdown\.extensions\.)?(abbr|admonition|attr_list|codehilite|def_list|extra|fenced_code"
    r"|footnotes|legacy_attrs|md_in_html|meta|nl2br|sane_lists|smarty|tables|toc|wikilinks)"
    r"|pymdownx\.(arithmatex|betterem|caret|critic|details|emoji|highlight|inlinehilite|keys|mark"
    r"|smartsymbols|superfences|tabbed|tasklist|tilde)"
)


@dataclass
class _Rendering:
    content: str
    toc: TableOfContents
    title: str | None
    anchors: set[str]
    links: dict[str, dict[str, str]] | None  # by the source of the file that is linked to


@dataclass
class Memory:
    """What was rendered, by digest. `begin` it with each build, `forget` at the build's end."""

    _kept: dict[str, _Rendering] = field(default_factory=dict)
    _used: dict[str, _Rendering] = field(default_factory=dict)
    _setting: bytes | None = None

    def begin(self, config: MkDocsConfig, files: Iterable[File]) -> None:
        """Take note of what all pages depend on. Nothing is kept with extensions not known."""
        extensions = config.markdown_extensions
        self._used = {}
        if not all(isinstance(e, str) and _SETTLED.fullmatch(e) for e in extensions):
            self._setting = None
            return
        validation = {k: dict(v) for k, v in config.validation.items()}
        setting: list[Any] = [extensions, config.mdx_configs, validation]
        setting.append([(f.src_uri, f.url, f.inclusion.name) for f in files])
        self._setting = json.dumps(setting, sort_keys=True, default=_by_name).encode()

    def key(self, page: Page) -> str | None:
        if self._setting is None:
            return None
        text = json.dumps([page.file.src_uri, page.markdown]).encode()
        return hashlib.sha256(self._setting + text).hexdigest()

    def get(self, key: str | None) -> _Rendering | None:
        found = self._kept.get(key) if key else None
        if key and found:
            self._used[key] = found
        return found

    def put(self, key: str | None, rendering: _Rendering) -> None:
        if key:
            self._used[key] = rendering

    def forget(self) -> None:
        """Drop what this build had no use for."""
        self._kept, self._used = self._used, {}


def _by_name(value: object) -> str:
    """A setting that JSON has no form for: a function of a module, by its name."""
    if callable(value) and hasattr(value, "__qualname__"):
        return f"{value.__module__}.{value.__qualname__}"
    return repr(value)


class RememberedPage(Page):
    """A page that renders as MkDocs does, or takes what `memory` kept of the same rendering."""

    def __init__(self, title: str | None, file: File, config: MkDocsConfig, memory: Memory):
        super().__init__(title, file, config)
        self._memory = memory

    def render(self, config: MkDocsConfig, files: Files) -> None:
        key = self._memory.key(self)
        if kept := self._memory.get(key):
            self._take(kept, files)
            return
        heard = CountHandler(level=logging.INFO)
        logger = logging.getLogger("mkdocs")
        logger.addHandler(heard)
        try:
            super().render(config, files)
        finally:
            logger.removeHandler(heard)
        if not any(level >= logging.INFO for level in heard.counts):
            self._memory.put(key, self._kept())

    def _kept(self) -> _Rendering:
        links = self.links_to_anchors
        return _Rendering(
            content=self.content or "",
            toc=copy.deepcopy(self.toc),  # a plugin or theme may change the page's own
            title=self._title_from_render,
            anchors=set(self.present_anchor_ids or ()),
            links=None if links is None else {f.src_uri: dict(a) for f, a in links.items()},
        )

    def _take(self, kept: _Rendering, files: Files) -> None:
        self.content = kept.content
        self.toc = copy.deepcopy(kept.toc)
        self._title_from_render = kept.title
        self.present_anchor_ids = set(kept.anchors)
        if kept.links is not None:
            targets = {files.get_file_from_path(uri): a for uri, a in kept.links.items()}
            self.links_to_anchors = {f: dict(a) for f, a in targets.items() if f is not None}


def remember_pages(files: Files, config: MkDocsConfig, memory: Memory) -> None:
    """Give the pages of `config.nav`, in its order, a `RememberedPage` with its title there.

    Pages that the navigation omits are left to MkDocs, which warns of them.
    """
    for title, uri in leaves(config.nav):
        file = files.get_file_from_path(uri)
        if file and file.page is None and file.is_documentation_page():
            RememberedPage(title, file, config, memory)
