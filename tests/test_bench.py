"""The bench view in a real browser, at the sizes of a tablet and of a phone.

What is expected of ticks, lists and files is the demand of this project. Sizes come from outside:
the card from ISO/IEC 7810 (ID-1), 96 px for an inch from CSS Values 3, touch targets of 44 px from
WCAG 2.2, 2.5.5.
"""

from __future__ import annotations

import json
import subprocess
import sys
import threading
from collections.abc import Iterator
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
import reader
from changed_kit import change, copy_base
from demo_site import SIZES, chromium, needs_browser
from playwright.sync_api import Browser, Locator, Page, expect

SITE = """\
site_name: Bench Tests
site_url: https://example.org/kits/
docs_dir: content
theme: {name: material, font: false}
plugins: [search, {kitdocs: {offline: false}}]
"""
DRIVE, PLANETS = "bench/stages/drive/", "bench/stages/planets/"
PX_PER_MM = 96 / 25.4

expect.set_options(timeout=30_000)  # scripts begin when the browser finds the time

pytestmark = needs_browser

#: Two ways in which browsers refuse: to write, and to be asked at all.
REFUSED = {
    "writing": """Storage.prototype.setItem = () => {
        throw new DOMException('refused', 'QuotaExceededError'); };""",
    "asking": """Object.defineProperty(window, 'localStorage', {
        get() { throw new DOMException('refused', 'SecurityError'); } });""",
}
#: A wake lock that counts how often it is asked for.
COUNTED_LOCK = """
window.asked = 0;
Object.defineProperty(navigator, 'wakeLock', { value: { async request() {
  window.asked += 1;
  const lock = new EventTarget();
  lock.released = false;
  lock.release = async () => { lock.released = true; lock.dispatchEvent(new Event('release')); };
  window.lastLock = lock;
  return lock;
} } });"""
NO_LOCK = "delete Navigator.prototype.wakeLock;"


class Served(ThreadingHTTPServer):
    """A server whose folder can be changed: what a builder sees after a new revision."""

    def __init__(self, folder: Path):
        self.folder = folder
        super().__init__(("127.0.0.1", 0), _Handler)
        self.address = f"http://127.0.0.1:{self.server_port}/kits/"


class _Handler(SimpleHTTPRequestHandler):
    def translate_path(self, path: str) -> str:
        self.directory = str(self.server.folder)
        return super().translate_path(path.removeprefix("/kits"))

    def end_headers(self) -> None:
        self.send_header("Cache-Control", "no-cache")  # or a page of the earlier site is shown
        super().end_headers()

    def log_message(self, *args: object) -> None:
        pass


def build(root: Path) -> Path:
    (root / "mkdocs.yml").write_text(SITE, "utf-8")
    command = [sys.executable, "-m", "mkdocs", "build", "-q"]
    built = subprocess.run(command, cwd=root, capture_output=True, text=True)
    assert built.returncode == 0, built.stderr
    return root / "site"


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("first")
    copy_base(root)
    return build(root)


@pytest.fixture(scope="module")
def second(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same kit in a later revision: one step reads otherwise, one stage has a new name."""
    root = tmp_path_factory.mktemp("second")
    folder = copy_base(root)
    changes = [
        {"file": "kit.yml", "find": 'revision: "1.0"', "put": 'revision: "1.1"'},
        {"file": "kit.yml", "find": "stages/planets.md", "put": "stages/outer.md"},
        {"file": "stages/planets.md", "rename": "stages/outer.md"},
        {"file": "stages/drive.md", "find": "until its shoulder sits", "put": "until it sits"},
        # Another step's words in other lines: nothing has changed for its reader.
        {"file": "stages/drive.md", "find": "feet under the", "put": "feet\nunder the"},
    ]
    change(folder, changes)
    return build(root)


@pytest.fixture(scope="module")
def served(first: Path) -> Iterator[Served]:
    server = Served(first)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield server
    server.shutdown()
    thread.join()
    server.server_close()


@pytest.fixture
def address(served: Served, first: Path) -> str:
    served.folder = first
    return served.address


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with chromium() as browser:
        yield browser


class Opened:
    """Readers of one test, each with a browser of their own."""

    def __init__(self, browser: Browser, allowed: str, size: tuple[int, int]):
        self.how = browser, allowed, size
        self.ours_only = False
        self.readers: list[reader.Opened] = []

    def page(self, script: str = "", **settings: object) -> Page:
        one = reader.Opened(*self.how, **settings)
        one.ours_only = self.ours_only
        # What a service worker keeps of an earlier site is the matter of other tests.
        one.context.add_init_script("delete Navigator.prototype.serviceWorker;")
        self.readers.append(one)
        return one.page(script)

    def end(self) -> None:
        for one in self.readers:
            one.end()


@pytest.fixture(params=SIZES)
def opened(request, browser: Browser, address: str) -> Iterator[Opened]:
    opened = Opened(browser, address, SIZES[request.param])
    yield opened
    opened.end()


@pytest.fixture
def page(opened: Opened) -> Page:
    return opened.page()


def steps(page: Page) -> Locator:
    return page.locator(".kd-step > .kd-check")


def ticked(page: Page) -> list[bool]:
    steps(page).first.wait_for(state="attached")
    return steps(page).locator("input").evaluate_all("boxes => boxes.map((box) => box.checked)")


def so_far(page: Page) -> str:
    return page.locator("[data-kd-module~=ticks] .kd-so-far").inner_text()


def test_a_tap_anywhere_on_the_line_ticks_a_step_and_the_tick_stays(page, address):
    page.goto(address + DRIVE)
    line = steps(page).nth(1)
    line.scroll_into_view_if_needed()
    box = line.bounding_box()
    assert box["height"] >= 44
    page.touchscreen.tap(box["x"] + box["width"] - 6, box["y"] + box["height"] - 6)
    expected = [n == 1 for n in range(steps(page).count())]
    assert ticked(page) == expected
    page.reload()
    assert ticked(page) == expected
    assert so_far(page) == f"1 of {len(expected)} steps ticked"
    steps(page).nth(1).tap()
    page.reload()
    assert not any(ticked(page))


def test_everything_to_be_tapped_is_large_enough(page, address):
    page.goto(address + DRIVE)
    steps(page).first.wait_for()
    small = page.locator(".kd-check, .kd-button, .kd-go, .kd-panel summary").evaluate_all(
        """all => all.filter((e) => e.checkVisibility() && (e.getBoundingClientRect().height < 44
             || e.getBoundingClientRect().width < 44)).map((e) => e.textContent)"""
    )
    assert not small


def test_ticks_outlive_a_new_revision_and_tell_of_a_changed_step(
    page, address, served, first, second
):
    page.goto(address + DRIVE)
    for n in range(3):
        steps(page).nth(n).tap()
    page.goto(address + PLANETS)
    steps(page).first.tap()

    served.folder = second
    page.goto(address + DRIVE)
    # The feet are glued as before, the post is pressed in by other words, the lay is as it was.
    assert ticked(page)[:3] == [True, False, True]
    changed = page.locator(".kd-step > .kd-changed:visible")
    assert changed.count() == 1
    assert "changed since" in changed.inner_text()
    assert page.locator(".kd-step[data-state=changed] > h2").inner_text().startswith("Step 2")

    page.goto(address)
    again = page.locator(".kd-again a")
    expect(again).to_have_text(["Stage 1, step 2"])
    again.click()
    steps(page).nth(1).tap()
    expect(page.locator(".kd-changed:visible")).to_have_count(0)
    # A stage that was renamed keeps the ticks of its steps.
    page.goto(address + "bench/stages/outer/")
    assert ticked(page)[0]


def test_where_was_i_leads_to_the_step_after_the_last(page, address):
    page.goto(address)
    assert not page.locator(".kd-where-was-i").is_visible()
    page.goto(address + DRIVE)
    steps(page).nth(0).tap()
    steps(page).nth(1).tap()
    count = page.locator(".kd-step").count()
    page.goto(address + PLANETS)
    total = count + page.locator(".kd-step").count()  # theirs: ticks come when the script has begun
    for place in ("", "bench/"):
        page.goto(address + place)
        panel = page.locator(".kd-where-was-i")
        panel.wait_for()
        assert f"2 of {total} steps ticked" in panel.inner_text()
        assert "stage 1, step 2" in panel.locator(".kd-last").inner_text()
        link = panel.locator(".kd-next a")
        assert link.inner_text() == "Go on with stage 1, step 3"
    progress = page.locator("[data-stage=drive] progress")
    assert progress.evaluate("bar => [bar.value, bar.max]") == [2, count]
    link.click()
    third = page.locator(".kd-step").nth(2)
    assert page.url.endswith("#" + third.get_attribute("data-tick"))
    assert third.is_visible()


@pytest.mark.parametrize("clock", ["2031-05-06", "2026-01-01"], ids=["stands", "goes back"])
def test_the_last_tick_is_the_last_whatever_the_clock_says(page, address, clock):
    page.clock.set_fixed_time("2031-05-06")
    page.goto(address + DRIVE)
    steps(page).nth(1).tap()
    steps(page).nth(2).tap()
    page.clock.set_fixed_time(clock)
    steps(page).nth(0).tap()
    page.goto(address + "bench/")
    expect(page.locator(".kd-last")).to_contain_text("stage 1, step 1,")
    expect(page.locator(".kd-next a")).to_have_text("Go on with stage 1, step 4")


def test_a_fault_leads_to_the_card_of_its_step(page, address):
    page.goto(address + DRIVE)
    page.get_by_role("button", name="One step at a time").tap()
    faults = page.locator(".kd-fault-list")
    where = page.locator(".kd-where")
    expect(where).to_be_visible()
    while not faults.is_visible():
        before = where.inner_text()
        page.locator("[data-kd-go=next]").tap()
        expect(where).not_to_have_text(before)  # the address leads to the card, a little later
    faults.locator("summary").tap()
    link = faults.locator("td a").first
    number = link.inner_text().removeprefix("step ")
    link.tap()
    visible = page.locator(".kd-step:visible")
    expect(visible).to_have_count(1)
    expect(visible.locator("h2")).to_contain_text(f"Step {number}:")
    expect(page.locator(".kd-where")).to_contain_text(f"Step {number} of")
    page.go_back()
    expect(faults).to_be_visible()


def test_one_step_at_a_time_by_keys_alone(page, address):
    page.goto(address + DRIVE)
    button = page.locator("[data-kd-one]")
    button.wait_for()
    button.focus()
    page.keyboard.press("Enter")
    visible = page.locator(".kd-step:visible")
    expect(visible).to_have_count(0)  # the cautions and what is to be known before the first step
    expect(page.locator(".kd-cautions")).to_be_visible()
    where = page.locator(".kd-where")
    expect(where).to_have_text("Before the first step")

    page.keyboard.press("ArrowRight")
    expect(visible.locator("h2")).to_contain_text("Step 1:")
    assert page.evaluate("document.activeElement.tagName") == "H2"
    assert page.locator(".kd-cautions:visible").count() == 0
    page.keyboard.press("Space")
    expect(visible.locator("h2")).to_contain_text("Step 2:")
    total = page.locator(".kd-step").count()
    expect(where).to_have_text(f"Step 2 of {total}")
    while page.evaluate("document.activeElement.type") != "checkbox":
        page.keyboard.press("Tab")
    page.keyboard.press("Space")  # ticks, and stays
    assert ticked(page)[1]
    expect(visible.locator("h2")).to_contain_text("Step 2:")
    page.keyboard.press("ArrowLeft")
    expect(visible.locator("h2")).to_contain_text("Step 1:")

    page.go_back()
    expect(visible.locator("h2")).to_contain_text("Step 2:")
    page.reload()
    steps(page).nth(1).wait_for()
    expect(visible).to_have_count(1)
    page.locator("[data-kd-go=out]").press("Enter")
    expect(visible).to_have_count(total)
    expect(visible.nth(1).locator("h2")).to_be_focused()  # the browser goes there, a little later
    button.press("Enter")  # takes up where the work stands: step 1 is still open
    expect(visible).to_have_count(1)
    expect(visible.locator("h2")).to_contain_text("Step 1:")


def test_at_the_bench_text_is_large_and_nothing_hides_the_words(page, address):
    page.goto(address + DRIVE)
    page.locator("[data-kd-one]").tap()
    page.locator("[data-kd-go=next]").tap()
    words = page.locator(".kd-step:visible > p").first
    assert float(words.evaluate("e => parseFloat(getComputedStyle(e).fontSize)")) >= 24
    for button in page.locator(".kd-move .kd-button").all():
        assert button.bounding_box()["height"] >= 56
    assert not page.evaluate("document.documentElement.scrollWidth > innerWidth")
    page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
    line = page.locator(".kd-step:visible > .kd-check").bounding_box()
    bar = page.locator(".kd-stepping").bounding_box()
    assert line["y"] + line["height"] <= bar["y"]


@pytest.mark.parametrize("way", REFUSED)
def test_refused_storage_is_told_and_ticks_work_until_the_page_is_left(opened, address, way):
    opened.ours_only = way == "asking"
    page = opened.page(REFUSED[way])
    page.goto(address + DRIVE)
    steps(page).first.tap()
    assert ticked(page)[0]
    told = page.locator("[data-kd-module~=ticks] .kd-unkept")
    assert told.is_visible() and "keeps nothing" in told.inner_text()
    page.locator("[data-kd-one]").tap()
    page.locator("[data-kd-go=out]").tap()
    assert ticked(page)[0]
    page.locator(".kd-transfer summary").tap()
    with page.expect_download() as download:
        page.locator("[data-kd-save]").tap()
    saved = json.loads(Path(download.value.path()).read_text("utf-8"))
    assert [tick["done"] for tick in saved["ticks"].values()] == [True]


def test_a_full_disk_is_told_at_the_tick(opened, address):
    full = """const set = Storage.prototype.setItem;
      Storage.prototype.setItem = function (key, value) {
        if (key.includes('progress')) throw new DOMException('full', 'QuotaExceededError');
        set.call(this, key, value);
      };"""
    page = opened.page(full)
    page.goto(address + DRIVE)
    told = page.locator("[data-kd-module~=ticks] .kd-unkept")
    assert not told.is_visible()
    steps(page).first.tap()
    assert ticked(page)[0]
    assert told.is_visible()


def test_without_scripts_the_page_is_whole_and_offers_nothing_that_would_not_work(opened, address):
    page = opened.page(java_script_enabled=False)
    page.goto(address + DRIVE)
    assert page.locator(".kd-step:visible").count() == page.locator(".kd-step").count() > 3
    assert page.locator(".kd-part:visible").count() > 3
    article = page.locator("article")
    assert not article.locator("input:visible, button:visible, .kd-panel:visible").count()
    page.goto(address + "bench/fasteners/")
    assert not article.locator("input:visible, button:visible, .kd-panel:visible").count()


def test_the_roll_call_lists_what_is_missing(page, address):
    page.goto(address + DRIVE)
    rows = page.locator("[data-part]")
    rows.first.locator(".kd-check").wait_for()
    rows.first.tap(position={"x": 60, "y": 20})  # its picture: the whole row is the tick
    page.locator("[data-kd-list]").tap()
    letter = page.locator(".kd-letter textarea")
    lines = letter.input_value().strip().splitlines()
    assert lines[0].endswith("revision 1.0") and "Stage 1" in lines[1]
    assert len(lines) == 3 + rows.count() - 1
    for row, line in zip(rows.all()[1:], lines[3:], strict=True):
        assert row.get_attribute("data-name") in line
        assert row.get_attribute("data-parcel") in line
        assert line.startswith("{0} of {0}:".format(row.get_attribute("data-count")))
    feet = page.locator(".kd-amounts li", has_text="of 3").first
    feet.locator("input").fill("2")
    assert any(line.startswith("2 of 3:") for line in letter.input_value().splitlines())

    page.reload()
    boxes = rows.locator("input[type=checkbox]")
    boxes.first.wait_for()
    found = boxes.evaluate_all("all => all.map((box) => box.checked)")
    assert found == [n == 0 for n in range(rows.count())]
    page.locator("[data-kd-all]").tap()
    assert all(boxes.evaluate_all("all => all.map((box) => box.checked)"))
    assert not page.locator("[data-kd-list]").is_visible()


def test_progress_goes_to_another_tablet_as_a_file(opened, address, tmp_path):
    page, other = opened.page(), opened.page()
    page.goto(address + DRIVE)
    for n in (0, 2):
        steps(page).nth(n).tap()
    page.goto(address + "bench/")
    page.locator(".kd-transfer summary").tap()
    with page.expect_download() as download:
        page.locator("[data-kd-save]").tap()
    file = tmp_path / download.value.suggested_filename
    download.value.save_as(file)
    saved = json.loads(file.read_text("utf-8"))
    assert (saved["kit"], saved["revision"], saved["version"]) == ("bench", "1.0", 1)

    other.goto(address + DRIVE)
    steps(other).nth(1).tap()
    steps(other).nth(2).tap()
    steps(other).nth(2).tap()  # ticked and taken back here, after it was ticked there
    other.locator(".kd-transfer summary").tap()
    told = other.locator(".kd-transfer [role=status]")
    other.locator("input[type=file]").set_input_files(file)
    other.wait_for_function("() => document.querySelector('.kd-transfer [role=status]').innerText")
    assert "1 of the 2" in told.inner_text()
    assert ticked(other)[:3] == [True, True, False]

    whole = file.read_text("utf-8")
    key = "bench/stages" if "bench/stages" in whole else next(iter(saved["ticks"]))
    damaged = {
        "cut.json": whole[: len(whole) // 2],
        "list.json": "[]",
        "word.json": whole.replace('"done": true', '"done": "yes"'),
        "bare.json": whole.replace(json.dumps(key), '"nothing"'),
        "other.json": whole.replace('"kit": "bench"', '"kit": "vessel"'),
        "newer.json": whole.replace('"version": 1', '"version": 2'),
    }
    for name, text in damaged.items():
        assert text != whole
        (tmp_path / name).write_text(text, "utf-8")
        other.locator("input[type=file]").set_input_files(tmp_path / name)
        other.locator(".kd-transfer [role=status]", has_text=name).wait_for()
        assert "Nothing has changed" in told.inner_text()
        assert ticked(other)[:3] == [True, True, False]
    other.locator("input[type=file]").set_input_files(tmp_path / "other.json")
    other.locator(".kd-transfer [role=status]", has_text="vessel").wait_for()


def test_a_measured_screen_shows_things_as_large_as_they_are(page, address):
    page.goto(address + "bench/fasteners/")
    panel = page.locator(".kd-measure")
    panel.wait_for()
    assert "not measured" in panel.locator(".kd-so-far").inner_text()
    panel.locator("summary").tap()
    card = panel.locator(".kd-card")
    assert card.bounding_box()["width"] == pytest.approx(53.98 * PX_PER_MM, abs=0.05)
    assert card.bounding_box()["height"] == pytest.approx(85.60 * PX_PER_MM, abs=0.05)
    slider = panel.locator("input[type=range]")
    slider.focus()
    for _ in range(10):
        page.keyboard.press("ArrowRight")
    panel.locator("[data-kd-by='0.002']").tap()
    factor = float(slider.input_value())
    assert factor == pytest.approx(1 + 11 * 0.002)
    assert card.bounding_box()["width"] == pytest.approx(53.98 * PX_PER_MM * factor, abs=0.05)
    panel.locator("input[value=ruler]").check()
    bar = panel.locator(".kd-rule-bar").bounding_box()
    assert bar["width"] == pytest.approx(50 * PX_PER_MM * factor, abs=0.05)
    panel.locator("[data-kd-keep]").tap()
    assert "is measured" in panel.locator(".kd-so-far").inner_text()

    for place in ("bench/fasteners/", DRIVE):
        page.goto(address + place)
        page.locator(".kd-measure:has-text('is measured')").first.wait_for()
        for picture in page.locator("svg.kd-actual:visible").all():
            millimetres = float(picture.get_attribute("width").removesuffix("mm"))
            expected = millimetres * PX_PER_MM * factor
            assert picture.bounding_box()["width"] == pytest.approx(expected, abs=0.05)
    page.emulate_media(media="print")  # on paper a millimetre is one
    picture = page.locator("svg.kd-actual:visible").first
    millimetres = float(picture.get_attribute("width").removesuffix("mm"))
    assert picture.bounding_box()["width"] == pytest.approx(millimetres * PX_PER_MM, abs=0.05)


def test_the_screen_is_kept_on_where_the_browser_offers_that(opened, address):
    page = opened.page(COUNTED_LOCK)
    page.goto(address + DRIVE)
    switch = page.locator("[data-kd-module~=bench] [data-kd-awake]")
    switch.wait_for()
    assert switch.get_attribute("aria-checked") == "false"
    switch.tap()
    page.wait_for_selector("[data-kd-awake][aria-checked=true]")
    # A browser takes the lock back when the page is hidden (W3C Screen Wake Lock).
    page.evaluate("lastLock.release()")
    page.wait_for_selector("[data-kd-awake][aria-checked=false]", state="attached")
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    page.wait_for_selector("[data-kd-awake][aria-checked=true]", state="attached")
    assert page.evaluate("asked") == 2
    page.reload()
    page.wait_for_selector("[data-kd-awake][aria-checked=true]", state="attached")
    switch.tap()
    page.wait_for_selector("[data-kd-awake][aria-checked=false]", state="attached")
    assert page.evaluate("lastLock.released")

    without = opened.page(NO_LOCK)
    without.goto(address + DRIVE)
    steps(without).first.wait_for()
    assert not without.locator("[data-kd-awake]:visible").count()


def test_opened_from_a_disk_ticks_work_and_stay(browser, first):
    opened = Opened(browser, first.as_uri(), SIZES["tablet"])
    opened.ours_only = True  # the theme looks for a search index that only a site for disks has
    page = opened.page()
    page.goto((first / DRIVE / "index.html").as_uri())
    steps(page).first.tap()
    page.reload()
    assert ticked(page)[0]
    page.locator("[data-kd-one]").tap()
    assert page.locator(".kd-stepping").is_visible()
    opened.end()


def test_paper_shows_every_step_with_a_box_to_tick_by_hand(page, address):
    page.goto(address + DRIVE)
    page.locator("[data-kd-one]").tap()
    page.emulate_media(media="print")
    assert page.locator(".kd-step:visible").count() == page.locator(".kd-step").count()
    assert not page.locator(".kd-panel:visible, .kd-stepping:visible, .kd-button:visible").count()
    box = "h => getComputedStyle(h, '::before').borderTopStyle"
    assert page.locator(".kd-step > h2").first.evaluate(box) == "solid"


def test_two_windows_do_not_lose_each_others_ticks(page, address):
    other = page.context.new_page()
    page.goto(address + DRIVE)
    other.goto(address + DRIVE)
    steps(page).nth(0).tap()
    steps(other).nth(1).tap()
    page.wait_for_selector(".kd-step[data-state=done] >> nth=1", state="attached")
    assert ticked(page)[:2] == [True, True]


def test_lines_of_a_proof_are_ticked_too_but_are_no_steps(page, address):
    page.goto(address + DRIVE)
    line = page.locator("li[data-tick] > .kd-check").first
    line.scroll_into_view_if_needed()
    box = line.bounding_box()
    assert box["height"] >= 44
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.reload()
    line.wait_for()
    assert line.locator("input").is_checked()
    assert so_far(page).startswith("0 of ")
    # Another line is not ticked with it.
    assert page.locator("li[data-tick] input:checked").count() == 1
