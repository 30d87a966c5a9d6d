"""Generated pages: what they hold, that model text reaches the reader letter for letter, links."""

from __future__ import annotations

import posixpath
import re
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from html.parser import HTMLParser
from pathlib import Path

import jinja2
import markdown
import pytest
from changed_kit import surveyed

from kitdocs.kit.stage import ACTIONS
from kitdocs.pages.charts import ChartCache
from kitdocs.pages.render import shipped_templates
from kitdocs.pages.site import Site, render_site
from kitdocs.rules.registry import all_rules
from kitdocs.survey import KitSurvey, Survey
from kitdocs.words.cautions import CAUTIONS
from kitdocs.words.expressions import EXPRESSIONS
from kitdocs.words.numbers import days

# IERS Conventions 2003, the period that the base kit counts time by.
SIDEREAL_YEAR = Fraction("365.256363004")

#: Texts that Markdown, its extensions, HTML or Jinja would act on (cases 1.21 to 1.25).
NASTY = (
    "#6-32 pin",
    "M2.5*6*8 pin",
    "<M2.5x6> pin",
    '1/2 pin (c) --> "q" :gear:',
    "a|b _x_ `y` pin",
    "{{ pin }} {: #pin } & &amp;",
    "1. pin",
    "- pin [p](q) ![r](s)",
    "Moon's pin -- 1st 'inner' +/- ... c/o",
)

#: What a publisher's site may use beside what the pages need.
EXTENSIONS = (
    "attr_list", "md_in_html", "tables", "admonition", "toc", "smarty",
    "pymdownx.smartsymbols", "pymdownx.superfences",
)  # fmt: skip


def link(page: str, target: str) -> str:
    path, mark, anchor = target.partition("#")
    return f"link:{path}{mark}{anchor}"


def rendered(found: Survey, cache: Path, *own: Path, link=link) -> Site:
    return render_site(found, link, [*own, shipped_templates()], ChartCache(cache / "charts"))


@pytest.fixture(scope="module")
def cache(tmp_path_factory) -> Path:
    return tmp_path_factory.mktemp("cache")


@pytest.fixture(scope="module")
def bench(tmp_path_factory) -> Survey:
    found = surveyed(tmp_path_factory.mktemp("site"))
    assert not found.kits[0].stopped, found.findings
    return found


@pytest.fixture(scope="module")
def site(bench, cache) -> Site:
    return rendered(bench, cache)


class Seen(HTMLParser):
    """Visible text, addresses and ids of a page's HTML."""

    def __init__(self, html: str):
        super().__init__()
        self.text, self.addresses, self.ids, self.tags = "", [], [], Counter()
        self.feed(html)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.tags[tag] += 1
        for name, value in attrs:
            if name in ("href", "src", "xlink:href"):
                self.addresses.append(value)
            if name == "id":
                self.ids.append(value)

    def handle_data(self, data):
        self.text += data


def seen(text: str) -> Seen:
    return Seen(markdown.markdown(text, extensions=list(EXTENSIONS)))


def nav_pages(nav) -> list[str]:
    if isinstance(nav, str):
        return [nav]
    items = nav.values() if isinstance(nav, dict) else nav
    return [page for item in items for page in nav_pages(item)]


def test_every_page_is_there_and_in_the_navigation_once(site):
    kit = ["index", "stages/drive", "stages/planets", "parts", "fasteners", "deliveries", "trains"]
    kit += ["machine", "faults", "record", "whole"]
    expected = [f"bench/{page}.md" for page in kit] + ["guide.md", "rules.md"]
    assert nav_pages(site.nav) == expected  # stages in the order of kit.yml
    assert set(site.pages) == {*expected, "index.md"}
    assert next(iter(site.nav[0].values()))[0] == "bench/index.md"  # stands for the section


def test_the_exact_fraction_and_the_periods(site):
    # Teeth of the base kit, by hand: the Earth's wheel 43 on 29, then 19 on 53. Nothing else.
    ratio = Fraction(43, 29) * Fraction(19, 53)
    for uri in ("bench/stages/planets.md", "bench/trains.md"):
        text = seen(site.pages[uri].markdown).text
        assert "43/29 × 19/53 = 817/1537" in text
        assert days(SIDEREAL_YEAR / ratio) in text
        # NASA planetary fact sheet: Mars 686.980 days.
        assert "686.98" in text.replace("\u00a0", " ")


def test_a_carried_train_is_worked_by_willis(site):
    # Fixed wheel 136, pinion 11 on the arm: seen from the arm +136/11 (Willis), 137 1/... - 1.
    text = seen(site.pages["bench/trains.md"].markdown).text
    assert "(0 − 1) × (−136/11) + 1 = 147/11" in text
    assert "147/11 − 1 = 136/11" in text
    assert days(SIDEREAL_YEAR * Fraction(11, 136)) in text


def test_a_stage_page_in_order(site):
    page = site.pages["bench/stages/drive.md"].markdown
    order = [
        "# Stage 1: Stand and drive", "Stage 1 of 2", "kd-cautions", "## What you need",
        "Fasteners of this stage", "Tools and supplies", "carries everything",
        "## Step 1: Glue the feet {: #fit-base }", "## Step 6: Fit the crank {: #crank }",
        "behind it", "kd-revision",
    ]  # fmt: skip
    at = [page.index(part) for part in order]
    assert at == sorted(at)


def test_steps_show_what_they_take(site):
    page = site.pages["bench/stages/drive.md"].markdown
    step = page[page.index("{: #make-up-earth-hub }") : page.index("{: #slide-on-earth }")]
    takes = re.findall(r'kd-count">(\d+)</span> <a href="#[a-z0-9-]+">([^<]+)<', step)
    assert takes == [("1", "hub 8"), ("1", "43-tooth wheel"), ("3", "M2.5 × 6 screws")]
    assert "PH1 screwdriver" in step  # ISO 7045 M2.5: cross recess 1
    assert "Drive the three M2.5 × 6 screws" in step


def test_a_step_shows_what_it_takes_off_and_puts_back_with_the_step_that_did_it_before(site):
    """The Moon hub was fastened in step 5 of the first stage (stages/drive.md)."""
    page = site.pages["bench/stages/planets.md"].markdown
    off, arm, back = (
        " ".join(seen(step[: step.index("</aside>")]).text.split())
        for step in page.split("## Step ")[1:4]
    )
    assert "Slackens hub 6 (stage 1, step 5) Takes off hub 6, 6 mm washer (stage 1, step 5)" in off
    assert "Puts back 6 mm washer, hub 6 (step 1) Tightens hub 6 (step 1) With" in back
    assert "Takes off" not in arm + back


def test_each_fastener_of_a_stage_is_one_row(site):
    for stage in ("drive", "planets"):
        page = site.pages[f"bench/stages/{stage}.md"].markdown
        table = page[page.index("Fasteners of this stage") : page.index("Tools and supplies")]
        rows = re.findall(r'<th scope="row"[^>]*>([^<]*)</th>', table)
        assert rows and len(rows) == len(set(rows))


def test_a_part_names_its_parcel_where_it_is_not_the_stages_own(site):
    page = site.pages["bench/stages/drive.md"].markdown
    assert "Everything is from parcel 1" in page and "From <a" not in page


@pytest.mark.parametrize("text", NASTY)
def test_the_printed_head_names_kit_stage_and_revision(tmp_path, cache, text):
    page = rendered(nasty_survey(tmp_path, text), cache).pages["bench/stages/planets.md"].markdown
    sheet = page[page.index("<style>") : page.index("</style>")]
    strings = re.findall(r'content: "([^"]*)"', sheet)  # CSS Syntax Level 3, 4.3.7: \\hex, space
    shown = [re.sub(r"\\([0-9a-f]+) ", lambda m: chr(int(m[1], 16)), s) for s in strings]
    assert shown == [text, f"Stage 2: {text}", "revision 1.0 DRAFT"]


def test_stage_counts_sum_to_the_parts_list(site):
    drive, planets = (site.pages[f"bench/stages/{s}.md"].markdown for s in ("drive", "planets"))

    def screws(page: str) -> int:
        needs = page[: page.index("## Step 1")]
        return int(re.search(r'kd-count">(\d+)</span> M2.5 × 6 screws', needs)[1])

    assert screws(drive) + screws(planets) == 6  # three holes at each of two wheels
    row = seen(site.pages["bench/fasteners.md"].markdown).text
    assert "6 + 1 spare" in row


def test_which_parcel_a_part_came_in(bench, cache, tmp_path):
    changes = [
        {"file": "deliveries.yml", "find": "M2.5 x 6: 3\n      M3 x 8: 3",
         "put": "M2.5 x 6: 5\n      M3 x 8: 3"},
        {"file": "deliveries.yml", "find": "M2.5 x 6: 3\n    spares",
         "put": "M2.5 x 6: 1\n    spares"},
    ]  # fmt: skip
    found = surveyed(tmp_path, changes)
    page = rendered(found, cache).pages["bench/stages/planets.md"].markdown
    text = " ".join(seen(page).text.split())
    assert "pan-head, steel From parcel 1 (2), parcel 2 (1)" in text


def test_sizes_are_found_by_plain_spellings(site):
    for page in ("bench/fasteners.md", "bench/parts.md"):
        html = site.pages[page].markdown
        (hidden,) = (h for h in re.findall(r"<span hidden>([^<]*)</span>", html) if "M2.5" in h)
        assert {"M2.5x6", "M2.5 x 6", "M2.5×6"} <= set(re.split(r", ?| (?=M)", hidden.strip()))


def test_every_kit_page_ends_with_revision_and_digest(site, bench):
    digest = bench.kits[0].kit.digest[:12]
    for uri, page in site.pages.items():
        if uri.startswith("bench/"):
            shown = re.sub(r"<style>.*?</style>", "", page.markdown, flags=re.DOTALL)
            last = shown.strip().splitlines()[-1]
            assert "revision 1.0" in last and f"<code>{digest}</code>" in last


def nasty_survey(folder: Path, text: str) -> Survey:
    quoted = "'" + text.replace("'", "''") + "'"
    changes = [
        {"file": "kit.yml", "find": "title: Bench Orrery", "put": f"title: {quoted}"},
        {"file": "kit.yml", "find": "maker: Invented Test Bench", "put": f"maker: {quoted}"},
        {"file": "kit.yml", "find": "summary: Earth, Mars and the Moon on a small bench stand.",
         "put": f"summary: {quoted}"},
        {"file": "kit.yml", "find": "{name: Mars,", "put": f"{{name: {quoted},"},
        {"file": "parts.yml", "find": "name: Mars pipe,",
         "put": f"name: {quoted}, mark: {quoted},"},
        {"file": "deliveries.yml", "find": "title: Mars and the Moon", "put": f"title: {quoted}"},
        {"file": "stages/planets.md", "find": "title: Mars and the Moon",
         "put": f"title: {quoted}"},
        {"file": "stages/planets.md", "find": "## Add Mars", "put": "## Add {{ item('mars') }}"},
    ]  # fmt: skip
    (kit,) = surveyed(folder, changes).kits
    # Digits in a name are claims, and such a kit is not published: the pages are made all the same.
    assert {f.rule for f in kit.findings if f.severity == "error"} <= {"word-number"}
    return Survey((KitSurvey(kit.read, kit.design, ()),), ())


@pytest.mark.parametrize("text", NASTY)
def test_visible_text_equals_model_text(tmp_path, cache, text, site):
    nasty = rendered(nasty_survey(tmp_path, text), cache)
    plain = {uri: seen(page.markdown) for uri, page in site.pages.items()}
    for uri, page in nasty.pages.items():
        shown = seen(page.markdown)
        if uri not in ("rules.md", "guide.md"):
            assert text in shown.text, uri
        assert shown.tags == plain[uri].tags, uri  # no sign became markup
    stage = seen(nasty.pages["bench/stages/planets.md"].markdown).text
    for words in (f"Stage 2: {text}", f"Step 1: Add {text}", f"Slide the {text} down",
                  f"mark: {text}", f"adds {text}, Moon", f"parcel 2, {text}"):  # fmt: skip
        assert words in stage
    title = nasty.pages["bench/stages/planets.md"].title
    assert Seen(title).text == f"2. {text}" and not Seen(title).tags


def test_step_ids_do_not_come_from_titles(tmp_path, cache):
    changes = [{"file": "stages/planets.md", "find": "## Add Mars", "put": "## 火星 {x} {#y}"}]
    page = rendered(surveyed(tmp_path, changes), cache).pages["bench/stages/planets.md"]
    shown = seen(page.markdown)
    assert "slide-on-mars" in shown.ids
    assert "Step 1: 火星 {x} {#y}" in shown.text


def test_ids_are_unique_on_each_page(site):
    for uri, page in site.pages.items():
        ids = seen(page.markdown).ids
        assert len(ids) == len(set(ids)), uri


def test_all_links_of_raw_html_go_through_the_link_function(site):
    ids = {uri: set(seen(page.markdown).ids) for uri, page in site.pages.items()}
    for uri, page in site.pages.items():
        raw = re.findall(r'(?:href|src)="([^"]*)"', page.markdown)
        assert all(a.startswith(("link:", "#kd-")) for a in raw), uri
        for address in (a for a in raw if a.startswith("link:")):
            target, _, anchor = address.removeprefix("link:").partition("#")
            assert target in site.pages
            assert not anchor or anchor in ids[target]
        words = re.sub(r"<code>.*?</code>", "", page.markdown)  # examples of rules among them
        for address in re.findall(r"\]\(([^)]*)\)", words):  # Markdown's own
            target, _, anchor = address.partition("#")
            path = posixpath.normpath(posixpath.join(posixpath.dirname(uri), target))
            assert (path if target else uri) in site.pages


#: What loads something or runs; data for a script of the site is neither.
_LOADS = r'<(script(?! type="application/json">)|iframe|link|img)\b|foreignObject|@import'


def test_nothing_leads_out_of_the_site(site):
    for uri, page in site.pages.items():
        assert "://" not in page.markdown, uri
        assert not re.search(_LOADS, page.markdown)
    css = site.assets["assets/kitdocs.css"].decode()
    assert "url(" not in css and "@import" not in css


def test_the_same_kit_gives_the_same_bytes(bench, tmp_path, site):
    again = rendered(bench, tmp_path)  # an empty cache: every chart is drawn again
    assert again.pages == site.pages
    assert again.assets == site.assets and again.nav == site.nav


def test_no_page_knows_the_machine_that_built_it(site, tmp_path_factory):
    base = str(tmp_path_factory.getbasetemp())
    assert not any(base in page.markdown + page.source for page in site.pages.values())


def test_tables_name_their_columns_and_themselves(site):
    for uri, page in site.pages.items():
        for table in re.findall(r"<table.*?</table>", page.markdown, re.DOTALL):
            assert "<caption>" in table, uri
            assert "<th>" not in table, uri  # each has a scope


def test_pictures_have_a_name_and_a_description(site):
    for page in site.pages.values():
        for svg in re.findall(r"<svg.*?</svg>", page.markdown, re.DOTALL):
            assert 'role="img"' in svg and "<title id=" in svg
            for name in re.search(r'aria-labelledby="([^"]*)"', svg)[1].split():
                assert f'id="{name}"' in svg


def test_a_kit_with_errors_has_no_page(tmp_path, cache):
    changes = [{"file": "parts.yml", "find": "teeth: 53", "put": "teeth: 54"}]
    found = surveyed(tmp_path, changes)
    assert set(rendered(found, cache).pages) == {"index.md", "guide.md", "rules.md"}


def test_a_site_that_is_one_kit_has_the_kit_for_its_home(tmp_path, cache, bench):
    kit = bench.kits[0].kit
    stages = tuple(replace(s, uri=s.uri.removeprefix("bench/")) for s in kit.stages)
    whole = replace(kit, folder="", stages=stages)
    design = type(bench.kits[0].design)(whole)
    alone = replace(bench, kits=(replace(bench.kits[0], design=design),))
    made = rendered(alone, cache)
    assert "Begin with stage" in made.pages["index.md"].markdown


def test_the_publishers_template_comes_first(bench, cache, tmp_path):
    own = tmp_path / "pages"
    own.mkdir()
    (own / "deliveries.md.j2").write_text("# Our parcels\n", encoding="utf-8")
    made = rendered(bench, cache, tmp_path)
    assert made.pages["bench/deliveries.md"].markdown == "# Our parcels\n"
    (own / "deliveries.md.j2").write_text("{{ no_such_name }}\n", encoding="utf-8")
    with pytest.raises(jinja2.UndefinedError):
        rendered(bench, cache, tmp_path)
    (own / "deliveries.md.j2").write_text("{{ ''.__class__.__mro__ }}\n", encoding="utf-8")
    with pytest.raises(jinja2.TemplateError):
        rendered(bench, cache, tmp_path)


def test_the_rule_reference_and_the_guide_are_whole(site):
    rules, guide = (seen(site.pages[uri].markdown) for uri in ("rules.md", "guide.md"))
    for rule in all_rules():
        assert rule.id in rules.ids
        for text in (rule.demand, rule.formula, rule.source, rule.example):
            assert text.replace("`", "") in rules.text  # code is marked as such
    for form in EXPRESSIONS:
        assert f"{{{{ {form} }}}}" in guide.text
    for verb in ACTIONS:
        assert verb in guide.text


def test_cautions_come_from_parts_supplies_and_the_kit(site):
    drive, planets = (site.pages[f"bench/stages/{s}.md"].markdown for s in ("drive", "planets"))
    for hazard in ("adhesive", "oil", "small-parts"):
        assert CAUTIONS[hazard].title in drive[: drive.index("## Step 1")]
    assert CAUTIONS["oil"].text not in planets  # nothing is oiled there


def test_every_hazard_has_its_caution():
    assert len(CAUTIONS) == 10  # the kinds that design and rules name (caution-before)
    for hazard in ("adhesive", "solvent", "hot-lamp"):
        assert "maker's data sheet" in CAUTIONS[hazard].text
    assert "licensed electrician" in CAUTIONS["mains"].text
