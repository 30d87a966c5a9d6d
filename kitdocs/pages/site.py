"""All generated pages of a site: kits in, Markdown out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from html import escape, unescape
from pathlib import Path
from typing import Any

from kitdocs.finding import Finding, Place
from kitdocs.kit.signing import signature
from kitdocs.kit.stage import ACTIONS
from kitdocs.pages.charts import ChartCache
from kitdocs.pages.fastener_view import fastener_kinds
from kitdocs.pages.handbook import Handbook, Ref
from kitdocs.pages.kit_view import KIT_PAGES, KitView, kit_view
from kitdocs.pages.parts_view import parts_view
from kitdocs.pages.plan_drawing import Plan, plan_view
from kitdocs.pages.record_view import record_view
from kitdocs.pages.render import Link, Renderer
from kitdocs.pages.section_drawing import SectionView, section_view
from kitdocs.pages.stage_view import stage_view
from kitdocs.pages.trains_view import drifts, period_chart, train_view
from kitdocs.rules.registry import all_rules
from kitdocs.rules.rule import GROUPS
from kitdocs.survey import Survey
from kitdocs.words.expressions import EXPRESSIONS, Prose

Nav = list[Any]


@dataclass(frozen=True)
class MachineView:
    """The drawings of the whole machine."""

    section: SectionView
    plan: Plan | None


@dataclass(frozen=True)
class Page:
    """A generated page. `title` is HTML text, escaped; `source` is the path of the file that it
    comes from, relative to the site, and empty where there is none such."""

    uri: str
    title: str
    markdown: str
    description: str
    source: str


@dataclass(frozen=True)
class Site:
    """Pages and assets by their path from the content folder; `nav` is a list of one-key
    mappings from a title (HTML text) to a path or to such a list."""

    pages: Mapping[str, Page]
    assets: Mapping[str, str | bytes]
    nav: Nav


def render_site(survey: Survey, link: Link, templates: Iterable[Path], charts: ChartCache) -> Site:
    """The pages of every kit without errors, and those of the site as a whole.

    `link(page, target)` gives the address from one page to another for raw HTML; `templates` are
    the folders of templates, the publisher's first. Raises `jinja2.TemplateError`.
    """
    renderer = Renderer(templates, link, charts)
    books = [
        (Handbook(kit.design), kit.findings)
        for kit in survey.kits
        if kit.design is not None and not kit.stopped
    ]
    pages: dict[str, Page] = {}
    nav: Nav = []
    overviews: list[tuple[KitView, Ref]] = []
    for book, findings in books:
        overview = kit_view(book)
        made = list(_kit_pages(book, overview, findings, renderer))
        pages |= {page.uri: page for page in made}
        overviews.append((overview, Ref(overview.title, book.uri("index.md"))))
        nav.append({escape(overview.title, quote=False): _kit_nav(book, made)})
    for page in _site_pages(overviews, renderer):
        pages.setdefault(page.uri, page)  # the home page of a site that is one kit is the kit's
    nav += [{pages[uri].title: uri} for uri in ("guide.md", "rules.md")]
    return Site(pages, renderer.assets(), nav)


def _kit_pages(
    book: Handbook, overview: KitView, findings: Iterable[Finding], renderer: Renderer
) -> Iterator[Page]:
    kit, prose = book.kit, Prose(book.design)
    about = kit.about
    draft = "" if (state := signature(kit)) == "signed" else state
    whole = MachineView(section_view(book), plan_view(book))

    def page(uri: str, template: str, title: str, about_it: str, place: Place, **views) -> Page:
        views |= {"kit": kit.about, "book": book, "digest": kit.digest, "draft": draft}
        text = renderer.page(uri, template, **views)
        return Page(uri, escape(title, quote=False), text, about_it, place.path)

    summary = about.summary
    yield page(book.uri("index.md"), "kit", about.title, summary, about.place(), overview=overview)
    for stage in kit.stages:
        title = f"{stage.number}. {stage.title}"
        told = stage.front.summary or f"{about.title}, stage {stage.number}: {stage.title}."
        view = stage_view(book, stage, prose)
        yield page(stage.uri, "stage", title, told, stage.place, stage=view)
    parts = next(iter(kit.parts.values()), None)
    parts_place = parts.place() if parts else about.place()
    deliveries = next(iter(kit.deliveries.values()), None)
    order = [book.design.trains[body] for body in kit.bodies if body in book.design.trains]
    trains = {
        "trains": [train_view(book, train) for train in order],
        "period_chart": period_chart(book, order, f"{book.prefix}-period") if order else None,
        "drifts": drifts(book, order, f"{book.prefix}-drift"),
        "plan": whole.plan,
    }
    views: dict[str, tuple[Place, dict[str, Any]]] = {
        "parts.md": (parts_place, {"parts": parts_view(book)}),
        "fasteners.md": (parts_place, {"fasteners": fastener_kinds(book)}),
        "deliveries.md": (
            deliveries.place() if deliveries else about.place(),
            {"parcels": overview.parcels},
        ),
        "trains.md": (kit.mechanism.place(), trains),
        "machine.md": (kit.mechanism.place(), {"machine": whole}),
        "record.md": (about.place(), {"record": record_view(book, findings)}),
    }
    for name, (place, given) in views.items():
        title = KIT_PAGES[name]
        told = f"{title} of the {about.title}."
        yield page(book.uri(name), name.removesuffix(".md"), title, told, place, **given)
    for own in kit.pages:
        words = prose.text(own.text, uri=own.uri)[0]
        yield page(own.uri, "written", _title(words, own.uri), "", own.text.place, words=words)


def _title(markdown: str, uri: str) -> str:
    """The title of a page written by hand: its first heading, or else its file's name."""
    first = next((line for line in markdown.splitlines() if line.startswith("# ")), "")
    return unescape(first.removeprefix("# ")).strip() or uri.rsplit("/", 1)[-1].removesuffix(".md")


def _kit_nav(book: Handbook, pages: Iterable[Page]) -> Nav:
    """The kit's section: its overview, which stands for the section, stages, then the rest."""
    index = book.uri("index.md")
    return [index, *({page.title: page.uri} for page in pages if page.uri != index)]


def _site_pages(overviews: list[tuple[KitView, Ref]], renderer: Renderer) -> Iterator[Page]:
    yield Page(
        "index.md", "Home", renderer.page("index.md", "home", overviews=overviews), "", ""
    )
    groups = {group: [r for r in all_rules() if r.group == group] for group in GROUPS}
    rules = renderer.page("rules.md", "rules", groups=groups)
    yield Page("rules.md", "Rules", rules, "Everything that is checked before a page is made.", "")
    guide = renderer.page("guide.md", "guide", actions=ACTIONS, expressions=EXPRESSIONS)
    told = "The actions of a step, and the expressions in its words."
    yield Page("guide.md", "For editors", guide, told, "")
