"""The theme's search, loaded when a reader types instead of with every page.

The index is most of what a page of a plain site weighs. The theme fetches it, and starts its
worker, as soon as a page is there. Here the index that it fetches has no entries, and the worker
that it starts is a small one before its own, which fetches both at the first key. The entries
stand beside the index, apart by language: nobody looks for a German page from an English one.

On a disk the theme loads its index late by itself; there it needs something to start workers with.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files

from kitdocs.mkdocs_site.languages import SiteLanguages
from kitdocs.mkdocs_site.offline import plain_script

_FOLDER = "assets/javascripts/workers"
#: The theme's plugin `offline` fetches a script of that name from elsewhere, unless one is given.
_ON_DISK = f"{_FOLDER}/iframe-worker.js"
#: What the theme loads from a disk as `search/search_index.js`: the index, by its name there.
_ON_DISK_INDEX = """\
var __index = (() => {
  const entries = %s;
  const docs = entries[document.documentElement.lang] ?? entries["%s"];
  return { ...%s, docs };
})();
"""


class LateSearch:
    """The search of one build of the site. With another theme, nothing is done."""

    def __init__(self, config: MkDocsConfig, templates: Sequence[Path], on_disk: bool):
        self._templates = templates
        self._theme = _theme_worker(config)
        self._on_disk = on_disk or any(name.endswith("offline") for name in config.plugins)
        if self._theme and self._on_disk:
            scripts = config.extra.setdefault("polyfills", [])
            if _ON_DISK not in scripts:
                scripts.append(_ON_DISK)
        told = json.dumps({"theme": self._theme})
        self._text = f"self.kitdocs = {told};\n{plain_script(templates, 'search.js')}"
        digest = hashlib.sha256(self._text.encode()).hexdigest()[:8]
        self._name = f"search-late.{digest}.js"

    @property
    def late(self) -> bool:
        return bool(self._theme) and not self._on_disk

    def add_scripts(self, files: Files, config: MkDocsConfig) -> None:
        """Put the scripts among the files of the site."""
        if self.late:
            uri, text = f"{_FOLDER}/{self._name}", self._text
        elif self._theme:
            uri, text = _ON_DISK, plain_script(self._templates, "iframe-worker.js")
        else:
            return
        if files.get_file_from_path(uri) is None:
            files.append(File.generated(config, uri, content=text))

    def in_page(self, html: str, config: MkDocsConfig) -> str:
        """The page with our worker in place of the theme's."""
        if not self.late:
            return html
        ours = f"{_FOLDER}/{self._name}?entries={_entries(SiteLanguages.of(config).current)}"
        return html.replace(f'{_FOLDER}/{self._theme}"', f'{ours}"')

    def divide(self, config: MkDocsConfig) -> None:
        """Take the entries out of the finished index; for a disk, put it where it is loaded."""
        folder = Path(config.site_dir) / "search"
        file = folder / "search_index.json"
        if not self._theme or not file.is_file():
            return
        index = json.loads(file.read_text("utf-8"))
        languages = SiteLanguages.of(config)
        divided = _by_language(index["docs"], languages)
        if self._on_disk:
            found, first = _compact({k or "": e for k, e in divided.items()}), languages.default
            text = _ON_DISK_INDEX % (found, first or "", _compact({**index, "docs": []}))
            (folder / "search_index.js").write_text(text, encoding="utf-8")
            return
        for language, entries in divided.items():
            (folder / _entries(language)).write_text(_compact(entries), encoding="utf-8")
        file.write_text(_compact({**index, "docs": []}), encoding="utf-8")


def _theme_worker(config: MkDocsConfig) -> str | None:
    """The name of the theme's search worker; none where there is no search that we know."""
    if not any(name.split("/")[-1] == "search" for name in config.plugins):
        return None
    found = (Path(folder, _FOLDER).glob("search.*.min.js") for folder in config.theme.dirs)
    return next((file.name for files in found for file in sorted(files)), None)


def _entries(language: str | None) -> str:
    return f"entries-{language}.json" if language else "entries.json"


def _by_language(docs: Iterable[dict], languages: SiteLanguages) -> dict[str | None, list[dict]]:
    """The entries for the pages of each language.

    The plugin `i18n` drops entries that read the same in the site's first language, that is of
    pages which are not translated; those are told of at their addresses in the other language.
    """
    if not languages.all:
        return {None: list(docs)}
    found: dict[str | None, list[dict]] = {language: [] for language in languages.all}
    for entry in docs:
        first = entry["location"].partition("/")[0]
        found[first if first in found else languages.default].append(entry)
    first = found[languages.default]
    return {
        language: entries if entries is first else _with_untranslated(entries, first, language)
        for language, entries in found.items()
    }


def _with_untranslated(own: list[dict], first: list[dict], language: str) -> list[dict]:
    """The entries of a language with those of `first` that it lacks, in the order of `first`: the
    theme wants the entry of a page before those of its sections."""
    rank = {f"{language}/{entry['location']}": n for n, entry in enumerate(first)}
    there = {entry["location"] for entry in own}
    moved = [{**e, "location": at} for e, at in zip(first, rank, strict=True) if at not in there]

    def place(entry: dict) -> int:
        at = entry["location"]
        return rank.get(at, rank.get(at.partition("#")[0], len(first)))

    return sorted([*moved, *own], key=place)


def _compact(data: object) -> str:
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"))
