"""Setting the machine to a day: order and means, the page, and its script in a browser."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from math import cos, radians, sin
from pathlib import Path

import markdown
import pytest
from angles import apart, from_sun, longitude
from changed_kit import surveyed
from demo_site import REPO, chromium, needs_browser, served
from playwright.sync_api import Browser, Page

from kitdocs.assembly.design import Design
from kitdocs.kit.about import Setting
from kitdocs.mechanism.setting import set_bodies, shown_sky
from kitdocs.pages.charts import ChartCache
from kitdocs.pages.handbook import Handbook
from kitdocs.pages.render import Renderer, shipped_templates
from kitdocs.pages.setting_view import YEARS, SettingView, setting_view
from kitdocs.pages.sky_cache import SkyCache
from kitdocs.sky.positions import positions_of
from kitdocs.sky.positions_uneven import ECCENTRICITIES
from kitdocs.survey import survey

CALENDAR = {"find": "cautions: [small-parts]",
            "put": "setting: {from: 2026-01-01, to: 2045-12-31}\ncautions: [small-parts]",
            "file": "kit.yml"}  # fmt: skip


@pytest.fixture(scope="module")
def sky(tmp_path_factory) -> SkyCache:
    return SkyCache(tmp_path_factory.mktemp("sky"))


@pytest.fixture(scope="module")
def quayside() -> Design:
    kits = {kit.id: kit for kit in survey(REPO, REPO / "content").kits}
    assert kits["quayside"].design is not None
    return kits["quayside"].design


@pytest.fixture(scope="module")
def view(quayside, sky) -> SettingView:
    return setting_view(Handbook(quayside), quayside.kit.about.setting, sky)


def bench(folder: Path, *changes: dict) -> Design:
    found = surveyed(folder, [CALENDAR, *changes])
    assert found.kits[0].design is not None, found.findings
    return found.kits[0].design


def bench_view(design: Design, sky: SkyCache) -> SettingView:
    return setting_view(Handbook(design), design.kit.about.setting, sky)


def line(view: SettingView, body: str):
    return next(one for one in view.lines if one.id == body)


# How the machine is set


def test_the_crank_first_then_the_lowest_then_what_is_carried(quayside):
    order = set_bodies(quayside.kit, quayside.heights, quayside.fastenings)
    # mechanism.yml: Earth is the time base; pipes are nested, the innermost with the highest
    # arm; the Earth arm carries the Moon; the date dial stands on a post of its own, lower.
    assert [b.body for b in order] == [
        "earth", "date", "saturn", "jupiter", "mars", "venus", "mercury", "moon",
    ]  # fmt: skip
    assert [b.way for b in order] == ["crank"] + ["screw"] * 7
    slackened = {b.body: b.fastening.item.id for b in order if b.fastening}
    assert slackened["saturn"] == "saturn-arm" and slackened["moon"] == "moon-arm"
    assert slackened["date"] == "date-dial-hub"  # the dial is screwed to its hub, which turns
    assert all(b.flat for b in order if b.fastening)


def test_glue_and_a_missing_arm_let_nothing_be_set(tmp_path):
    design = bench(tmp_path)
    order = set_bodies(design.kit, design.heights, design.fastenings)
    # The base kit glues the Moon's ball to its pipe, and gives Mars no arm.
    assert {b.body: b.way for b in order} == {"earth": "crank", "mars": "never", "moon": "never"}


def test_what_shares_an_arbor_with_the_time_base_goes_along(tmp_path):
    dial = "  dial: {name: Dial, arbor: earth, reference: year tropical, tolerance: 1 %}\n"
    design = bench(tmp_path, {"file": "kit.yml", "find": "  mars:", "put": f"{dial}  mars:"})
    order = set_bodies(design.kit, design.heights, design.fastenings)
    assert [(b.body, b.way) for b in order][:2] == [("earth", "crank"), ("dial", "along")]


@pytest.mark.parametrize(
    ("reference", "shown"),
    [
        ("mars sidereal", ("mars", "longitude")),
        ("moon synodic", ("moon", "elongation")),
        ("month", ("moon", "elongation")),
        ("moon", ("moon", "longitude")),
        ("moon draconic", None),
        ("year tropical", ("earth", "date")),
        ("year draconic", None),
        ("io", None),
        ("day", None),
        ("{days: 687, source: an almanac}", ("mars", "longitude")),
    ],
)
def test_what_a_body_shows_of_the_sky(tmp_path, reference, shown):
    change = {
        "file": "kit.yml",
        "find": "reference: mars sidereal",
        "put": f"reference: {reference}",
    }
    design = bench(tmp_path, change)
    assert shown_sky("mars", design.kit.bodies["mars"]) == shown


def test_every_place_has_its_unevenness():
    assert all(positions_of(body) for body in ECCENTRICITIES)
    assert {b for b in ("mercury", "earth", "moon", "pluto", "ceres", "eris")} <= set(
        ECCENTRICITIES
    )


# The page's figures


def test_months_are_those_of_the_library(view):
    names = [column.id for column in view.columns]
    assert [m.years for m in view.months] == [
        (2026, 2030),
        (2031, 2035),
        (2036, 2040),
        (2041, 2045),
    ]
    rows = [row for block in view.months for row in block.rows]
    assert len(rows) == 240 and rows[0][0] == "2026-01" and rows[-1][0] == "2045-12"
    for month, cells in rows[::7]:
        day = date.fromisoformat(f"{month}-01")
        for name, cell in zip(names, cells, strict=True):
            expected = from_sun(day) if name == "moon" else longitude(name, day)
            assert apart(float(cell.rstrip("°")), expected) <= 0.5 + 0.1, (month, name)


def test_how_far_out_comes_exactly_from_the_teeth(tmp_path, sky):
    design = bench(tmp_path)
    # Base kit, by hand: Mars turns 43/29 × 19/53 of the Earth's 365.256363004 days (IERS); the
    # sky takes 686.9798529 (IERS). Years are Julian.
    turns = Fraction(365.25) / Fraction("365.256363004") * Fraction(43 * 19, 29 * 53)
    rate = abs(float(360 * (turns - Fraction("365.25") / Fraction("686.9798529"))))
    mars = next(o for o in bench_view(design, sky).out if o.name == "Mars")
    for years, text in zip(YEARS, mars.after, strict=True):
        assert float(text.rstrip("°")) == pytest.approx(rate * years, rel=0.05)  # two digits
    after = float(re.match(r"[\d.]+", mars.again)[0])
    assert after <= 5 / rate < after * 1.1  # rounded down, so that the limit still holds


def test_the_limit_is_the_kits(tmp_path, sky):
    wide = {"file": "kit.yml", "find": "cautions: [small-parts]\n",
            "put": "cautions: [small-parts]\nlimits: {setting-out: {most: 2}}\n"}  # fmt: skip
    tight = bench_view(bench(tmp_path / "a", wide), sky)
    usual = bench_view(bench(tmp_path / "b"), sky)
    assert (tight.limit, usual.limit) == ("2°", "5°")
    assert tight.out[1].again != usual.out[1].again
    assert usual.out[0].again == ""  # the time base itself never drifts


def test_bodies_without_a_place_are_named(tmp_path, sky):
    change = {"file": "kit.yml", "find": "reference: mars sidereal", "put": "reference: io"}
    found = bench_view(bench(tmp_path, change), sky)
    assert found.unknown == ("Mars",)
    assert "mars" not in [one.id for one in found.lines]


def test_a_body_that_turns_backwards_counts_clockwise(quayside, sky):
    about = quayside.kit.about
    venus = about.bodies["venus"].changed(turns="retrograde")
    other = Design(
        replace(quayside.kit, about=about.changed(bodies=about.bodies | {"venus": venus}))
    )
    plain, turned = (setting_view(Handbook(d), about.setting, sky) for d in (quayside, other))
    assert line(turned, "venus").clockwise and not line(plain, "venus").clockwise
    assert line(turned, "venus").angle == line(plain, "venus").angle
    forth, back = (next(a for a in v.dial.arms if a.id == "venus") for v in (plain, turned))
    # Mirrored in the line to 0°, which the kit has at a bearing of 90 degrees.
    assert back.x == pytest.approx(400 - forth.x, abs=0.2)
    assert back.y == pytest.approx(forth.y, abs=0.2)


def test_arms_are_drawn_to_scale_and_the_moon_on_the_earths(view):
    arms = {arm.id: arm for arm in view.dial.arms}
    # parts.yml: the arms reach 18 (Mercury), 28 (Venus), 118 mm (Saturn); the Moon's 16 mm.
    assert arms["mercury"].length / arms["saturn"].length == pytest.approx(18 / 118, abs=0.01)
    assert arms["moon"].length / arms["venus"].length == pytest.approx(16 / 28, abs=0.01)
    assert arms["moon"].base == "earth"
    assert (arms["moon"].from_x, arms["moon"].from_y) == (arms["earth"].x, arms["earth"].y)
    at = radians(90 + longitude("saturn", date(2026, 1, 1)))
    assert arms["saturn"].x == pytest.approx(200 + arms["saturn"].length * cos(at), abs=0.5)
    assert arms["saturn"].y == pytest.approx(200 - arms["saturn"].length * sin(at), abs=0.5)
    assert view.from_crank == "180°"  # the crank stands at a bearing of 270, longitude 0 at 90


# The table, kept and the same everywhere


def test_a_kept_table_is_the_computed_one_and_a_spoilt_one_is_made_anew(tmp_path):
    first, last = date(2026, 1, 1), date(2026, 12, 31)
    made = SkyCache(tmp_path).tracks(("mars", "moon"), first, last)
    assert SkyCache(tmp_path).tracks(("mars", "moon"), first, last) == made
    (file,) = tmp_path.glob("*.json")
    whole = file.read_bytes()
    for spoilt in (b"{}", b"[1]", whole[:100], b'{"mars": {"first": 1}, "moon": 2}'):
        file.write_bytes(spoilt)
        assert SkyCache(tmp_path).tracks(("mars", "moon"), first, last) == made
    assert file.read_bytes() == whole
    (tmp_path / "plain").write_text("")
    assert SkyCache(tmp_path / "plain").tracks(("mars", "moon"), first, last) == made


def test_a_kept_table_takes_no_numpy(tmp_path):
    code = (
        "import sys; from datetime import date; from pathlib import Path\n"
        "from kitdocs.pages.sky_cache import SkyCache\n"
        f"SkyCache(Path({str(tmp_path)!r})).tracks(('mars',), date(2026, 1, 1), date(2027, 1, 1))\n"
        "print(*sorted({'numpy', 'erfa', 'matplotlib'} & sys.modules.keys()))"
    )
    runs = [
        subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
        for _ in range(2)
    ]
    assert [run.stdout.split() for run in runs] == [["erfa", "numpy"], []]


def test_the_table_of_twenty_years_is_small_and_round(view):
    text = json.dumps(view.table, separators=(",", ":"))
    assert len(text) < 60_000
    for track in view.table["tracks"].values():
        assert all(isinstance(value, int) for value in track["values"])


# The page


def page_html(design: Design, sky: SkyCache, lang: str = "en") -> str:
    """The page by itself, with its script begun as the site's own script begins it."""
    nowhere = ChartCache(sky.folder.with_name("charts"))
    renderer = Renderer([shipped_templates()], lambda page, target: f"link:{target}", nowhere)
    book = Handbook(design)
    seen = setting_view(book, design.kit.about.setting, sky)
    text = renderer.page(
        book.uri("setting.md"), "setting", setting=seen, years=YEARS, kit=design.kit.about,
        book=book, digest=design.kit.digest, draft="",
    )  # fmt: skip
    body = markdown.markdown(text, extensions=["attr_list", "md_in_html"])
    begin = (
        "import { start } from './setting.js'; start(document.querySelector('.kd-setting'));"
        " document.body.dataset.begun = 'yes';"
    )
    return (
        f'<!doctype html><html lang="{lang}"><meta charset="utf-8"><title>Setting</title>'
        f'<body>{body}<script type="module">{begin}</script></body></html>'
    )


def test_the_page_can_be_read_without_a_script(quayside, sky, view):
    html = page_html(quayside, sky)
    assert "<form" in html and re.search(r"<form[^>]* hidden", html)
    assert "At 12:00 UT on 2026-01-01." in html
    text = re.sub(r"<script.*?</script>|<[^>]+>", " ", html, flags=re.DOTALL)
    text = " ".join(text.split())
    for one in view.lines:
        assert f"{one.name} {one.angle}" in text or one.shows == "date"
    assert "Turn the crank until it stands there." in text
    assert "M3 × 6 set screw of the small hub that holds the date dial" in text
    assert "://" not in html.replace("http://www.w3.org", "")


@pytest.fixture(scope="module")
def address(tmp_path_factory, quayside, sky) -> Iterator[str]:
    folder = tmp_path_factory.mktemp("page")
    for script in (shipped_templates() / "assets").glob("*.js"):
        shutil.copy(script, folder)
    for lang in ("en", "de"):
        (folder / f"{lang}.html").write_text(page_html(quayside, sky, lang), encoding="utf-8")
    with served(folder) as address:
        yield address


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with chromium() as browser:
        yield browser


@pytest.fixture
def page(browser) -> Iterator[Page]:
    """A page that fails the test for an error, on a device whose clock stands at noon."""
    context = browser.new_context(viewport={"width": 820, "height": 1180}, timezone_id="UTC")
    page = context.new_page()
    page.clock.set_fixed_time("2031-05-06T12:00:00Z")
    wrong: list[str] = []
    page.on("console", lambda m: wrong.append(m.text) if m.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: wrong.append(str(error)))
    yield page
    context.close()
    assert not [text for text in wrong if "favicon" not in text and "404" not in text]


def opened(page: Page, url: str) -> Page:
    page.goto(url)
    page.wait_for_selector("body[data-begun]")
    return page


PLANETS = ("mercury", "venus", "earth", "mars", "jupiter", "saturn")
#: What the page reads on each of the days in turn, by body and kind.
READ = """days => days.map(day => {
  const input = document.querySelector("input[name=day]");
  input.value = day;
  input.dispatchEvent(new Event("change", {bubbles: true}));
  return Object.fromEntries([...document.querySelectorAll("[data-kd-read]")].map(
    cell => [`${cell.dataset.kdBody} ${cell.dataset.kdRead}`, cell.textContent]));
})"""


@needs_browser
def test_angles_in_the_browser_are_right_to_a_fifth_of_a_degree(page, address):
    opened(page, address + "en.html")
    length = (date(2045, 12, 31) - date(2026, 1, 1)).days
    days = [date(2026, 1, 1) + timedelta(days=round(n * length / 240)) for n in range(241)]
    read = page.evaluate(READ, [day.isoformat() for day in days])
    worst: dict[str, float] = {}
    for day, texts in zip(days, read, strict=True):
        expected = {f"{body} angle": longitude(body, day) for body in PLANETS}
        expected |= {"moon angle": from_sun(day), "moon place": longitude("moon", day)}
        for name, value in expected.items():
            wrong = apart(float(texts[name].rstrip("°")), value)
            worst[name] = max(worst.get(name, 0.0), wrong)
        assert texts["date day"] == day.isoformat()
        assert 0 <= float(texts["moon age"]) < 30
        # The age and the angle tell one moon: a mean lunation is 29.53 days, and the Moon is
        # never 8 degrees from where it would be in an even one (6.3 + 1.3, from memory).
        assert apart(float(texts["moon age"]) * 360 / 29.530588858, from_sun(day)) < 16
    assert max(worst.values()) <= 0.2, worst


@needs_browser
def test_the_date_dial_turns_once_in_each_year(page, address):
    opened(page, address + "en.html")
    read = page.evaluate(READ, ["2027-01-01", "2027-07-02", "2028-07-02", "2028-12-31"])
    angles = [float(texts["date angle"].rstrip("°")) for texts in read]
    # 2 July is the 183rd day of 2027 and the 184th of 2028, a leap year.
    expected = [0, 360 * 182 / 365, 360 * 183 / 366, 360 * 365 / 366]
    assert angles == pytest.approx(expected, abs=0.05)


@needs_browser
def test_today_is_shown_first_and_days_outside_are_told(page, address):
    opened(page, address + "en.html")
    field, status = page.locator("input[name=day]"), page.locator("[data-kd-status]")
    assert field.input_value() == "2031-05-06"
    assert status.inner_text() == "At 12:00 UT on 2031-05-06."
    assert field.get_attribute("min") == "2026-01-01"
    assert field.get_attribute("max") == "2045-12-31"
    page.clock.set_fixed_time("2050-01-01T12:00:00Z")
    page.get_by_role("button", name="Today").click()
    assert field.input_value() == "2045-12-31"
    assert status.inner_text() == "The calendar of this page ends on 2045-12-31, which is shown."
    page.evaluate(READ, ["1999-01-01"])
    assert status.inner_text().startswith("The calendar of this page begins on 2026-01-01")
    page.evaluate(READ, [""])  # a field that is half filled in changes nothing
    assert status.inner_text().startswith("The calendar of this page begins on 2026-01-01")


@needs_browser
def test_the_script_begins_where_the_page_stands(page, address, view):
    """On the first day the script reads and draws what the page says without it."""
    opened(page, address + "en.html")
    (read,) = page.evaluate(READ, ["2026-01-01"])
    for one in view.lines:
        assert read[f"{one.id} angle"] == one.angle
    moon = line(view, "moon")
    assert (read["moon place"], read["moon age"]) == (moon.place, moon.age)
    for arm in view.dial.arms:
        shown = page.locator(f'[data-kd-arm="{arm.id}"]').get_attribute("transform")
        x, y, turn = (float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", shown))
        assert (x, y) == pytest.approx((arm.from_x, arm.from_y), abs=0.2)
        assert apart(turn, arm.turn) < 0.05
        name = page.locator(f'[data-kd-name="{arm.id}"]')
        at = (float(name.get_attribute("x")), float(name.get_attribute("y")))
        assert at == pytest.approx((arm.label_x, arm.label_y), abs=0.3)
        assert name.get_attribute("text-anchor") == arm.anchor


@needs_browser
def test_numbers_and_days_are_in_the_pages_language(page, address):
    opened(page, address + "de.html")
    (read,) = page.evaluate(READ, ["2026-03-05"])
    assert read["date day"] == "5. März 2026"
    assert re.fullmatch(r"\d+(,\d)?°", read["mercury angle"])


def test_the_calendar_asks_for_both_its_ends():
    assert {n for n, f in Setting.model_fields.items() if f.is_required()} == {"from_", "to"}
