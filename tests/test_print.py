"""Every kind of page on paper: what Chromium prints of it on A4 and on Letter.

Sheets are 210 × 297 mm (ISO 216) and 216 × 279 mm (8½ × 11 in, ANSI/ASME Y14.1); a point of a PDF
is 1/72 inch (ISO 32000-1, 8.3.2.3). Poppler's tools read the PDF.
"""

from __future__ import annotations

import functools
import os
import re
import shutil
import subprocess
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from demo_site import PAGES, REPO, built_demo, chromium, needs_browser, served
from playwright.sync_api import Page

from kitdocs.survey import survey

pytestmark = [
    needs_browser,
    pytest.mark.skipif(
        shutil.which("pdftotext") is None and os.environ.get("KITDOCS_BROWSER") != "required",
        reason="no Poppler on this machine",
    ),
]

KINDS = {kind: uri for kind, uri in PAGES.items() if kind != "not found"}
OF_A_KIT = {kind: uri for kind, uri in KINDS.items() if uri.count("/") and "guide" not in uri
            and "rules" not in uri}  # fmt: skip
STAGES = ("stage", "German", "whole kit")  # what steps stand on
SHEETS = {"A4": (210, 297), "Letter": (216, 279)}
MARGIN = 15  # mm at each side, as the style sheet has it
PX, POINT = 25.4 / 96, 25.4 / 72  # mm

#: Elements that are there to be operated, or lead about the site: of no use on paper.
OPERATED = """() => [...document.querySelectorAll(
  'nav, button, input, select, textarea, video, progress, header, footer, .kd-go, .md-skip, ' +
  '.kd-links, .headerlink')]
  .filter((e) => e.checkVisibility({visibilityProperty: true}) && e.getClientRects().length)
  .map((e) => e.outerHTML.slice(0, 120))"""
#: What the theme's navigation says, in the page's language.
LEADING = """() => [...document.querySelectorAll(
  '.md-skip, .md-top, .md-footer__direction, .md-nav--secondary > .md-nav__title, .md-copyright')]
  .map((e) => e.textContent).filter((text) => text.trim())"""
#: The texts of each step: its title, lines, and the list of its drawing.
STEPS = """() => [...document.querySelectorAll('.kd-step')].map((step) =>
  [step.querySelector('h2, h3'), ...step.querySelectorAll(':scope > p, li, figcaption p')]
  .map((e) => { const copy = e.cloneNode(true);
    copy.querySelectorAll('.headerlink, [hidden], .kd-changed').forEach((x) => x.remove());
    return copy.textContent; }))"""
#: Names in each drawing, and the sentence below it.
FIGURES = """() => [...document.querySelectorAll('figure:has(> figcaption)')]
  .filter((f) => !f.closest('.kd-step') && f.checkVisibility())
  .map((f) => [...f.querySelectorAll(':scope > svg text.kd-place, figcaption')]
    .filter((e) => e.checkVisibility()).map((e) => e.textContent))"""
#: Elements that stand out of the sheet to the right.
CUT_OFF = """() => [...document.querySelectorAll('article *')]
  .filter((e) => e.checkVisibility() && !e.closest('svg *, .kd-spoken'))
  .filter((e) => e.getBoundingClientRect().right > innerWidth + 1)
  .map((e) => e.outerHTML.slice(0, 120))"""
#: The luminance (WCAG 2.2) of every text and of every ground.
SHADES = """() => {
  const shade = (colour) => {
    const [r, g, b, a = 1] = colour.match(/[\\d.]+/g).map(Number);
    const [x, y, z] = [r, g, b].map((c) => c / 255)
      .map((s) => s <= 0.04045 ? s / 12.92 : ((s + 0.055) / 1.055) ** 2.4);
    return a < 0.1 ? null : 0.2126 * x + 0.7152 * y + 0.0722 * z; };
  const shown = [document.documentElement, document.body,
    ...document.querySelectorAll('article, article *')].filter((e) => e.checkVisibility());
  const said = shown.filter((e) =>
    [...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim()));
  const style = (e) => getComputedStyle(e);
  return {
    grounds: shown.map((e) => shade(style(e).backgroundColor)).filter((s) => s !== null),
    inks: said.filter((e) => !(e instanceof SVGElement)).map((e) => shade(style(e).color)),
    drawn: said.filter((e) => e.matches('svg text')).map((e) => shade(style(e).fill)),
  }; }"""

#: What is looked at on each page, in the media of paper.
LOOKED_AT = {
    "operated": OPERATED,
    "leading": LEADING,
    "steps": STEPS,
    "figures": FIGURES,
    "cut off": CUT_OFF,
    "shades": SHADES,
    "scheme": "() => document.body.dataset.mdColorScheme",
    "tallies": """() => [...document.querySelectorAll('.kd-tally:has(td.kd-number)')].map((table) =>
      [table.tHead.textContent, ...[...table.tBodies[0].rows].map(
        (row) => row.cells[0].textContent + (row.cells[1]?.firstChild?.textContent ?? ""))])""",
}


@dataclass(frozen=True)
class Paper:
    """A page as printed: the PDF, the text of each sheet, and what the page was like."""

    pdf: Path
    sheets: tuple[str, ...]
    page: dict[str, Any]

    @property
    def heads(self) -> list[str]:
        return [sheet.splitlines()[0] for sheet in self.sheets]


Printed = Callable[[str, str], Paper]


def read(tool: str, *arguments: str | Path) -> bytes:
    """What one of the tools of Poppler reads in a PDF."""
    return subprocess.run([tool, *arguments], check=True, capture_output=True).stdout


def paper(page: Page, sheet: str, pdf: Path) -> Paper:
    found = {name: page.evaluate(script) for name, script in LOOKED_AT.items()}
    page.pdf(path=pdf, format=sheet, print_background=False)
    text = read("pdftotext", "-raw", "-enc", "UTF-8", pdf, "-").decode()
    return Paper(pdf, tuple(text.removesuffix("\f").split("\f")), found)


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    with served(built_demo()) as found:
        yield found


@pytest.fixture(scope="module")
def page() -> Iterator[Page]:
    """A page for a reader of dark pages."""
    with chromium() as browser:
        yield browser.new_page(color_scheme="dark", service_workers="block")


@pytest.fixture(scope="module")
def printed(page: Page, address: str, tmp_path_factory) -> Printed:
    """Prints a kind of page, once; it is looked at as wide as a sheet is between its margins."""
    folder = tmp_path_factory.mktemp("paper")

    @functools.cache
    def printed(kind: str, sheet: str) -> Paper:
        width, height = SHEETS[sheet]
        size = {"width": int((width - 2 * MARGIN) / PX), "height": int(height / PX)}
        page.set_viewport_size(size)
        page.emulate_media(media="print")
        page.goto(address + KINDS[kind])
        return paper(page, sheet, folder / f"{kind}-{sheet}.pdf")

    return printed


def close(text: str) -> str:
    """A text without its spaces: lines and words break where the sheet wants it."""
    return "".join(text.split()).replace("\xad", "")


@pytest.fixture(scope="module")
def kits() -> dict[str, Any]:
    return {kit.id: kit.kit for kit in survey(REPO, REPO / "content").kits}


each_sheet = pytest.mark.parametrize("sheet", SHEETS)
each_kind = pytest.mark.parametrize("kind", KINDS)


@each_sheet
@each_kind
def test_sheets_are_of_the_size_and_none_is_blank(printed: Printed, kind: str, sheet: str):
    paper = printed(kind, sheet)
    told = read("pdfinfo", "-f", "1", "-l", "9999", paper.pdf).decode()
    sizes = re.findall(r"Page +\d+ size: +([\d.]+) x ([\d.]+) pts", told)
    assert len(sizes) == len(paper.sheets)
    for number, (size, text) in enumerate(zip(sizes, paper.sheets, strict=True), 1):
        assert [float(side) * POINT for side in size] == pytest.approx(SHEETS[sheet], abs=0.5)
        foot = f"{number} / {len(sizes)}"
        assert foot in text
        assert len(text.replace(foot, "").splitlines()) > 3, number


@each_sheet
@pytest.mark.parametrize("kind", OF_A_KIT)
def test_every_sheet_says_what_it_belongs_to(printed: Printed, kits, kind: str, sheet: str):
    kit = kits[next(id for id in kits if id in KINDS[kind])]
    for head in printed(kind, sheet).heads:
        assert kit.about.revision in head
        if kind != "German":
            assert kit.about.title in head
        if kind == "stage":
            stage = next(s for s in kit.stages if s.uri.removesuffix(".md") in KINDS[kind])
            assert f"Stage {stage.number}: {stage.front.title}" in head


@each_sheet
def test_a_chapter_of_the_whole_kit_is_named_on_its_sheets(printed: Printed, kits, sheet: str):
    heads = printed("whole kit", sheet).heads
    for stage in kits["tellurion"].stages:
        assert any(stage.front.title in head for head in heads)


@each_sheet
@each_kind
def test_nothing_on_paper_is_to_be_operated(printed: Printed, kind: str, sheet: str):
    paper = printed(kind, sheet)
    assert not paper.page["operated"]
    said = close("".join(paper.sheets))
    assert paper.page["leading"]  # the theme says something on screen
    assert not [text for text in paper.page["leading"] if close(text) in said]


@each_sheet
@each_kind
def test_nothing_is_cut_off_at_the_right(printed: Printed, kind: str, sheet: str):
    assert not printed(kind, sheet).page["cut off"]


@each_kind
def test_paper_is_light_for_readers_of_dark_pages(printed: Printed, kind: str):
    page = printed(kind, "A4").page
    assert page["scheme"] == "slate"
    assert min(page["shades"]["grounds"]) > 0.75
    # 4.5 : 1 on white (WCAG 2.2, 1.4.3)
    assert max(page["shades"]["inks"] + page["shades"]["drawn"]) < 0.18


@each_sheet
@pytest.mark.parametrize("kind", STAGES)
def test_each_step_is_there_once_and_on_one_sheet(printed: Printed, kits, kind: str, sheet: str):
    paper = printed(kind, sheet)
    sheets = [close(text) for text in paper.sheets]
    steps = [[close(text) for text in step] for step in paper.page["steps"]]
    stages = [stage for kit in kits.values() for stage in kit.stages
              if stage.uri.removesuffix(".md") in KINDS[kind]
              or (kind == "whole kit" and kit is kits["tellurion"])]  # fmt: skip
    assert len(steps) == sum(len(stage.steps) for stage in stages)
    titles = [step[0] for step in steps]
    at = 0
    for title, *texts in steps:
        assert sum(text.count(title) for text in sheets) == titles.count(title)
        at = next(n for n, text in enumerate(sheets) if n >= at and title in text)
        assert not [text for text in texts if text not in sheets[at]], title
    if kind != "whole kit":  # steps do not each begin a sheet
        begun = sum(any(title in text for title in titles) for text in sheets)
        assert begun < 0.75 * len(steps)


@each_sheet
@pytest.mark.parametrize("kind", ["stage", "trains", "machine", "whole kit"])
def test_a_drawing_is_with_its_words(printed: Printed, kind: str, sheet: str):
    paper = printed(kind, sheet)
    sheets = [close(text) for text in paper.sheets]
    assert paper.page["figures"]
    for texts in paper.page["figures"]:
        assert any(all(close(text) in there for text in texts) for there in sheets), texts


@each_sheet
def test_the_bar_to_check_by_is_50_mm(printed: Printed, sheet: str):
    paper = printed("fasteners", sheet)
    assert "50 mm long" in paper.sheets[0].replace("\n", " ")
    # At 254 dots to the inch a millimetre is ten dots.
    picture = read("pdftoppm", "-r", "254", "-gray", "-singlefile", paper.pdf)
    size, _, dots = picture.split(b"\n", 3)[1:]
    width, height = map(int, size.split())
    rows = (dots[width * y : width * (y + 1)] for y in range(height))
    dark = (len(run) / 10 for row in rows for run in re.findall(rb"[\x00-\x60]+", row))
    strokes = [length for length in dark if 30 < length < 80]
    assert strokes
    assert strokes == pytest.approx([50.0] * len(strokes), abs=0.5)


@each_sheet
def test_a_table_has_its_head_on_each_sheet(printed: Printed, sheet: str):
    paper = printed("deliveries", sheet)
    tables = [[close(row) for row in table] for table in paper.page["tallies"]]
    head = tables[0][0]
    rows = {row for table in tables for row in table[1:]}
    sheets = [close(text) for text in paper.sheets]
    assert all(any(row in text for text in sheets) for row in rows)
    for text in sheets:
        assert head in text or not any(row in text for row in rows)
    assert sum(text.count(head) for text in sheets) > len(tables)  # some do go over


@each_sheet
def test_where_a_link_leads_away_to_is_spelled(page: Page, address: str, tmp_path, sheet: str):
    page.goto(address + KINDS["kit"])
    page.evaluate(
        """() => document.querySelector('article').insertAdjacentHTML('beforeend',
             '<p><a href="https://example.org/a/place?of=ours">elsewhere</a></p>')"""
    )
    said = close("".join(paper(page, sheet, tmp_path / "kit.pdf").sheets))
    assert "elsewhere(https://example.org/a/place?of=ours)" in said
    assert "stages/" not in said  # ways within the site are of no use on paper
