"""The plan that turns, in a real browser.

Where each arm stands after so many turns of the crank is from `paper_machine.py`, which goes
round the tooth counts of the kit's files in floats and shares no code with kitdocs. Touch targets
of 44 px are WCAG 2.2, 2.5.5; that motion can be paused is WCAG 2.2, 2.2.2; what a browser without
scripts or on paper shows is the demand of this project.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from angles import apart
from demo_site import REPO, SIZES, built_demo, chromium, needs_browser, served
from paper_machine import Paper
from playwright.sync_api import Browser, BrowserContext, Page
from turned_plan import figures, moved, panel, proof_figures, seen, turn

from kitdocs.assembly.design import Design
from kitdocs.survey import survey

KITS = ("quayside", "tellurion")
SATURN = "quayside/stages/saturn/"

pytestmark = needs_browser


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    with served(built_demo()) as address:
        yield address


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with chromium() as browser:
        yield browser


def opened(context: BrowserContext, url: str) -> Page:
    """A page whose turning plan is in view, and which has nothing to complain of."""
    page = context.new_page()
    page.wrong = []  # type: ignore[attr-defined]
    page.on("console", lambda m: m.type == "error" and page.wrong.append(m.text))
    page.on("pageerror", lambda error: page.wrong.append(str(error)))
    page.goto(url)
    page.locator(".kd-crank-panel").scroll_into_view_if_needed()
    return page


@pytest.fixture(params=SIZES)
def context(request: pytest.FixtureRequest, browser: Browser) -> Iterator[BrowserContext]:
    """A tablet or a phone whose owner wants things to stand still."""
    width, height = SIZES[request.param]
    view = {"width": width, "height": height}
    context = browser.new_context(viewport=view, has_touch=True, reduced_motion="reduce")
    yield context
    wrong = [text for page in context.pages for text in page.wrong]  # type: ignore[attr-defined]
    context.close()
    assert not wrong


@pytest.fixture
def calm(browser: Browser) -> Iterator[BrowserContext]:
    """A tablet on which things stand still."""
    context = browser.new_context(viewport={"width": 820, "height": 1180}, reduced_motion="reduce")
    yield context
    wrong = [text for page in context.pages for text in page.wrong]  # type: ignore[attr-defined]
    context.close()
    assert not wrong


@pytest.fixture
def tablet(browser: Browser) -> Iterator[BrowserContext]:
    """A tablet on which things may move."""
    context = browser.new_context(viewport={"width": 820, "height": 1180})
    yield context
    wrong = [text for page in context.pages for text in page.wrong]  # type: ignore[attr-defined]
    context.close()
    assert not wrong


@pytest.fixture(scope="module")
def demo() -> dict[str, tuple[Design, Paper]]:
    found = {kit.id: kit.design for kit in survey(REPO, REPO / "content").kits}
    return {name: (found[name], Paper(REPO / "content" / name)) for name in KITS}


# Angles


@pytest.mark.parametrize("kit", KITS)
def test_every_arm_and_wheel_stands_as_on_paper(kit, demo, calm, address) -> None:
    design, paper = demo[kit]
    crank = paper.machine["crank"]
    items = {item for mesh in paper.meshes for item in mesh[:2]}
    speeds = paper.speeds(crank, items)
    page = opened(calm, f"{address}{kit}/machine/")
    turn(page, 0)
    start = seen(page)
    arms = {name for name in start["arms"] if not name.startswith("wheel ")}
    shown = {design.kit.bodies[body].arbor for body in design.kit.bodies}
    assert shown - {"date"} <= arms, "every body with an arm is drawn"
    turning = {paper.find(item)[0] for item in items if paper.arbors[paper.find(item)[0]]["axis"]}
    fixed = {a for a in turning if paper.arbors[a].get("fixed")}
    level = {a for a in turning if paper.axes[paper.arbors[a]["axis"]].get("lies") == "level"}
    wheels = {name.removeprefix("wheel ") for name in start["arms"] if name not in arms}
    assert turning - fixed - level <= wheels
    for turns in (1, 18.05, 1000.5, 123456.7):
        turn(page, turns)
        now = seen(page)
        for name in start["arms"]:
            arbor = name.removeprefix("wheel ")
            told = 360 * speeds[arbor] * turns
            assert apart(moved(start, now, name), told) < 0.01, (name, turns)
        moon = 360 * (speeds["moon"] - speeds[paper.carrier("moon")]) * turns
        assert apart(moved(start, now, "moon", paper.carrier("moon")), moon) < 0.01


@pytest.mark.parametrize("kit", KITS)
def test_what_is_carried_goes_round_with_its_carrier(kit, demo, calm, address) -> None:
    """The Moon's axis stays at the Earth's ball, and the Moon as far from it as the kit says."""
    paper = demo[kit][1]
    page = opened(calm, f"{address}{kit}/machine/")
    for turns in (0, 0.3, 7.7):
        turn(page, turns)
        now = seen(page)
        balls = {body: (x, y) for body, x, y in now["balls"]}
        moon_at = now["arms"]["moon"]["at"]
        assert moon_at == pytest.approx(balls[paper.carrier("moon")], abs=0.3)
        out = paper.axes["moon-rod"]["distance"]
        carried = (
            (moon_at[0] - balls["moon"][0]) ** 2 + (moon_at[1] - balls["moon"][1]) ** 2
        ) ** 0.5
        hub = now["arms"][paper.carrier("moon")]["at"]
        earth = ((moon_at[0] - hub[0]) ** 2 + (moon_at[1] - hub[1]) ** 2) ** 0.5
        far = paper.at(paper.arbors["moon"]["axis"])
        scale = earth / (far[0] ** 2 + far[1] ** 2) ** 0.5  # both carriers turn about 0, 0
        assert carried == pytest.approx(out * scale, abs=0.5)


@pytest.mark.parametrize("kit", KITS)
def test_the_figures_at_the_proof_are_those_of_its_table(kit, demo, calm, address) -> None:
    design, paper = demo[kit]
    assert design.proofs
    for stage in design.kit.stages:
        proof = design.proofs.get(stage.id)
        if proof is None:
            continue
        page = opened(calm, address + stage.uri.removesuffix(".md") + "/")
        panel(page).locator("[data-kd-proof]").click()
        told, found = proof_figures(page), figures(page)
        assert told and {name: found[name] for name in told} == told, stage.id
        # The drawing shows the same, by the arithmetic of the paper.
        speeds = paper.speeds(proof.arbor, set(design.built[stage.id]))
        now = seen(page)
        turn(page, 0)
        start = seen(page)
        for name in now["arms"]:
            arbor = name.removeprefix("wheel ")
            if arbor in speeds:
                told_angle = 360 * speeds[arbor] * float(proof.turns)
                assert apart(moved(start, now, name), told_angle) < 0.01, (stage.id, name)
        page.close()


def test_a_crank_that_lies_level_shows_its_turning(calm, address) -> None:
    """Its marks come over the top: of three, one or two are on the upper side at any time."""
    page = opened(calm, address + SATURN)
    for turns in (0.1, 0.35, 3.6):
        turn(page, turns)
        shown = page.evaluate(
            """() => [...document.querySelectorAll('.kd-moving g .kd-mark')]
                .filter((e) => e.getAttribute('opacity') === '1').length"""
        )
        assert shown in (1, 2)


# Controls


def test_the_slider_goes_by_keys_and_buttons(context, address) -> None:
    page = opened(context, address + SATURN)
    field, slider = panel(page).locator("input[type=number]"), panel(page).get_by_role("slider")
    slider.focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    assert float(field.input_value()) == pytest.approx(0.1)
    page.keyboard.press("End")
    assert float(field.input_value()) == float(slider.get_attribute("max") or 0)
    page.keyboard.press("Home")
    assert float(field.input_value()) == 0
    for name, by in (("A turn on", 1.0), ("Half a turn on", 1.5), ("A tenth of a turn back", 1.4)):
        panel(page).get_by_role("button", name=name, exact=True).click()
        assert float(field.input_value()) == pytest.approx(by)
    for _ in range(2):
        panel(page).get_by_role("button", name="A turn back", exact=True).press("Enter")
    assert float(field.input_value()) == pytest.approx(-0.6)
    assert float(slider.input_value()) == pytest.approx(-0.6)  # the slider has grown to hold it


def test_what_is_aimed_at_is_as_large_as_a_thumb(context, address) -> None:
    page = opened(context, address + SATURN)
    targets = panel(page).locator("button:visible, select, input")
    assert targets.count() == 13
    for n in range(targets.count()):
        box = targets.nth(n).bounding_box()
        assert box and box["height"] >= 44 and box["width"] >= 44, targets.nth(n).inner_text()
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_the_hand_stays_on_the_slider_when_the_drawing_changes(tablet, address) -> None:
    page = opened(tablet, address + SATURN)
    slider = panel(page).get_by_role("slider")
    slider.evaluate("s => s.scrollIntoView({ block: 'center' })")
    before = slider.bounding_box()
    slider.focus()
    page.keyboard.press("ArrowRight")
    after = slider.bounding_box()
    assert before and after and after["y"] == pytest.approx(before["y"], abs=1)


def test_the_mark_of_the_proof_stands_where_the_thumb_comes_to(context, address) -> None:
    page = opened(context, address + SATURN)
    panel(page).locator("[data-kd-proof]").click()
    slider, mark = panel(page).get_by_role("slider"), panel(page).locator(".kd-there > span")
    box, at = slider.bounding_box(), mark.bounding_box()
    assert box and at
    share = float(slider.input_value()) / float(slider.get_attribute("max") or 1)
    thumb = box["x"] + 8 + share * (box["width"] - 16)  # Chromium's thumb is 16 px wide
    assert at["x"] == pytest.approx(thumb, abs=3)


# Motion


def test_it_never_starts_by_itself_and_can_be_paused(tablet, address) -> None:
    page = opened(tablet, address + SATURN)
    field, play = panel(page).locator("input[type=number]"), panel(page).locator("[data-kd-play]")
    page.wait_for_timeout(600)
    assert field.input_value() == "0"
    assert page.locator(".kd-turning").count() == 0
    play.click()
    assert play.inner_text() == "Pause"
    page.wait_for_function("Number(document.querySelector('.kd-pick input').value) > 0.05")
    play.press("Enter")
    assert play.inner_text() == "Play"
    stood = field.input_value()
    page.wait_for_timeout(300)
    assert field.input_value() == stood
    panel(page).get_by_role("switch").click()
    play.click()
    page.wait_for_function("Number(document.querySelector('.kd-pick input').value) < 0")
    play.click()


def test_a_button_turns_there_and_at_once_where_motion_is_to_be_reduced(
    tablet, calm, address
) -> None:
    for here, at_once in ((tablet, False), (calm, True)):
        page = opened(here, address + SATURN)
        value = (
            panel(page)
            .locator("[data-kd-proof]")
            .evaluate(
                "b => { b.click(); return Number(document.querySelector('.kd-pick input').value); }"
            )
        )
        assert (value == 18) is at_once  # 18 turns are the proof's of that stage
        page.wait_for_function("document.querySelector('.kd-pick input').value === '18'")


def test_play_goes_by_steps_where_motion_is_to_be_reduced(calm, address) -> None:
    page = opened(calm, address + SATURN)
    panel(page).locator("[data-kd-play]").click()
    page.wait_for_function("document.querySelector('.kd-pick input').value !== '0'")
    value = float(panel(page).locator("input[type=number]").input_value())
    assert value * 10 == pytest.approx(round(value * 10))
    panel(page).locator("[data-kd-play]").click()


def test_only_a_rest_is_told_to_those_who_listen(tablet, address) -> None:
    page = opened(tablet, address + SATURN)
    told = panel(page).locator("[role=status]")
    panel(page).locator("[data-kd-play]").click()
    page.wait_for_timeout(1200)
    assert told.inner_text() == ""
    panel(page).locator("[data-kd-play]").click()
    page.wait_for_function("document.querySelector('.kd-told').textContent !== ''")
    assert "Saturn" in told.inner_text()
    assert panel(page).locator("tbody").get_attribute("aria-live") is None


# The drawing that stands still


def test_back_at_the_start_the_plan_is_what_it_was(context, address) -> None:
    page = opened(context, address + SATURN)
    svg = page.locator("svg.kd-plan")
    still = svg.evaluate("s => s.outerHTML")
    turn(page, 3)
    assert svg.get_attribute("class") == "kd-drawing kd-plan kd-turning"
    assert not svg.locator(".kd-labels").first.is_visible()
    assert "NaN" not in svg.evaluate("s => s.outerHTML")
    panel(page).get_by_role("button", name="Back to the start").click()
    assert svg.evaluate("s => s.outerHTML") == still


def test_paper_has_the_plan_that_stands_still(context, address) -> None:
    page = opened(context, address + SATURN)
    svg = page.locator("svg.kd-plan")
    still = svg.get_attribute("viewBox")
    turn(page, 3)
    assert svg.get_attribute("viewBox") != still
    page.emulate_media(media="print")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert svg.get_attribute("viewBox") == still
    assert not panel(page).is_visible()
    assert page.locator(".kd-moving").count() == 0
    assert svg.locator(".kd-labels").first.is_visible()
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    page.emulate_media(media="screen")
    assert svg.get_attribute("viewBox") != still


def test_without_scripts_the_plan_stands_still(browser, address) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    for uri in (SATURN, "quayside/machine/", "tellurion/trains/"):
        page.goto(address + uri)
        assert page.locator("svg.kd-plan .kd-labels").first.is_visible()
        assert page.locator("svg.kd-plan > title").count() == 1
        assert not panel(page).is_visible()
    context.close()


def test_stages_in_which_nothing_turns_have_no_slider(demo, address, calm) -> None:
    design = demo["quayside"][0]
    base = design.kit.stages[0]
    assert base.id not in design.proofs
    page = calm.new_page()
    page.wrong = []  # type: ignore[attr-defined]
    page.goto(address + base.uri.removesuffix(".md") + "/")
    assert panel(page).count() == 0
