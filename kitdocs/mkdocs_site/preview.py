"""What the preview shows of a kit that fails: its findings in place of stale numbers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from html import escape

from kitdocs.finding import Finding, count_line
from kitdocs.mkdocs_site.nav import Nav, leaves, section_of
from kitdocs.pages.site import Page, Site


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
        index = f"{folder}/index.md" if folder else "index.md"
        pages = [index, *(uri for uri in written if _inside(uri, folder) and uri != index)]
        return {uri: _title(uri, folder) for uri in pages}, [{_title(index, folder): pages}]


def failing_site(site: Site, failed: dict[str, Sequence[Finding]], last: LastGood,
                 written: Sequence[str]) -> Site:  # fmt: skip
    """`site` with the pages of the failed kits put in: each shows its kit's findings."""
    pages = dict(site.pages)
    nav = list(site.nav)
    named = {path for _, path in leaves(nav)}
    for folder, findings in failed.items():
        titles, section = last.of(folder, written)
        for uri, title in titles.items():
            source = findings[0].place.path
            text = findings_page(title, findings)
            pages[uri] = Page(uri=uri, title=title, markdown=text, description="", source=source)
        nav += [item for item in section if not named & {path for _, path in leaves(item)}]
    return Site(pages=pages, assets=site.assets, nav=nav)


def findings_page(title: str, findings: Sequence[Finding]) -> str:
    """A page that shows findings and no figure of the kit."""
    return (
        f"# {escape(title)}\n\n"
        f'<p class="kd-stopped"><strong>{escape(count_line(findings))}.</strong> '
        "No figures are shown until the kit passes. "
        "Mend the places below and save: this page comes back by itself.</p>\n\n"
        f"{findings_list(findings)}\n"
    )


def notice(failed: dict[str, Sequence[Finding]]) -> str:
    """The words that stand first on the home page while something fails."""
    findings = list(dict.fromkeys(f for found in failed.values() for f in found))
    return (
        f'<p class="kd-stopped"><strong>{escape(count_line(findings))}.</strong> '
        "This preview is not what would be published: the build stops.</p>\n\n"
        f"{findings_list(findings)}\n\n"
    )


def findings_list(findings: Iterable[Finding]) -> str:
    rows = "\n".join(
        f'<li class="kd-{f.severity}"><code>{escape(str(f.place))}</code> '
        f"<strong>{f.severity} {escape(f.rule)}</strong>: {escape(' '.join(f.message.split()))}</li>"
        for f in findings
    )
    return f'<ul class="kd-findings">\n{rows}\n</ul>'


def _inside(uri: str, folder: str) -> bool:
    return not folder or uri.startswith(f"{folder}/")


def _title(uri: str, folder: str) -> str:
    words = uri.removesuffix(".md").removesuffix("/index").rsplit("/", 1)[-1].replace("-", " ")
    return words[:1].upper() + words[1:]
