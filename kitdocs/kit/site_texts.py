"""What a site says outside of its kits: its own pages and drawings, and its `mkdocs.yml`."""

from __future__ import annotations

import os
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from pathlib import Path

from kitdocs.finding import Place
from kitdocs.kit.plain_texts import Keys, figure_texts, yaml_texts
from kitdocs.kit.source import read_text, shown_path
from kitdocs.kit.stage import Passage
from kitdocs.kit.stage_reader import split_page
from kitdocs.kit.translation import language_of

#: The endings that MkDocs takes for pages.
_PAGES = (".md", ".markdown", ".mdown", ".mkdn", ".mkd")
_FIGURES = ".svg"


@dataclass(frozen=True)
class SiteText:
    """One text, and whether it is the body of a page. `uri` is the page's path from the content
    folder, empty for what several pages show."""

    uri: str
    language: str
    passage: Passage
    is_page: bool = False


def site_texts(
    site_root: Path, content: Path, kits: Collection[str], settings: Path, first: str
) -> tuple[SiteText, ...]:
    """Every text of the site's own, in order of the files; `kits` are the folders of kits, from
    the content folder, `first` the language where the `settings` (mkdocs.yml) name none.

    Files that cannot be read are left to MkDocs, which says so.
    """
    found = list(_settings(site_root, content, settings, first))
    default = found[0].language if found else first
    for file in _files(content):
        uri = file.relative_to(content).as_posix()
        is_figure = uri.endswith(_FIGURES)
        if any(not kit or uri.startswith(f"{kit}/") for kit in kits) and (
            is_figure or uri.endswith(".md")  # the kit's reader has read it, or refused it
        ):
            continue
        text = read_text(file, "")[0]
        if text is None:
            continue
        path = shown_path(file, site_root)
        code = language_of(f"{file.stem}.md") or default
        if is_figure:
            found += (SiteText("", code, said) for said in figure_texts(text, Place(path)))
            continue
        page = split_page(text, path)
        front = yaml_texts(page.front, page.front_place)
        found += (SiteText(uri, code, said) for _, said in front)
        found.append(SiteText(uri, code, Passage(page.body, page.body_place), is_page=True))
    return tuple(found)


def _files(content: Path) -> Iterator[Path]:
    """Pages and drawings that MkDocs publishes: nothing hidden, and no folder of templates."""
    seen: set[Path] = set()  # a link may lead back to a folder above it
    for here, folders, names in os.walk(content, followlinks=True):
        top, real = Path(here) == content, Path(here).resolve()
        if real in seen:
            folders.clear()
            continue
        seen.add(real)
        folders[:] = sorted(
            f for f in folders if not f.startswith(".") and not (top and f == "templates")
        )
        for name in sorted(names):
            if name.endswith((*_PAGES, _FIGURES)) and not name.startswith("."):
                yield Path(here, name)


def _settings(site_root: Path, content: Path, file: Path, first: str) -> Iterator[SiteText]:
    """Every value of mkdocs.yml and every title of its navigation, if it is that of this folder.

    What the plugin `i18n` has for a language is in it.
    """
    text = read_text(file, "")[0] if file.is_file() else None
    if text is None:
        return
    entries = list(yaml_texts(text, Place(shown_path(file, site_root)), "nav"))
    said = {keys: passage.text for keys, passage in entries}
    folder = file.parent / said.get(("docs_dir",), "docs")
    if folder.resolve() != content.resolve():
        return
    locales = {k[:-1]: code for k, code in said.items() if k[-1] == "locale" and "i18n" in k}
    chosen = (code for k, code in locales.items() if said.get((*k, "default")) == "true")
    default = next(chosen, said.get(("theme", "language"), first))
    for keys, passage in entries:
        yield SiteText("", _within(keys, locales) or default, passage)


def _within(keys: Keys, locales: dict[Keys, str]) -> str:
    return next((code for k, code in locales.items() if keys[: len(k)] == k), "")
