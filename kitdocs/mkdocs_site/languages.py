"""Several languages with the plugin `i18n` (mkdocs-static-i18n, its `suffix` structure).

That plugin builds the site once for each language: the first build is an ordinary one, and from
its end it runs one more for each other language, in the same folder, under `/CODE/`. It gives
each page of the content folder its address in the language of the build. Generated pages are not
of the content folder, so they get theirs here.

Without the plugin there is one language, and pages in others are left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from mkdocs import utils
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files, InclusionLevel

from kitdocs.finding import Finding, Place
from kitdocs.kit.translation import language_of, original_name
from kitdocs.survey import Survey

_clean_directory = utils.clean_directory  # which the other plugin replaces while it builds


@dataclass(frozen=True)
class SiteLanguages:
    """The languages of a site, as the plugin `i18n` has them at this moment; without it none."""

    plugin: Any = None

    @classmethod
    def of(cls, config: MkDocsConfig) -> SiteLanguages:
        plugin = config.plugins.get("i18n")
        ours = hasattr(plugin, "build_languages") and hasattr(plugin, "default_language")
        return cls(plugin if ours else None)

    @property
    def all(self) -> tuple[str, ...]:
        """Every language that is built."""
        return tuple(self.plugin.build_languages) if self.plugin else ()

    @property
    def default(self) -> str | None:
        """The language whose pages are at the site's root."""
        return self.plugin.default_language if self.plugin else None

    @property
    def current(self) -> str | None:
        """The language of this build."""
        return (self.plugin.current_language or self.default) if self.plugin else None

    @property
    def folder(self) -> str:
        """The folder of the site that the language of this build has for itself; empty for the
        first one."""
        return "" if self.current in (None, self.default) else str(self.current)

    @property
    def within_another(self) -> bool:
        """Whether this build is run from the end of another, for one more language."""
        return bool(self.plugin and self.plugin.building)

    def begin(self) -> None:
        """Start with the first build. In a preview, entries of the last one would be there too."""
        if self.plugin:
            self.plugin.search_entries.clear()

    def mend(self) -> None:
        """After a build that stopped: a later one of this process is the first of its own."""
        if self.within_another:
            self.plugin.building = False
            utils.clean_directory = _clean_directory

    def generated(self, config: MkDocsConfig, uri: str, content: str | bytes) -> File:
        """A file made in memory, at its address in the language of this build."""
        file = File.generated(config, uri, content=content)
        if self.plugin:
            self._place(file, self.current or "")
            file.locale = file.locale_alternate_of = self.current
            file.localization, file.norm_src_uri = None, uri
            file.alternates = {self.current: file}
        return file

    def tell_alternates(self, files: Files, config: MkDocsConfig, pages: Iterable[str]) -> None:
        """Tell the other plugin where the pages are in each language, for the switch between
        languages and for the sitemap."""
        if not self.plugin:
            return
        wanted = set(pages)
        for file in files.documentation_pages():
            if uri_of(file) in wanted:
                file.alternates = {
                    code: file if code == self.current else self._alternate(config, file, code)
                    for code in self.all
                }
        self.plugin.i18n_files_per_language[self.current] = files.documentation_pages()

    def _alternate(self, config: MkDocsConfig, file: File, code: str) -> File:
        other = File(uri_of(file), None, config.site_dir, config.use_directory_urls)
        self._place(other, code)
        return other

    def _place(self, file: File, code: str) -> None:
        if code != self.default:
            file.dest_uri = f"{code}/{file.dest_uri}"
            file.abs_dest_path = f"{file.dest_dir}/{file.dest_uri}"
            file.url = file._get_url(file.use_directory_urls)


def uri_of(file: File) -> str:
    """The path of a page from the content folder, without the language in it."""
    return getattr(file, "norm_src_uri", None) or file.src_uri


def leave_out(files: Files, folders: Iterable[str]) -> None:
    """Keep pages of kits that translate another out of a site of one language."""
    inside = tuple(f"{folder}/" if folder else "" for folder in folders)
    for file in files.documentation_pages(inclusion=lambda _: True):
        uri = file.src_uri
        translates = inside and uri.startswith(inside) and language_of(uri)
        if translates and files.get_file_from_path(original_name(uri)) is not None:
            file.inclusion = InclusionLevel.EXCLUDED


def left_out(found: Survey, languages: SiteLanguages, config_file: str) -> list[Finding]:
    """A note on languages of the kits that this site does not have."""
    built: Mapping[str, None] = dict.fromkeys(languages.all)
    missing = {
        code: None
        for kit in found.kits
        if kit.kit is not None
        for code in (kit.kit.languages if languages.plugin else kit.kit.languages[1:])
        if code not in built
    }
    if not missing:
        return []
    mend = "Add them to the languages of the plugin i18n."
    if not languages.plugin:
        mend = "Install mkdocs-static-i18n, and write its plugin i18n above kitdocs."
    told = f"pages in {', '.join(missing)}, which are left out"
    return [Finding(Place(config_file), "translation-page", told, "", mend, "note")]


def language_of_theme(config: MkDocsConfig) -> str | None:
    """The language that the theme says the pages are in; None where it has none."""
    written = config.theme.get("language") or config.theme.get("locale")
    return str(written).replace("_", "-") if written else None
