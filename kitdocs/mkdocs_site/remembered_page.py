"""Pages that take their HTML from memory where nothing that it depends on has changed."""

from __future__ import annotations

import logging
from collections.abc import Iterable

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import AnchorLink, get_toc
from mkdocs.utils import CountHandler

from kitdocs.mkdocs_site.memory import Heading, Memory, Rendering
from kitdocs.mkdocs_site.nav import leaves


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
        # MkDocs gathers no links to check while it logs for debugging.
        if self.links_to_anchors is not None and max(heard.counts, default=0) < logging.INFO:
            self._memory.put(key, self._rendering())

    def _rendering(self) -> Rendering:
        links = {file.src_uri: dict(a) for file, a in (self.links_to_anchors or {}).items()}
        return Rendering(
            content=self.content or "",
            toc=_headings(self.toc),
            title=self._title_from_render,
            anchors=sorted(self.present_anchor_ids or ()),
            links=links,
        )

    def _take(self, kept: Rendering, files: Files) -> None:
        self.content = kept.content
        self.toc = get_toc([_token(heading) for heading in kept.toc])
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


def _headings(toc: Iterable[AnchorLink]) -> list[Heading]:
    return [Heading(a.title, a.id, a.level, _headings(a.children)) for a in toc]


def _token(heading: Heading) -> dict:
    """A heading as the `toc` extension of Markdown gives it."""
    children = [_token(child) for child in heading.children]
    return {"name": heading.title, "id": heading.id, "level": heading.level, "children": children}
