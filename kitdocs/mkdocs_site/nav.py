"""The site's navigation: built from the kits, or written by the publisher with kits in it.

A navigation is what `nav` of mkdocs.yml may be: a list of page paths, and of one-key mappings
from a title to a path or to another list.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from mkdocs.structure.files import File, file_sort_key
from mkdocs.utils import nest_paths

from kitdocs.finding import Finding, Place
from kitdocs.mkdocs_site.languages import uri_of

Nav = list[Any]


def leaves(nav: Any, title: str | None = None) -> Iterator[tuple[str | None, str]]:
    """Every (title, path) of a navigation, in order; the title is None where none is written."""
    if isinstance(nav, str):
        yield title, nav
    elif isinstance(nav, dict):
        for key, value in nav.items():
            yield from leaves(value, key)
    elif isinstance(nav, Sequence):
        for item in nav:
            yield from leaves(item)


def section_of(nav: Nav, folder: str) -> Nav:
    """The items of a generated navigation whose pages all lie in a kit's folder."""

    def inside(item: Any) -> bool:
        paths = [path for _, path in leaves(item)]
        return bool(paths) and all(path.startswith(f"{folder}/") for path in paths)

    return [item for item in nav if inside(item)]


def whole_nav(generated: Nav, pages: Iterable[File]) -> Nav:
    """The navigation of a site that writes none: home, the kits, then what else is written."""
    named = {path for _, path in leaves(generated)}
    left = [uri_of(f) for f in sorted(pages, key=file_sort_key) if uri_of(f) not in named]
    home = [uri for uri in left if uri in ("index.md", "README.md")]
    others = [uri for uri in left if uri not in home]
    return home + generated + nest_paths(others)


def with_kits(written: Any, generated: Nav, folders: Iterable[str]) -> Any:
    """A written navigation in which an entry such as `quayside/` stands for that kit's section.

    `Title: quayside/` gives the section that title.
    """
    sections = {f"{folder}/": section_of(generated, folder) for folder in folders if folder}

    def expanded(item: Any) -> list[Any]:
        if isinstance(item, str):
            return sections.get(item, [item])
        if isinstance(item, dict):
            return [{k: retitled(v) for k, v in item.items()}]
        return [item]

    def retitled(value: Any) -> Any:
        if isinstance(value, list):
            return [new for item in value for new in expanded(item)]
        section = sections.get(value, value) if isinstance(value, str) else value
        if isinstance(section, list) and len(section) == 1 and isinstance(section[0], dict):
            return next(iter(section[0].values()))
        return section

    return [new for item in written for new in expanded(item)]


def repeats(nav: Any, pages: Iterable[str], config_file: str) -> list[Finding]:
    """A finding for every page that the navigation names more than once."""
    counts = Counter(path for _, path in leaves(nav))
    mend = "Remove the other entries: the previous and next links follow this order."
    place = Place(config_file)
    return [
        Finding(
            place, "page-once", f"'{page}' in the navigation {counts[page]} times", "once", mend
        )
        for page in pages
        if counts[page] > 1
    ]
