"""From the survey of the kits to the site's pages, doing again only what has changed."""

from __future__ import annotations

import os
import traceback
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from pathlib import Path

import jinja2
from mkdocs.structure.files import File
from mkdocs.utils import get_relative_url

from kitdocs.finding import Finding, Place, stops
from kitdocs.kit.procedures import is_procedure
from kitdocs.kit.source import shown_path
from kitdocs.mkdocs_site.preview import LastGood, failing_site
from kitdocs.pages.charts import ChartCache
from kitdocs.pages.kept import Kept
from kitdocs.pages.render import shipped_templates
from kitdocs.pages.site import Site, render_site
from kitdocs.survey import Survey, survey


@dataclass(frozen=True)
class Composed:
    """The pages to publish or show, with what stops the site.

    `replaced` are the pages whose words are taken from here even where a file is written for
    them: stages, and in the preview the pages that show findings.
    """

    site: Site = field(default_factory=lambda: Site(pages={}, assets={}, nav=[]))
    findings: Sequence[Finding] = ()
    replaced: frozenset[str] | set[str] = frozenset()


@dataclass
class Composer:
    """Surveys and renders one site. Kept through a preview, so that it remembers.

    `strict` makes warnings stop a kit too; a `release` stops a kit that is not signed. `settings`
    is the site's mkdocs.yml.
    """

    site_root: Path
    content: Path
    own_templates: Path | None
    cache: Path
    strict: bool = False
    release: bool = False
    settings: Path | None = None
    surveyed: Survey | None = None
    _last: dict[str | None, LastGood] = field(default_factory=dict)
    _kept: dict[str | None, tuple[object, Kept]] = field(default_factory=dict)

    @property
    def setting(self) -> tuple[object, ...]:
        """What must be the same for anything remembered to hold."""
        folders = self.site_root, self.content, self.own_templates, self.cache, self.settings
        return *folders, self.strict, self.release

    @property
    def templates(self) -> list[Path]:
        """Template folders, the site's own first."""
        own = self.own_templates
        return [*([own] if own and own.is_dir() else []), shipped_templates()]

    def survey(self, remember: bool) -> Survey:
        """The survey of the kits; to `remember` spares those of which no file has changed."""
        last = self.surveyed if remember else None
        self.surveyed = survey(self.site_root, self.content, self.release, last, self.settings)
        return self.surveyed

    def compose(
        self,
        directory_urls: bool,
        written: Sequence[str],
        language: str | None = None,
        below: str = "",
    ) -> Composed:
        """The pages of the kits last surveyed in a language, or without one in that of each kit;
        `written` are the pages that editors have written, `below` is the folder of the site that
        this language has for itself.

        Kits that fail are shown as their findings, on the pages that they had when they last
        passed: a build has stopped before that, so this is for the preview.
        """
        found = self.surveyed or self.survey(remember=False)
        folders = [kit.read.folder for kit in found.kits]
        written = [uri for uri in written if not is_procedure(uri, folders)]
        failed = {
            kit.read.folder: kit_findings
            for kit in found.kits
            if stops(kit_findings := (*found.site_findings, *kit.findings), self.strict)
        }
        sound = tuple(kit for kit in found.kits if kit.read.folder not in failed)
        findings = list(found.findings) if stops(found.findings, self.strict) else []
        try:
            site = self._site(replace(found, kits=sound), directory_urls, language, below)
        except Exception as error:
            if not (isinstance(error, jinja2.TemplateError) or _at(error, self.templates)):
                raise
            wrong = template_finding(error, self.site_root, self.templates)
            failed = {k.read.folder: (*failed.get(k.read.folder, ()), wrong) for k in found.kits}
            findings.append(wrong)
            site, sound = Site(pages={}, assets={}, nav=[]), ()
        last = self._last.setdefault(language, LastGood())
        for kit in sound:
            last.keep(kit.read.folder, site)
        replaced = {p.uri for kit in sound if kit.kit for p in (*kit.kit.stages, *kit.kit.pages)}
        shown = failing_site(site, failed, findings, last, written)
        return Composed(shown, findings, replaced | (shown.pages.keys() - site.pages.keys()))

    def _site(self, found: Survey, directory_urls: bool, language: str | None, below: str) -> Site:
        setting = (directory_urls, _contents(self.templates))
        if language not in self._kept or self._kept[language][0] != setting:
            self._kept[language] = (setting, Kept())
        charts = ChartCache(self.cache / "charts")
        link = linker(directory_urls, self.content, below)
        kept = self._kept[language][1]
        return render_site(found, link, self.templates, charts, kept, language)


def _contents(folders: Iterable[Path]) -> dict[Path, bytes]:
    """Every file of some folders; a template is known by its name and its text."""
    found: dict[Path, bytes] = {}
    for folder in folders:
        for here, _, names in os.walk(folder, followlinks=True):
            for file in (Path(here, name) for name in names):
                with suppress(OSError):
                    found[file] = file.read_bytes()
    return found


def linker(directory_urls: bool, content: Path, below: str = "") -> Callable[[str, str], str]:
    """A function from a page and a target to the address that leads from one to the other.

    Both are paths from the content folder (`quayside/stages/base.md`); the target may end in
    an anchor. What it gives fits raw HTML, which MkDocs leaves as it is. Pages are in the folder
    `below` of the site, where their language has one; files such as films are beside those of
    the first language, unless there is one for this language (`base.de.mp4`).
    """

    def link(page: str, target: str) -> str:
        target, mark, anchor = target.partition("#")
        there, here = (File(uri, None, "", directory_urls).url for uri in (target, page))
        file = content / target
        own = file.with_suffix(f".{below}{file.suffix}")
        if below and file.suffix not in ("", ".md") and file.is_file() and not own.is_file():
            here = f"{below}/{here}"
        return get_relative_url(there, here) + mark + anchor

    return link


def template_finding(error: Exception, site_root: Path, templates: Iterable[Path]) -> Finding:
    """Where and why a template could not be carried out, as a finding."""
    path, line = _at(error, templates) or ("", 1)
    if isinstance(error, jinja2.TemplateSyntaxError):
        path, line = error.filename or path, error.lineno
    elif isinstance(error, jinja2.TemplateNotFound):
        return Finding(Place("site_templates"), "template", f"no template {error.name}")
    place = Place(shown_path(Path(path), site_root) if path else "site_templates", line)
    reason = " ".join(str(error).split()) or type(error).__name__
    return Finding(place, "template", f"a template stopped: {reason}")


def _at(error: Exception, templates: Iterable[Path]) -> tuple[str, int] | None:
    """The file and line of a template where an error was met; None when it was in none."""
    folders = tuple(str(folder) for folder in templates)
    for frame in reversed(traceback.extract_tb(error.__traceback__)):
        if frame.filename.startswith(folders):
            return frame.filename, frame.lineno or 1
    return None
