"""Binds finished pages into one: the page of a whole kit takes in what its chapters name.

It is done when all pages have their HTML, so nothing is drawn or rendered a second time, and after
the search has read the page, which finds everything at its own place already.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Callable, Mapping
from urllib.parse import urlsplit

from mkdocs.structure.files import Files
from mkdocs.structure.pages import Page
from mkdocs.utils import get_relative_url

from kitdocs.mkdocs_site.languages import uri_of
from kitdocs.pages.chapter import chapter

#: A chapter as `pages/whole.md.j2` leaves it: a link to the page that goes there.
_PLACE = re.compile(
    r'(<section class="kd-chapter" id="([^"]*)") data-kd-before="([^"]*)" data-kd-page="([^"]*)">'
    r"(.*?)</section>",
    re.DOTALL,
)


def is_bound(html: str) -> bool:
    return 'data-kd-page="' in html


def bound(html: str, page: Page, files: Files) -> str:
    """A finished page with the HTML of other pages in the places that name them."""
    there = {uri_of(f): f.page for f in files.documentation_pages() if f.page is not None}
    places = [(m[2], m[3], m[4]) for m in _PLACE.finditer(html)]
    by_url = {
        _path(there[uri].url): (anchor, before) for anchor, before, uri in places if uri in there
    }

    def filled(match: re.Match[str]) -> str:
        source = there.get(match[4])
        if source is None or source.content is None:
            return f"{match[1]}>{match[5]}</section>"
        leads = _linker(source.url, page.url, by_url)
        return f"{match[1]}>\n{chapter(source.content, match[3], leads)}\n</section>"

    return _PLACE.sub(filled, html)


def _linker(
    source: str, page: str, chapters: Mapping[str, tuple[str, str]]
) -> Callable[[str], str]:
    """From an address in the page `source` to the same as seen from `page`, both as MkDocs gives
    their URL; an address in a chapter becomes one in `page`."""

    def leads(address: str) -> str:
        parts = urlsplit(address)
        if parts.scheme or parts.netloc or parts.path.startswith("/") or not parts.path:
            return address
        target = posixpath.normpath(posixpath.join(_folder(source), parts.path))
        if target in chapters:
            anchor, before = chapters[target]
            return f"#{before}{parts.fragment}" if parts.fragment else f"#{anchor}"
        slash = "/" if parts.path.endswith("/") and target != "." else ""
        mark = f"#{parts.fragment}" if parts.fragment else ""
        return get_relative_url(target + slash, page) + mark

    return leads


def _folder(url: str) -> str:
    """What the addresses in a page are counted from."""
    return url if url.endswith("/") else posixpath.dirname(url)


def _path(url: str) -> str:
    return posixpath.normpath(url) if url else "."
