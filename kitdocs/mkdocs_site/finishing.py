"""The last touches to pages and to the site: search, and what keeps the site offline."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Literal

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import Files
from mkdocs.structure.pages import Page

from kitdocs.mkdocs_site.languages import SiteLanguages
from kitdocs.mkdocs_site.late_search import LateSearch
from kitdocs.mkdocs_site.markup import mended
from kitdocs.mkdocs_site.offline import write_worker
from kitdocs.mkdocs_site.whole_kit import bound, is_bound
from kitdocs.pages.offline_view import OfflineView

#: The same page in another language. The theme's script takes each such link for the root of a
#: site, and fetches a site map below it that is not there; the plugin `i18n` has already led the
#: switch between languages to the page. With a space, which HTML allows, the script passes it by.
_ALTERNATE = '<link rel="alternate" href='
_UNFETCHED = '<link rel="alternate " href='

#: A site that readers keep, one that they do not keep any more, and one for a disk.
Form = Literal["kept", "served", "disk"]


class Finishing:
    """The last touches to one build of a site, in all its languages."""

    def __init__(self, config: MkDocsConfig, templates: Sequence[Path], form: Form):
        self._templates, self._form = templates, form
        self._search = LateSearch(config, templates, form == "disk")
        self._views: dict[str, OfflineView] = {}
        self._bar = ""
        self._files = Files([])
        self._bound: set[str] = set()

    def begin(self, files: Files, config: MkDocsConfig, view: OfflineView | None) -> None:
        """Start with the pages of one language."""
        self._search.add_scripts(files, config)
        self._files = files
        self._bar = ""
        if view and self._form == "kept":
            self._views[view.uri] = view
            self._bar = view.bar

    def page(self, html: str, config: MkDocsConfig, page: Page | None = None) -> str:
        """A finished page, with the pages that it is bound of, its search made late and the bar
        put at its end. Without `page` it is one of the theme's own."""
        if page is not None and is_bound(html):
            html = bound(html, page, self._files)
            self._bound.add(page.file.dest_uri)
        html = self._search.in_page(mended(html), config)
        if SiteLanguages.of(config).all:
            html = html.replace(_ALTERNATE, _UNFETCHED)
        before, end, after = html.rpartition("</body>")
        return f"{before}{self._bar}{end}{after}" if end else html

    def site(self, config: MkDocsConfig) -> None:
        """The finished folder."""
        self._search.divide(config)
        if self._form == "disk":
            return
        folder = Path(config.site_dir)
        for view in self._views.values():
            (folder / view.uri).write_text(view.kits, encoding="utf-8")
        write_worker(folder, self._templates, self._form == "kept", self._bound)
