"""The main path in a second engine: Firefox, as it comes with the system.

What has to come of each touch is the demand of this project. Where arms stand is from
`paper_machine.py`, which shares no code with kitdocs, and where bodies stand from ERFA
(`angles.py`). Firefox fills fields after a reload with what was in them before (the HTML standard's
"persisted user state"): what a page says must agree with its fields all the same.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import ExitStack
from datetime import date

import pytest
from angles import apart, from_sun, longitude
from demo_site import PAGES, REPO, SIZES, built_demo, served
from firefox import Firefox, firefox, needs_firefox
from paper_machine import Paper
from turned_plan import SEEN, moved

pytestmark = needs_firefox

DAY = date(2031, 5, 6)
PANEL = "document.querySelector('.kd-crank-panel')"
SLIDER = f"{PANEL}.querySelector('[type=range]')"
STEPS = "[...document.querySelectorAll('.kd-step > .kd-check')]"


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    with served(built_demo()) as found:
        yield found


@pytest.fixture(scope="module")
def browser(address: str) -> Iterator[Firefox]:
    with firefox(address) as driven:
        yield driven


@pytest.fixture(params=SIZES)
def page(request: pytest.FixtureRequest, browser: Firefox) -> Firefox:
    browser.sized(*SIZES[request.param])
    return browser


def ticked(page: Firefox) -> list[bool]:
    return page.read(f"{STEPS}.map((step) => step.querySelector('input').checked)")


def test_a_tick_stays(page: Firefox, address: str):
    page.go(address + PAGES["stage"])
    page.read("localStorage.clear()")
    page.reload()
    page.until(f"{STEPS}.length > 1")
    assert not any(ticked(page))
    page.click(f"{STEPS}[1]")
    page.until(f"{STEPS}[1].querySelector('input').checked")
    for _ in range(2):
        page.reload()
        page.until(f"{STEPS}.length > 1")
        assert [n for n, done in enumerate(ticked(page)) if done] == [1]
    page.go(address)
    told = "document.querySelector('.kd-where-was-i:not([hidden]) .kd-last')"
    page.until(f"{told}?.textContent.includes('stage 8, step 2,')")


def test_the_crank_turns_the_plan(page: Firefox, address: str):
    """By the keys of the slider, each of which is a twentieth of a turn."""
    page.go(address + PAGES["machine"])
    page.until(f"{SLIDER}.checkVisibility()")
    page.read(f"{SLIDER}.focus()")
    page.keys(*["right"] * 10)  # the drawing that turns is there from the first turn on
    page.until(f"{SLIDER}.value === '0.5'")
    start = seen(page)
    page.keys(*["right"] * 30)
    page.until(f"{SLIDER}.value === '2'")
    now = seen(page)
    paper = Paper(REPO / "content/quayside")
    items = {item for mesh in paper.meshes for item in mesh[:2]}
    speeds = paper.speeds(paper.machine["crank"], items)
    turning = [name for name in start["arms"] if speeds[name.removeprefix("wheel ")]]
    assert len(turning) > 8
    for name in turning:
        told = 360 * 1.5 * speeds[name.removeprefix("wheel ")]
        assert apart(moved(start, now, name), told) < 0.1, name
    assert any(turns != "0" for turns, _ in figures(page))
    page.reload()
    page.until(f"{SLIDER}.checkVisibility()")
    field = f"{PANEL}.querySelector('[type=number]')"
    assert page.read(f"[{SLIDER}.value, {field}.value]") == ["0", "0"]
    assert {turns for turns, _ in figures(page)} == {"0"}


def seen(page: Firefox) -> dict:
    page.read("new Promise(requestAnimationFrame)")
    return page.read(f"({SEEN})({PANEL})")


def figures(page: Firefox) -> list[list[str]]:
    """Turns and degrees of each body, as the panel tells them."""
    return page.read(
        f"""[...{PANEL}.querySelectorAll('tbody tr')].map((row) =>
          [...row.querySelectorAll('.kd-number')].map((cell) => cell.textContent))"""
    )


def test_the_setting_of_a_day(page: Firefox, address: str):
    page.go(address + "quayside/setting/")
    field = "document.querySelector('.kd-date input')"
    page.until(f"{field}.checkVisibility()")
    page.read(
        f"""((field) => {{
          field.value = {json.dumps(DAY.isoformat())};
          for (const name of ['input', 'change'])
            field.dispatchEvent(new Event(name, {{ bubbles: true }}));
        }})({field})"""
    )
    status = "document.querySelector('[data-kd-status]').textContent"
    page.until(f"{status}.includes('{DAY.isoformat()}')")
    for body in ("mercury", "venus", "earth", "mars", "jupiter", "saturn", "moon"):
        expected = from_sun(DAY) if body == "moon" else longitude(body, DAY)
        read = page.read(
            f"document.querySelector('[data-kd-read=angle][data-kd-body={body}]').textContent"
        )
        assert apart(float(read.removesuffix("°")), expected) <= 0.2, body
    page.reload()
    page.until(f"{field}.checkVisibility()")
    page.until(f"{status}.includes({field}.value)")


def test_one_visit_keeps_the_site():
    """The server ends, and pages that were never opened are there, with what moves in them."""
    serving = ExitStack()
    with serving:
        address = serving.enter_context(served(built_demo()))
        with firefox(address) as driven:
            driven.go(address)
            driven.until("navigator.serviceWorker.ready.then(() => true)")
            driven.until("navigator.serviceWorker.controller !== null")
            serving.close()
            driven.go(address + PAGES["stage"])
            driven.until(f"{STEPS}.length > 1")
            driven.click(f"{STEPS}[0]")
            driven.until(f"{STEPS}[0].querySelector('input').checked")
            driven.go(address + PAGES["machine"])
            driven.until(f"{SLIDER}.checkVisibility()")
            kept = driven.read("[...document.images].every((i) => i.complete && i.naturalWidth)")
            assert kept
