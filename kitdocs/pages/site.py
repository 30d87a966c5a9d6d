"""All generated pages of a site: kits in, Markdown out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from html import escape, unescape
from pathlib import Path
from typing import Any

from kitdocs.finding import Finding, Place
from kitdocs.kit.model import Kit
from kitdocs.kit.model import Page as OwnPage
from kitdocs.kit.signing import signature
from kitdocs.kit.stage import ACTIONS, Stage
from kitdocs.pages.bench_view import Marks, bench_view, step_mark
from kitdocs.pages.charts import ChartCache
from kitdocs.pages.choices_view import choices_view
from kitdocs.pages.errata_view import errata_view
from kitdocs.pages.fastener_view import fastener_kinds
from kitdocs.pages.fault_view import faults_view
from kitdocs.pages.handbook import Handbook, Ref
from kitdocs.pages.kept import Kept, facts_of
from kitdocs.pages.kit_view import KIT_PAGES, KitView, kit_pages, kit_view
from kitdocs.pages.offline_view import OfflineView, offline_view
from kitdocs.pages.parts_view import parts_view
from kitdocs.pages.plan_drawing import Plan, plan_view
from kitdocs.pages.record_view import record_view
from kitdocs.pages.render import Link, Renderer
from kitdocs.pages.section_drawing import SectionView, section_view
from kitdocs.pages.setting_view import YEARS, setting_view
from kitdocs.pages.sky_cache import SkyCache
from kitdocs.pages.stage_view import stage_view
from kitdocs.pages.stage_words import stage_words
from kitdocs.pages.trains_view import drifts, period_chart, train_view
from kitdocs.pages.video_view import caption_assets
from kitdocs.pages.whole_kit_view import whole_kit_view
from kitdocs.rules.registry import all_rules
from kitdocs.rules.rule import GROUPS
from kitdocs.survey import Survey
from kitdocs.words.audit.auditor import given_on
from kitdocs.words.expressions import EXPRESSIONS, Prose
from kitdocs.words.language import ENGLISH, Language

Nav = list[Any]


@dataclass(frozen=True)
class MachineView:
    """The drawings of the whole machine."""

    section: SectionView
    plan: Plan | None


@dataclass(frozen=True)
class Page:
    """A generated page. `title` is HTML text, escaped; `source` is the path of the file that it
    comes from, relative to the site, and empty where there is none such. `language` is that of
    its words."""

    uri: str
    title: str
    markdown: str
    description: str
    source: str
    language: str = "en"


@dataclass(frozen=True)
class Site:
    """Pages and assets by their path from the content folder; `nav` is a list of one-key
    mappings from a title (HTML text) to a path or to such a list. `offline` is for a site that is
    kept on its readers' devices."""

    pages: Mapping[str, Page]
    assets: Mapping[str, str | bytes]
    nav: Nav
    offline: OfflineView | None = None


def render_site(
    survey: Survey,
    link: Link,
    templates: Iterable[Path],
    charts: ChartCache,
    kept: Kept | None = None,
    language: str | None = None,
) -> Site:
    """The pages of every kit without errors, and those of the site as a whole.

    They are in `language`; a kit that does not have it keeps to its first one, as all do where
    none is given.

    `link(page, target)` gives the address from one page to another for raw HTML; `templates` are
    the folders of templates, the publisher's first. `kept` are the pages of an earlier rendering
    with the same of both. Raises `jinja2.TemplateError`.
    """
    kept, templates = kept or Kept(), tuple(templates)
    wanted = Language(language or _first_language(survey))
    renderers: dict[str, Renderer] = {}

    def renderer_in(spoken: Language) -> Renderer:
        if spoken.code not in renderers:
            renderers[spoken.code] = Renderer(templates, link, charts, spoken)
        return renderers[spoken.code]

    sky = SkyCache(charts.folder.with_name("sky"))
    pages: dict[str, Page] = {}
    captions: dict[str, str] = {}
    nav: Nav = []
    overviews: list[tuple[KitView, Ref]] = []
    for found in survey.kits:
        if found.design is None or found.stopped:
            continue
        book = Handbook(found.design, _language_of(found.design.kit, language))
        facts, renderer = facts_of(found.read, book.kit), renderer_in(book.language)
        marks = _marks(book, facts, kept)
        told = (facts, marks)
        overview = kept.of((found.read.folder, "overview"), told, partial(kit_view, book, marks))
        made = [
            kept.of(page.uri, (facts, page.source), page.make)
            for page in _kit_pages(book, overview, marks, found.findings, renderer, sky)
        ]
        pages |= {page.uri: page for page in made}
        captions |= caption_assets(book.kit)
        overviews.append((overview, Ref(overview.title, book.uri("index.md"))))
        nav.append({escape(overview.title, quote=False): _kit_nav(book, made)})
    renderer = renderer_in(wanted)
    for page in _site_pages(overviews, renderer, renderer_in(ENGLISH), kept, wanted):
        pages.setdefault(page.uri, page)  # the home page of a site that is one kit is the kit's
    nav += [{pages[uri].title: uri} for uri in ("guide.md", "rules.md")]
    offline = offline_view([overview for overview, _ in overviews], renderer, wanted)
    return Site(pages, {**renderer.assets(), **captions}, nav, offline)


def _first_language(survey: Survey) -> str:
    """The language of the site's own pages where none is asked for: that of its first kit."""
    return next((found.kit.languages[0] for found in survey.kits if found.kit), "en")


def _language_of(kit: Kit, language: str | None) -> Language:
    return Language(language if language in kit.languages and language else kit.languages[0])


def _marks(book: Handbook, facts: object, kept: Kept) -> Marks:
    """The mark of every step, made again only where its own words or the kit's facts changed."""
    prose = Prose(book.design)
    return {
        stage.id: {
            step.id: kept.of(
                (stage.uri, step.id),
                (facts, step.title.text, step.words.text),
                partial(step_mark, book.design, prose, stage, step),
            )
            for step in stage.steps
        }
        for stage in book.kit.stages
    }


@dataclass(frozen=True)
class _Planned:
    """A page of a kit, made when it is wanted. `source` is what it comes from beside the facts
    of its kit; a view that shows anything else of the kit's words belongs into it."""

    uri: str
    make: Callable[[], Page]
    source: object = None


def _kit_pages(
    book: Handbook,
    overview: KitView,
    marks: Marks,
    findings: Sequence[Finding],
    renderer: Renderer,
    sky: SkyCache,
) -> Iterator[_Planned]:
    kit, names, text = book.kit, book.names, book.text
    about = kit.about
    draft = "" if (state := signature(kit)) == "signed" else state

    def page(uri: str, template: str, title: str, told: str, place: Place, **views: Any) -> Page:
        views |= {"kit": kit.about, "book": book, "digest": kit.digest, "draft": draft}
        every = "" if template == "record" else uri
        views["given"] = given_on(book.design, every, book.language.code)
        made = renderer.page(uri, template, **views)
        code = book.language.code
        return Page(uri, escape(title, quote=False), made, told, place.path, code)

    def index() -> Page:
        uri, place = book.uri("index.md"), about.place()
        return page(uri, "kit", names.title, names.summary, place, overview=overview)

    def stage_page(stage: Stage) -> Page:
        title = f"{stage.number}. {names.stage(stage)}"
        told = names.stage_summary(stage) or text(
            "%(kit)s, stage %(number)s: %(title)s.",
            kit=names.title,
            number=stage.number,
            title=names.stage(stage),
        )
        view = stage_view(book, stage, stage_words(book, stage))
        bench = bench_view(book, stage, marks)
        return page(stage.uri, "stage", title, told, stage.place, stage=view, bench=bench)

    def whole_kit(name: str) -> Page:
        place, given = views[name]
        title = text(KIT_PAGES[name])
        told = text("%(page)s of the %(kit)s.", page=title, kit=names.title)
        return page(book.uri(name), name.removesuffix(".md"), title, told, place, **given())

    def own_page(own: OwnPage) -> Page:
        made = kit.translation(own.uri, book.language.code)
        passage = made.words if made else own.text
        first = book.language.code == kit.languages[0]
        prose = Prose(book.design, names if made or first else None)
        words = prose.text(passage, uri=own.uri)[0]
        title = (made.front.title if made else None) or _title(words, own.uri)
        lang = "" if made or first else kit.languages[0]
        return page(own.uri, "written", title, "", passage.place, words=words, lang=lang)

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
        "setting.md": (
            about.place("setting"),
            lambda: {"setting": setting_view(book, about.setting, sky), "years": YEARS},
        ),
        "errata.md": (about.place(), lambda: {"errata": errata_view(book)}),
        "faults.md": (machine, lambda: {"faults": faults_view(book)}),
        "record.md": (about.place(), lambda: {"record": record_view(book, findings)}),
        "whole.md": (about.place(), lambda: {"whole": whole_kit_view(book, overview)}),
    }
    yield _Planned(book.uri("index.md"), index, marks)
    for stage in kit.stages:
        words = (stage.words.text, [(step.title.text, step.words.text) for step in stage.steps])
        slots = [use.procedure.slots for use in stage.uses]
        made = kit.translation(stage.uri, book.language.code)
        shown = (words, slots, made, stage.front.video)
        yield _Planned(stage.uri, partial(stage_page, stage), shown)
    for name in kit_pages(kit):
        told = name == "record.md" and (findings, given_on(book.design, "", book.language.code))
        yield _Planned(book.uri(name), partial(whole_kit, name), told)
    for own in kit.pages:
        made = kit.translation(own.uri, book.language.code)
        yield _Planned(own.uri, partial(own_page, own), (own.text.text, made))


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
    overviews: list[tuple[KitView, Ref]],
    renderer: Renderer,
    english: Renderer,
    kept: Kept,
    language: Language,
) -> Iterator[Page]:
    """The pages of the site as a whole. Those for editors are in English, as findings are."""
    text = language.text

    def home() -> Page:
        made = renderer.page("index.md", "home", overviews=overviews)
        return Page("index.md", text("Home"), made, "", "", language.code)

    def page(name: str, title: str, told: str, **views: Any) -> Page:
        uri = f"{name}.md"
        return Page(uri, title, english.page(uri, name, **views), told, "", ENGLISH.code)

    groups = {group: [r for r in all_rules() if r.group == group] for group in GROUPS}
    checked = text("Everything that is checked before a page is made.")
    told = text("The actions of a step, and the expressions in its words.")
    given = {"actions": ACTIONS, "expressions": EXPRESSIONS}
    yield kept.of("home", overviews, home)
    yield kept.of("rules", None, lambda: page("rules", text("Rules"), checked, groups=groups))
    yield kept.of("guide", None, lambda: page("guide", text("For editors"), told, **given))
