"""The files of the site: what is published, what is generated, and that no two collide."""

from __future__ import annotations

import os
from collections.abc import Collection, Iterable
from html import escape
from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files, InclusionLevel, set_exclusions
from mkdocs.structure.pages import Page as MkDocsPage

from kitdocs.finding import Finding, Place, stops
from kitdocs.kit.procedures import is_procedure
from kitdocs.kit.source import read_text, shown_path
from kitdocs.kit.stage import Passage
from kitdocs.mkdocs_site.composing import Composed
from kitdocs.mkdocs_site.languages import (
    SiteLanguages,
    language_of_theme,
    leave_out,
    uri_of,
)
from kitdocs.mkdocs_site.markup import heading_links_named
from kitdocs.mkdocs_site.nav import repeats, whole_nav, with_kits
from kitdocs.mkdocs_site.preview import HOME, findings_page
from kitdocs.pages.scripts import is_entry
from kitdocs.pages.site import Page, Site
from kitdocs.survey import Survey
from kitdocs.words.audit.site_words import with_given
from kitdocs.words.language import Language


def arrange(
    files: Files, config: MkDocsConfig, composed: Composed, found: Survey, site_root: Path
) -> list[Finding]:
    """Add what is generated, hide the models, set the navigation; findings say what collides."""
    folders = [kit.read.folder for kit in found.kits]
    languages = SiteLanguages.of(config)
    _hide_models(files, folders, found.files)
    if languages.plugin is None:
        leave_out(files, folders)
    _hide_procedures(files, folders)
    wrong = _add_generated(files, config, composed, site_root, languages)
    set_exclusions(files, config)
    wrong += _address_clashes(files, site_root)
    wrong += _unreadable(files, site_root)
    pages = [f for f in files.documentation_pages() if f.inclusion.is_in_nav()]
    if config.nav is None:
        config.nav = whole_nav(composed.site.nav, pages)
    else:
        config.nav = with_kits(config.nav, composed.site.nav, folders)
    name = Path(config.config_file_path or "mkdocs.yml").name
    wrong += repeats(config.nav, [uri_of(f) for f in pages], name)
    own = (f for f in found.own_words.findings if stops([f], config.strict))
    _show_instead(files, config, [*wrong, *own], site_root, languages)
    languages.tell_alternates(files, config, composed.site.pages)
    _link_assets(config, composed.site)
    return wrong


def words_of(page: MkDocsPage, composed: Composed, markdown: str) -> str:
    """The Markdown of a page: what the kit makes of it, with its title and description; of a page
    of the site's own what is written, its figures from elsewhere with their sources."""
    uri = uri_of(page.file)
    made = composed.site.pages.get(uri)
    if made is None or not (page.file.generated_by or uri in composed.replaced):
        return with_given(Passage(markdown, Place(uri))).text
    page.meta["title"] = made.title
    if made.description:
        page.meta["description"] = escape(made.description)  # themes put it into an attribute
    return made.markdown


def marked_language(page: MkDocsPage, composed: Composed, config: MkDocsConfig, html: str) -> str:
    """The HTML of a page in its language, marked with it where it is not the one of the site."""
    made = composed.site.pages.get(uri_of(page.file))
    spoken = SiteLanguages.of(config).current or language_of_theme(config)
    html = heading_links_named(html, Language(made.language if made else spoken or "en"))
    if made is None or spoken is None or made.language.startswith(spoken):
        return html
    return f'<div lang="{made.language}">\n{html}\n</div>'


def _hide_models(files: Files, folders: Collection[str], read: Iterable[Path]) -> None:
    """Keep the data files of kits out of the site: those read, and all YAML beside them."""
    real = {os.path.realpath(path) for path in read}
    for file in files:
        if not file.src_uri.endswith((".yml", ".yaml")):
            continue
        beside = any(not f or file.src_uri.startswith(f"{f}/") for f in folders)
        if beside or (file.abs_src_path and os.path.realpath(file.abs_src_path) in real):
            file.inclusion = InclusionLevel.EXCLUDED


def _hide_procedures(files: Files, folders: Collection[str]) -> None:
    """Keep the procedures of kits out of the site: they are read where a stage uses them."""
    for file in files:
        if is_procedure(file.src_uri, folders):
            file.inclusion = InclusionLevel.EXCLUDED


def _add_generated(
    files: Files,
    config: MkDocsConfig,
    composed: Composed,
    site_root: Path,
    languages: SiteLanguages,
) -> list[Finding]:
    """Add the generated pages and assets.

    Stages keep their file. A home page that is written by hand stays; any other page or asset
    in the way is a finding.
    """
    site = composed.site
    findings = []
    for uri, content in [*((u, p.markdown) for u, p in site.pages.items()), *site.assets.items()]:
        there = files.get_file_from_path(uri)
        if there is not None and there.src_dir and there.src_dir in config.theme.dirs:
            files.remove(there)
        elif there is not None:
            if uri not in composed.replaced and uri != HOME:
                findings.append(_in_the_way(there, uri, site_root))
            continue
        file = languages.generated(config, uri, content)
        if page := site.pages.get(uri):
            file.edit_uri = _edit_uri(page, config, site_root)
        files.append(file)
    return findings


def _address_clashes(files: Iterable[File], site_root: Path) -> list[Finding]:
    """A finding for every two files that would be published at one address, whatever the case."""
    taken: dict[str, File] = {}
    findings = []
    for file in files:
        if file.inclusion.is_excluded():
            continue
        other = taken.setdefault(file.dest_uri.casefold(), file)
        if other is not file:
            found = f"{_named(file)} and {_named(other)} would both be published as {file.dest_uri}"
            findings.append(_address_finding(_shown(file, other, site_root), found))
    return findings


def _unreadable(files: Iterable[File], site_root: Path) -> list[Finding]:
    """A finding for every page written by hand that is not UTF-8 text."""
    findings: list[Finding] = []
    for file in files:
        if file.is_documentation_page() and file.abs_src_path:
            path = Path(file.abs_src_path)
            findings += read_text(path, shown_path(path, site_root))[1]
    return findings


def _show_instead(
    files: Files,
    config: MkDocsConfig,
    findings: Iterable[Finding],
    site_root: Path,
    languages: SiteLanguages,
) -> None:
    """For the preview: a page that findings are about shows them in place of its words."""
    by_page: dict[str, list[Finding]] = {}
    for finding in findings:
        uri = os.path.relpath(site_root / finding.place.path, config.docs_dir)
        by_page.setdefault(Path(uri).as_posix(), []).append(finding)
    for uri, found in by_page.items():
        file = files.get_file_from_path(uri)
        if file is not None and file.is_documentation_page():
            files.remove(file)
            files.append(languages.generated(config, uri, findings_page(escape(uri), found)))


def _link_assets(config: MkDocsConfig, site: Site) -> None:
    """Have every page load the style sheets, and the script that loads the others."""
    for uri in site.assets:
        if uri.endswith(".css") and uri not in config.extra_css:
            config.extra_css.append(uri)
        if is_entry(uri) and uri not in config.extra_javascript:
            config.extra_javascript.append(uri)


def _in_the_way(file: File, uri: str, site_root: Path) -> Finding:
    found = f"{_named(file)} stands where the generated page {uri} goes"
    return _address_finding(_shown(file, file, site_root), found)


def _address_finding(path: str, found: str) -> Finding:
    return Finding(Place(path), "page-address", found, "one for each address", "Rename one.")


def _named(file: File) -> str:
    return f"{file.src_uri}{' (generated)' if file.generated_by else ''}"


def _shown(file: File, other: File, site_root: Path) -> str:
    written = next((f for f in (file, other) if f.abs_src_path), None)
    return shown_path(Path(written.abs_src_path), site_root) if written else file.src_uri


def _edit_uri(page: Page, config: MkDocsConfig, site_root: Path) -> str | None:
    """Where the page's model is edited: its source as seen from the content folder."""
    if not page.source:
        return None
    return Path(os.path.relpath(site_root / page.source, config.docs_dir)).as_posix()
