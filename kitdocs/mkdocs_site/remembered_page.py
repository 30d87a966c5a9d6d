"""Pages that take their HTML from memory where nothing that it depends on has changed."""

from __future__ import annotations

import logging
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import AnchorLink, get_toc
from mkdocs.utils import CountHandler

from kitdocs.mkdocs_site.memory import Memory
from kitdocs.mkdocs_site.nav import leaves


@dataclass(frozen=True)
class Rendering:
    """What rendering a page gave. `toc` are its headings as the `toc` extension of Markdown
    gives them. `links` holds, by the source path of a page that is linked to, the anchors that
    are linked to and how."""

    content: str
    toc: list[dict[str, Any]]
    title: str | None
    anchors: list[str]
    links: dict[str, dict[str, str]]


class RememberedPage(Page):
    """A page that renders as MkDocs does, or takes what `memory` kept of the same rendering."""

    def __init__(self, title: str | None, file: File, config: MkDocsConfig, memory: Memory):
        super().__init__(title, file, config)
        self._memory = memory

    def render(self, config: MkDocsConfig, files: Files) -> None:
        key = self._memory.key(self)
        if kept := self._memory.get(key):
            self._take(Rendering(**kept), files)
            return
        heard = CountHandler(level=logging.INFO)
        logger = logging.getLogger("mkdocs")
        logger.addHandler(heard)
        try:
            super().render(config, files)
        finally:
            logger.removeHandler(heard)
        # MkDocs gathers no links to check while it logs for debugging.
        if self.links_to_anchors is not None and max(heard.counts, default=0) < logging.INFO:
            self._memory.put(key, asdict(self._rendering()))

    def _rendering(self) -> Rendering:
        links = {file.src_uri: dict(a) for file, a in (self.links_to_anchors or {}).items()}
        return Rendering(
            content=self.content or "",
            toc=headings(self.toc),
            title=self._title_from_render,
            anchors=sorted(self.present_anchor_ids or ()),
            links=links,
        )

    def _take(self, kept: Rendering, files: Files) -> None:
        self.content = kept.content
        self.toc = get_toc(kept.toc)
        self._title_from_render = kept.title
        self.present_anchor_ids = set(kept.anchors)
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


def headings(toc: Iterable[AnchorLink]) -> list[dict[str, Any]]:
    """A table of contents as the `toc` extension of Markdown gives it."""
    return [
        {"name": a.title, "id": a.id, "level": a.level, "children": headings(a.children)}
        for a in toc
    ]
