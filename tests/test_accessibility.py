"""Every kind of page for everybody: WCAG 2.2 at level AA, as axe-core and a browser see it.

The numbers of success criteria are those of https://www.w3.org/TR/WCAG22/.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from importlib.resources import files
from typing import Any

import pytest
from demo_site import PAGES, SIZES, built_demo, chromium, needs_browser, served
from playwright.sync_api import Browser, Page
from test_languages import ENGLISH_WORDS

pytestmark = needs_browser

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
#: What the theme's own markup lacks, with how it begins: no criterion of WCAG asks for either.
#: A list of a page's headings, and one of the section's pages, may go by the same name.
OF_THE_THEME = {"landmark-unique": '<nav class="md-nav'}

SCHEMES = {"light": "default", "dark": "slate"}
#: A scheme changes colours only, and a size changes none: rules on colour run once in each scheme,
#: all others once at each size.
VIEWS = (("tablet", "light"), ("phone", "dark"))

#: What a page shows only when somebody asks for it: where, and what opens it.
OPENED = {
    "one step at a time": ("stage", ["[data-kd-one]"]),
    "missing parts": ("stage", ["[data-kd-list]"]),
    "a step ticked": ("stage", [".kd-step .kd-check input"]),
    "true sizes": ("fasteners", ["[data-kd-measure] > summary"]),
    "progress file": ("kit", [".kd-transfer > summary"]),
    "search": ("home", ["label.md-header__button[for=__search]"]),
    "navigation": ("kit", ["label.md-header__button[for=__drawer]"]),
}

#: Text spacing as 1.4.12 gives it.
SPACED = """
* { line-height: 1.5 !important; letter-spacing: 0.12em !important;
    word-spacing: 0.16em !important; }
p { margin-bottom: 2em !important; }"""
#: Elements that cut off what is in them, but for what is hidden from the eye on purpose.
CUT_OFF = """() => [...document.querySelectorAll('article *')].filter((e) => {
  const style = getComputedStyle(e);
  if (!/hidden|clip/.test(style.overflowX + style.overflowY) || e.closest('svg')) return false;
  if (style.clipPath !== 'none' || !e.checkVisibility()) return false;
  return e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 1;
}).map((e) => e.outerHTML.slice(0, 120))"""


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    with served(built_demo()) as found:
        yield found


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with chromium() as browser:
        yield browser


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(has_touch=True, service_workers="block")
    yield context.new_page()
    context.close()


def violations(page: Page) -> list[tuple[str, str]]:
    """What axe-core finds, as its rule and the element."""
    found: dict[str, Any] = page.evaluate(
        """(tags) => axe.run(document,
             {runOnly: {type: 'tag', values: tags}, resultTypes: ['violations']})""",
        TAGS,
    )
    return [
        (rule["id"], node["html"][:160])
        for rule in found["violations"]
        for node in rule["nodes"]
        if not node["html"].startswith(OF_THE_THEME.get(rule["id"], "\0"))
    ]


@pytest.fixture(scope="module")
def axe() -> str:
    return (files("axe_playwright_python") / "axe.min.js").read_text("utf-8")


def ready(page: Page, axe: str, size: str, scheme: str) -> None:
    """The page at a size and in a scheme, with nothing half way."""
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})
    page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
    page.wait_for_selector(f"body[data-md-color-scheme={SCHEMES[scheme]}]")
    page.add_style_tag(content="* { transition: none !important; }")  # colours half way are none
    page.evaluate(axe)


@pytest.mark.parametrize("kind", PAGES)
def test_axe_finds_nothing(page: Page, axe: str, address: str, kind: str):
    wrong = {}
    page.goto(address + PAGES[kind])
    for size, scheme in VIEWS:
        ready(page, axe, size, scheme)
        if found := violations(page):
            wrong[size, scheme] = found
    assert not wrong


@pytest.mark.parametrize("name", OPENED)
def test_axe_finds_nothing_in_what_is_opened(page: Page, axe: str, address: str, name: str):
    kind, openers = OPENED[name]
    page.goto(address + PAGES[kind])
    ready(page, axe, "phone", "dark")
    for opener in openers:
        page.locator(opener).locator("visible=true").first.click()
    assert not violations(page)


def test_axe_would_find_something(page: Page, axe: str, address: str):
    """A picture without a name and pale words are found: the check above is at work."""
    page.goto(address)
    page.evaluate("""document.querySelector('article').insertAdjacentHTML('beforeend',
        '<img src="data:,"><p style="color: #bbb; background: #fff">pale</p>')""")
    page.evaluate(axe)
    assert {rule for rule, _ in violations(page)} >= {"image-alt", "color-contrast"}


@pytest.mark.parametrize("kind", PAGES)
def test_pages_flow_in_narrow_windows_and_with_wide_text(page: Page, address: str, kind: str):
    """320 px (1.4.10), a tablet at 200 % (1.4.4), and text spacing (1.4.12)."""
    wide, cut = [], {}
    for width in (320, SIZES["tablet"][0] // 2):
        page.set_viewport_size({"width": width, "height": 640})
        page.goto(address + PAGES[kind])
        for spaced in (False, True):
            if spaced:
                page.add_style_tag(content=SPACED)
            if page.evaluate("document.documentElement.scrollWidth > window.innerWidth"):
                wide.append((width, spaced))
            if found := page.evaluate(CUT_OFF):
                cut[width, spaced] = found
    assert not wide
    assert not cut


@pytest.mark.parametrize("kind", ["kit", "stage", "setting", "fasteners"])
def test_what_has_the_focus_is_seen(page: Page, address: str, kind: str):
    """It has a mark (2.4.7) and does not lie below the header that stays (2.4.11)."""
    page.set_viewport_size({"width": SIZES["phone"][0], "height": SIZES["phone"][1]})
    page.goto(address + PAGES[kind])
    page.evaluate("window.scrollTo(0, document.body.scrollHeight)")  # backwards is the worst case
    page.locator("article a, article button").last.focus()
    hidden, unmarked = [], []
    for _ in range(25):
        page.keyboard.press("Shift+Tab")
        told = page.evaluate("""() => {
          const e = document.activeElement;
          if (!e || e === document.body || !e.closest('article')) return null;
          const box = e.getBoundingClientRect();
          const header = document.querySelector('.md-header').getBoundingClientRect();
          const style = getComputedStyle(e);
          const around = e.parentElement ? getComputedStyle(e.parentElement) : style;
          return { html: e.outerHTML.slice(0, 120),
                   below: box.bottom <= header.bottom || box.top >= innerHeight,
                   marked: [style, around].some((s) => s.outlineStyle !== 'none') };
        }""")
        if told is None:
            continue
        if told["below"]:
            hidden.append(told["html"])
        if not told["marked"]:
            unmarked.append(told["html"])
    assert not hidden
    assert not unmarked


@pytest.mark.parametrize("kind", PAGES)
def test_drawings_have_names_and_tables_have_headings(page: Page, address: str, kind: str):
    """1.1.1 and 1.3.1: a drawing is an image with a name, or decoration that says so; a table has
    a caption, and its headings say what they head."""
    page.goto(address + PAGES[kind])
    nameless = page.evaluate("""() => [...document.querySelectorAll('article svg')].filter((s) => {
      if (s.parentElement.closest('svg, [aria-hidden=true], button, .md-icon')) return false;
      if (s.getAttribute('aria-hidden') === 'true') return false;
      const by = s.getAttribute('aria-labelledby');
      const name = s.getAttribute('aria-label') ||
        (by && document.getElementById(by.split(' ')[0])?.textContent);
      return s.getAttribute('role') !== 'img' || !name?.trim();
    }).map((s) => s.outerHTML.slice(0, 120))""")  # fmt: skip
    assert not nameless
    plain = page.evaluate("""() => [...document.querySelectorAll('article table')].filter((t) =>
      !t.caption?.textContent.trim() || [...t.querySelectorAll('th')].some((h) => !h.scope)
    ).map((t) => t.outerHTML.slice(0, 160))""")
    assert not plain


#: Texts and names that a page gives, but for what is marked as being in another language. The
#: theme names the languages of its switch in themselves (`hreflang` says so), and itself in
#: English.
TOLD = """() => {
  const told = [];
  for (const e of document.querySelectorAll('body, body *')) {
    if (e.closest('[lang]') !== document.documentElement || e.closest('script, style')) continue;
    if (e.closest('[hreflang], .md-copyright')) continue;
    for (const name of ['title', 'aria-label', 'alt', 'placeholder', 'label', 'data-label'])
      if (e.hasAttribute(name)) told.push(e.getAttribute(name));
    for (const n of e.childNodes) if (n.nodeType === Node.TEXT_NODE) told.push(n.data.trim());
  }
  return told.filter(Boolean);
}"""


#: Pages that are there in German; but for the record, which names ids, that are English words
#: (`test_languages.py` sets them aside and reads it too).
IN_GERMAN = ("home", "kit", "stage", "trains", "parts", "fasteners", "deliveries", "machine",
             "setting", "faults", "whole kit")  # fmt: skip


@pytest.mark.parametrize("uri", [PAGES[kind] for kind in IN_GERMAN])
def test_german_pages_are_marked_as_german(page: Page, address: str, uri: str):
    """3.1.1 and 3.1.2: the page, and what on it is in English."""
    page.goto(f"{address}de/{uri}")
    assert page.locator("html").get_attribute("lang") == "de"
    told = page.evaluate(TOLD)
    assert len(told) > 20
    # Ids, which designers read, are English words with hyphens.
    bare = [re.sub(r"\b[a-z]+(?:-[a-z]+)+\b", " ", text) for text in told]
    assert not [text for text in bare if ENGLISH_WORDS & set(re.findall(r"\w+", text))]


def test_pages_lead_to_themselves_in_other_languages(page: Page, address: str):
    """3.1.2: the switch names each language in itself, and says which it is."""
    page.goto(address + PAGES["German"])
    there = page.locator('.md-header a[hreflang="en"]').first
    assert there.evaluate("a => a.href") == address + PAGES["German"].removeprefix("de/")
    page.goto(address + PAGES["German"].removeprefix("de/"))
    back = page.locator('.md-header a[hreflang="de"]').first
    assert back.evaluate("a => a.href") == address + PAGES["German"]


@pytest.mark.parametrize("size", SIZES)
def test_what_is_tapped_at_the_bench_is_large_enough(page: Page, address: str, size: str):
    """44 px, as 2.5.5 asks at level AAA: what is tapped with oily hands. Level AA (2.5.8) asks for
    24 px, which axe sees to on every page."""
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})
    page.goto(address + PAGES["stage"])
    page.wait_for_selector(".kd-check input")
    page.locator("[data-kd-list]").click()
    boxes = page.evaluate("""() => [...document.querySelectorAll(
        'article :is(.kd-check, .kd-button, .kd-panel summary, .kd-go)')]
      .filter((e) => e.checkVisibility()).map((e) => {
        const box = e.getBoundingClientRect();
        return [e.outerHTML.slice(0, 120), box.width, box.height];
      })""")
    assert len(boxes) > 20
    assert not [box for box in boxes if min(box[1:]) < 44]


def test_keyboards_get_past_the_navigation(page: Page, address: str):
    """2.4.1: the first stop of a keyboard leads to what the page is about."""
    page.goto(address + PAGES["stage"])
    page.keyboard.press("Tab")
    link = page.locator(":focus")
    assert "md-skip" in (link.get_attribute("class") or "")
    target = (link.get_attribute("href") or "").removeprefix("#")
    assert page.locator(f'article [id="{target}"]').count() == 1
