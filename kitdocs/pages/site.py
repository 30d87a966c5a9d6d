"""All generated pages of a site: kits in, Markdown out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from html import escape, unescape
from pathlib import Path
from typing import Any

from kitdocs.finding import Finding, Place
from kitdocs.kit.model import Page as OwnPage
from kitdocs.kit.signing import signature
from kitdocs.kit.stage import ACTIONS, Stage
from kitdocs.pages.charts import ChartCache
from kitdocs.pages.choices_view import choices_view
from kitdocs.pages.fastener_view import fastener_kinds
from kitdocs.pages.handbook import Handbook, Ref
from kitdocs.pages.kept import Kept, facts_of
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


def render_site(
    survey: Survey,
    link: Link,
    templates: Iterable[Path],
    charts: ChartCache,
    kept: Kept | None = None,
) -> Site:
    """The pages of every kit without errors, and those of the site as a whole.

    `link(page, target)` gives the address from one page to another for raw HTML; `templates` are
    the folders of templates, the publisher's first. `kept` are the pages of an earlier rendering
    with the same of both. Raises `jinja2.TemplateError`.
    """
    renderer, kept = Renderer(templates, link, charts), kept or Kept()
    pages: dict[str, Page] = {}
    nav: Nav = []
    overviews: list[tuple[KitView, Ref]] = []
    for found in survey.kits:
        if found.design is None or found.stopped:
            continue
        book, facts = Handbook(found.design), facts_of(found.read, found.design.kit)
        overview = kept.of((found.read.folder, "overview"), facts, partial(kit_view, book))
        made = [
            kept.of(page.uri, (facts, page.source), page.make)
            for page in _kit_pages(book, overview, found.findings, renderer)
        ]
        pages |= {page.uri: page for page in made}
        overviews.append((overview, Ref(overview.title, book.uri("index.md"))))
        nav.append({escape(overview.title, quote=False): _kit_nav(book, made)})
    for page in _site_pages(overviews, renderer, kept):
        pages.setdefault(page.uri, page)  # the home page of a site that is one kit is the kit's
    nav += [{pages[uri].title: uri} for uri in ("guide.md", "rules.md")]
    return Site(pages, renderer.assets(), nav)


@dataclass(frozen=True)
class _Planned:
    """A page of a kit, made when it is wanted. `source` is what it comes from beside the facts
    of its kit; a view that shows anything else of the kit's words belongs into it."""

    uri: str
    make: Callable[[], Page]
    source: object = None


def _kit_pages(
    book: Handbook, overview: KitView, findings: Sequence[Finding], renderer: Renderer
) -> Iterator[_Planned]:
    kit, prose = book.kit, Prose(book.design)
    about = kit.about
    draft = "" if (state := signature(kit)) == "signed" else state

    def page(uri: str, template: str, title: str, told: str, place: Place, **views: Any) -> Page:
        views |= {"kit": kit.about, "book": book, "digest": kit.digest, "draft": draft}
        text = renderer.page(uri, template, **views)
        return Page(uri, escape(title, quote=False), text, told, place.path)

    def index() -> Page:
        uri, place = book.uri("index.md"), about.place()
        return page(uri, "kit", about.title, about.summary, place, overview=overview)

    def stage_page(stage: Stage) -> Page:
        title = f"{stage.number}. {stage.title}"
        told = stage.front.summary or f"{about.title}, stage {stage.number}: {stage.title}."
        view = stage_view(book, stage, prose)
        return page(stage.uri, "stage", title, told, stage.place, stage=view)

    def whole_kit(name: str) -> Page:
        place, given = views[name]
        title = KIT_PAGES[name]
        told = f"{title} of the {about.title}."
        return page(book.uri(name), name.removesuffix(".md"), title, told, place, **given())

    def own_page(own: OwnPage) -> Page:
        words = prose.text(own.text, uri=own.uri)[0]
        return page(own.uri, "written", _title(words, own.uri), "", own.text.place, words=words)

    parts = next(iter(kit.parts.values()), None)
    parts_place = parts.place() if parts else about.place()
    deliveries = next(iter(kit.deliveries.values()), None)
    machine = kit.mechanism.place()
    views: dict[str, tuple[Place, Callable[[], dict[str, Any]]]] = {
        "parts.md": (parts_place, lambda: {"parts": parts_view(book)}),
        "fasteners.md": (parts_place, lambda: {"fasteners": fastener_kinds(book)}),
        "deliveries.md": (
            deliveries.place() if deliveries else about.place(),
            lambda: {"parcels": overview.parcels},
        ),
        "trains.md": (machine, lambda: _trains(book)),
        "machine.md": (
            machine,
            lambda: {"machine": MachineView(section_view(book), plan_view(book))},
        ),
        "record.md": (about.place(), lambda: {"record": record_view(book, findings)}),
    }
    yield _Planned(book.uri("index.md"), index)
    for stage in kit.stages:
        words = (stage.words.text, [(step.title.text, step.words.text) for step in stage.steps])
        yield _Planned(stage.uri, partial(stage_page, stage), words)
    for name in views:
        yield _Planned(book.uri(name), partial(whole_kit, name), name == "record.md" and findings)
    for own in kit.pages:
        yield _Planned(own.uri, partial(own_page, own), own.text.text)


def _trains(book: Handbook) -> dict[str, Any]:
    """What the page of trains shows."""
    design = book.design
    order = [design.trains[body] for body in book.kit.bodies if body in design.trains]
    return {
        "trains": [train_view(book, train) for train in order],
        "better": {train.body: choices_view(book, train) for train in order},
        "period_chart": period_chart(book, order, f"{book.prefix}-period") if order else None,
        "drifts": drifts(book, order, f"{book.prefix}-drift"),
        "plan": plan_view(book),
    }


def _title(markdown: str, uri: str) -> str:
    """The title of a page written by hand: its first heading, or else its file's name."""
    first = next((line for line in markdown.splitlines() if line.startswith("# ")), "")
    return unescape(first.removeprefix("# ")).strip() or uri.rsplit("/", 1)[-1].removesuffix(".md")


def _kit_nav(book: Handbook, pages: Iterable[Page]) -> Nav:
    """The kit's section: its overview, which stands for the section, stages, then the rest."""
    index = book.uri("index.md")
    return [index, *({page.title: page.uri} for page in pages if page.uri != index)]


def _site_pages(
    overviews: list[tuple[KitView, Ref]], renderer: Renderer, kept: Kept
) -> Iterator[Page]:
    def page(name: str, title: str, told: str, **views: Any) -> Page:
        uri = "index.md" if name == "home" else f"{name}.md"
        return Page(uri, title, renderer.page(uri, name, **views), told, "")

    groups = {group: [r for r in all_rules() if r.group == group] for group in GROUPS}
    checked = "Everything that is checked before a page is made."
    told = "The actions of a step, and the expressions in its words."
    given = {"actions": ACTIONS, "expressions": EXPRESSIONS}
    yield kept.of("home", overviews, lambda: page("home", "Home", "", overviews=overviews))
    yield kept.of("rules", None, lambda: page("rules", "Rules", checked, groups=groups))
    yield kept.of("guide", None, lambda: page("guide", "For editors", told, **given))
