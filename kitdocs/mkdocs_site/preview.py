"""What the preview shows of a kit that fails: its findings in place of stale numbers."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from html import escape

from kitdocs.finding import Finding, count_line
from kitdocs.mkdocs_site.nav import Nav, leaves, section_of
from kitdocs.pages.site import Page, Site

HOME = "index.md"


@dataclass
class LastGood:
    """The pages and navigation that each kit had when it last passed, by the kit's folder."""

    _kits: dict[str, tuple[dict[str, str], Nav]] = field(default_factory=dict)

    def keep(self, folder: str, site: Site) -> None:
        titles = {u: p.title for u, p in site.pages.items() if _inside(u, folder)}
        self._kits[folder] = (titles, section_of(site.nav, folder))

    def of(self, folder: str, written: Iterable[str]) -> tuple[dict[str, str], Nav]:
        """The titles by page and the navigation; of a kit that never passed, what is written."""
        if folder in self._kits:
            return self._kits[folder]
        index = f"{folder}/{HOME}" if folder else HOME
        pages = [index, *(uri for uri in written if _inside(uri, folder) and uri != index)]
        return {uri: _title(uri) for uri in pages}, [{_title(index): pages}]


def failing_site(
    site: Site,
    failed: Mapping[str, Sequence[Finding]],
    findings: Sequence[Finding],
    last: LastGood,
    written: Sequence[str],
) -> Site:
    """`site` with the pages of the failed kits put in: each shows its kit's findings.

    Where there is no home page, one is made for `findings`, so that the editor has a page.
    """
    pages = dict(site.pages)
    nav = list(site.nav)
    named = {path for _, path in leaves(nav)}
    for folder, found in failed.items():
        titles, section = last.of(folder, written)
        for uri, title in titles.items():
            pages[uri] = _page(uri, title, findings_page(title, found), found[0].place.path)
        nav += [item for item in section if not named & {path for _, path in leaves(item)}]
    if findings and HOME not in pages and HOME not in written:
        pages[HOME] = _page(HOME, "Findings", "# Findings\n", findings[0].place.path)
    return replace(site, pages=pages, nav=nav)


def findings_page(title: str, findings: Sequence[Finding]) -> str:
    """A page that shows findings and no figure of the kit; `title` is HTML text."""
    return (
        f"# {title}\n\n"
        f'<p class="kd-stopped"><strong>{escape(count_line(findings))}.</strong> '
        "No figures are shown until the kit passes. "
        "Mend the places below and save: this page comes back by itself.</p>\n\n"
        f"{findings_list(findings)}\n"
    )


def with_notice(markdown: str, findings: Sequence[Finding]) -> str:
    """The home page; while something fails, the findings stand below its title."""
    if not findings:
        return markdown
    title, text = re.fullmatch(r"(# [^\n]*\n)?(.*)", markdown, re.DOTALL).groups(default="")
    notice = (
        f'<p class="kd-stopped"><strong>{escape(count_line(findings))}.</strong> '
        "This preview is not what would be published: the build stops.</p>\n\n"
        f"{findings_list(findings)}\n\n"
    )
    return f"{title}\n{notice}{text}"


def _page(uri: str, title: str, markdown: str, source: str) -> Page:
    return Page(uri=uri, title=title, markdown=markdown, description="", source=source)


def findings_list(findings: Iterable[Finding]) -> str:
    rows = "\n".join(
        f'<li class="kd-{f.severity}"><code>{escape(str(f.place))}</code> '
        f"<strong>{f.severity} {escape(f.rule)}</strong>: "
        f"{escape(_one_line(f.message + f.see))}</li>"
        for f in findings
    )
    return f'<ul class="kd-findings">\n{rows}\n</ul>'


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _inside(uri: str, folder: str) -> bool:
    return not folder or uri.startswith(f"{folder}/")


def _title(uri: str) -> str:
    words = uri.removesuffix(".md").removesuffix("/index").rsplit("/", 1)[-1].replace("-", " ")
    return escape(words[:1].upper() + words[1:], quote=False)
