"""The built demo in a real browser, at the sizes of a tablet and of a phone."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from demo_site import REPO, SIZES, built_demo, chromium, needs_browser, served
from playwright.sync_api import Browser, Page
from reader import Opened

from kitdocs.survey import survey
from kitdocs.words.numbers import days, fraction

KIT_PAGES = (
    "", "parts/", "fasteners/", "deliveries/", "trains/", "machine/", "setting/", "record/",
)  # fmt: skip

pytestmark = needs_browser


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    """Where the demo is served: under a sub-path, as a publisher's site may be."""
    site = built_demo()
    with served(site.parent) as root:
        yield f"{root}{site.name}/"


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with chromium() as browser:
        yield browser


@pytest.fixture(params=SIZES)
def page(request, browser, address) -> Iterator[Page]:
    """A page that fails the test for a console error or a request that leaves the site."""
    opened = Opened(browser, address, SIZES[request.param])
    yield opened.page()
    opened.end()


def demo():
    return {kit.id: kit for kit in survey(REPO, REPO / "content").kits}


def every_page(address: str) -> list[str]:
    kits = demo()
    uris = ["", "rules/", "guide/"]
    for kit in kits.values():
        uris += [f"{kit.id}/{name}" for name in KIT_PAGES]
        uris += [f"{stage.uri.removesuffix('.md')}/" for stage in kit.kit.stages]
    return [address + uri for uri in uris]


def test_a_stage_page_shows_the_computed_numbers(page, address):
    quayside = demo()["quayside"]
    stage = next(s for s in quayside.kit.stages if "mars" in s.front.adds)
    page.goto(address + stage.uri.removesuffix(".md") + "/")
    text = page.locator("article").inner_text()
    train = quayside.design.trains["mars"]
    assert days(train.period_days) in text
    assert fraction(abs(train.ratio)) in text
    for step in stage.steps:
        assert page.locator(f'[id="{step.id}"]').count() == 1


def test_no_page_scrolls_sideways(page, address):
    wide = []
    for url in every_page(address):
        page.goto(url)
        if page.evaluate("document.documentElement.scrollWidth > window.innerWidth"):
            wide.append(url.removeprefix(address))
    assert not wide


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_text_can_be_read_in_both_schemes(page, address, scheme):
    page.emulate_media(color_scheme=scheme)
    page.goto(address + "quayside/trains/")
    ink, paper = page.evaluate(
        """() => [getComputedStyle(document.querySelector('article p')).color,
                  getComputedStyle(document.body).backgroundColor]"""
    )
    assert contrast(ink, paper) >= 4.5  # WCAG 2.2, 1.4.3


def contrast(one: str, other: str) -> float:
    """Contrast of two CSS colours laid over each other, by the formula of WCAG 2.2."""

    def parsed(colour: str) -> list[float]:
        return [float(n) for n in re.findall(r"[\d.]+", colour)]

    under = parsed(other)[:3]
    top = parsed(one)
    alpha = top[3] if len(top) > 3 else 1.0
    over = [alpha * t + (1 - alpha) * u for t, u in zip(top[:3], under, strict=True)]

    def luminance(colour: list[float]) -> float:
        shares = [c / 255 for c in colour]
        linear = [s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    light, dark = sorted((luminance(over), luminance(under)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_search_finds_parts_and_designations(page, address):
    page.goto(address)
    page.locator("label.md-header__button[for=__search]").click()
    box = page.locator("input.md-search__input")
    for words, found in (("M2.5x6", "fasteners"), ("Jupiter rod", "parts")):
        box.fill("")
        box.type(words)
        page.wait_for_selector("a.md-search-result__link")
        links = page.locator("a.md-search-result__link").evaluate_all("a => a.map(x => x.href)")
        assert any(found in link for link in links), (words, links)


def test_previous_and_next_follow_the_stages(page, address):
    stages = demo()["quayside"].kit.stages
    page.goto(address + stages[1].uri.removesuffix(".md") + "/")
    before = page.locator("a.md-footer__link--prev").get_attribute("href")
    after = page.locator("a.md-footer__link--next").get_attribute("href")
    assert stages[0].id in before and stages[2].id in after
