"""What stands beside each step: its drawings, the steps it goes back to, its minutes, its bags.

What a drawing has to show is worked out here from the actions and the schedule of the kits alone;
heights are those of `Design.heights`, itself tested against sums of lengths (test_heights.py).
Contrast is that of WCAG 2.2, success criteria 1.4.3 and 1.4.11.
"""

from __future__ import annotations

import re
from collections import Counter
from itertools import combinations
from pathlib import Path

import pytest
from changed_kit import BASE
from jinja2 import Environment, FileSystemLoader
from playwright.sync_api import sync_playwright

from kitdocs.assembly.design import Design
from kitdocs.assembly.step_work import step_work
from kitdocs.assembly.takings import counted
from kitdocs.kit.reader import read_kit
from kitdocs.kit.stage import ACTIONS, PLACING
from kitdocs.pages.handbook import Handbook
from kitdocs.pages.render import shipped_templates
from kitdocs.pages.stage_words import stage_words
from kitdocs.pages.step_drawing import stage_figures, step_figures
from kitdocs.pages.step_view import step_view
from kitdocs.pages.stock_view import kept_for_later
from kitdocs.words.language import Language
from kitdocs.words.minutes import estimated_minutes, has_waits, step_minutes
from kitdocs.words.narration.pauses import SECONDS

CONTENT = Path(__file__).parent.parent / "content"
KITS = [BASE, CONTENT / "tellurion", CONTENT / "quayside"]
#: Actions that build, move or fasten something, so that there is something to draw.
DRAWN = {*PLACING, "place", "fasten", "glue", "slacken", "tighten", "remove", "refit"}
#: What holds by a screw: a designation in the schedule, not a press fit nor a glue of the kit.
SCREW = re.compile(r"(^|[ ])M[0-9]")
CSS = (shipped_templates() / "assets" / "kitdocs.css").read_text("utf-8")


def book_of(folder: Path, language: str = "en") -> Handbook:
    read = read_kit(folder.parent.parent, folder)
    assert read.kit is not None, read.findings
    return Handbook(Design(read.kit), Language(language))


@pytest.fixture(scope="module", params=KITS, ids=lambda folder: folder.name)
def book(request) -> Handbook:
    return book_of(request.param)


@pytest.fixture(scope="module")
def steps(book):
    """Each stage, step, its figures, and the items that were placed by then."""
    found, placed = [], set()
    for stage in book.kit.stages:
        for step in stage.steps:
            placed |= done_to(step, *PLACING)
            found.append((stage, step, step_figures(book, stage, step), frozenset(placed)))
    return found


def done_to(step, *verbs: str) -> set[str]:
    return {item for action in step.actions if action.verb in verbs for item in action.items}


def is_screwed(book: Handbook, item: str) -> bool:
    return bool(SCREW.search(str(book.kit.held[item].by)))


def looks(figures) -> dict[str, set[str]]:
    """By item: how it is drawn, screws apart as `screw-…`."""
    found: dict[str, set[str]] = {}
    for figure in figures:
        for shape in (s for d in figure.drawings for s in d.shapes):
            kind = "screw-" if "kd-screw" in shape.look else ""
            state = re.search(r"kd-(new|old|moved|gone)", shape.look)
            assert state, shape
            found.setdefault(shape.item, set()).add(kind + state[1])
    return found


def twins(figures) -> list[set[str]]:
    return [set(work.there) for figure in figures for work in figure.twins]


def test_what_is_new_is_what_the_actions_build(book, steps):
    seen = 0
    for stage, step, figures, _ in steps:
        built = done_to(step, *PLACING)
        drawn = {item for item, look in looks(figures).items() if "new" in look}
        folded = set().union(*twins(figures))
        assert drawn <= built, (stage.id, step.id)
        assert built - drawn <= folded, (stage.id, step.id)
        seen += len(drawn | folded & built)
    assert seen == len(book.kit.items)  # each item is new in one step


def test_screws_are_marked_where_the_actions_drive_them(book, steps):
    for stage, step, figures, _ in steps:
        driven = {i for i in done_to(step, "fasten", "slacken", "tighten") if is_screwed(book, i)}
        drawn = {item for item, look in looks(figures).items() if "screw-new" in look}
        folded = set().union(*twins(figures))
        assert drawn <= driven and driven - drawn <= folded, (stage.id, step.id)


def test_screws_are_told_with_count_and_designation(book, steps):
    """Three screws a wheel: one for each numbered hole of the schedule."""
    for _, step, figures, _ in steps:
        for figure in figures:
            told = {i: row for row in figure.rows if row.fastener for i in row.items}
            for item in told:
                held = book.kit.held[item]
                each = len(held.holes) or 1
                row = told[item]
                words = book.names.counted(each * len(row.items), book.design.fastenings[item].part)
                assert row.name == words
                assert row.done in ("driven", "slackened", "tightened")
                verb = {"driven": "fasten", "slackened": "slacken", "tightened": "tighten"}
                assert item in done_to(step, verb[row.done])


def test_what_moves_and_what_comes_off_is_drawn_so(steps):
    for stage, step, figures, _ in steps:
        drawn, here = looks(figures), done_to(step, *PLACING)
        back = done_to(step, "refit", "place")
        folded = set().union(*twins(figures))
        for item in back - here - folded:
            assert "moved" in drawn[item], (stage.id, step.id, item)
        for item in done_to(step, "remove") - back:
            assert "gone" in drawn[item], (stage.id, step.id, item)
        if not back:
            assert not any("moved" in look for look in drawn.values())
        if not done_to(step, "remove"):
            assert not any("gone" in look for look in drawn.values())


def test_an_arrow_stands_where_something_moves(steps):
    for stage, step, figures, _ in steps:
        upright = [d for f in figures for d in f.drawings if not d.level]
        ways = [m for d in upright for m in d.marks if m.look == "way"]
        moved = any("moved" in look or "gone" in look for look in looks(figures).values())
        assert bool(ways) is moved, (stage.id, step.id)


def test_nothing_of_later_steps_is_shown(steps):
    for stage, step, figures, placed in steps:
        assert set(looks(figures)) <= placed, (stage.id, step.id)


def test_heights_are_those_of_the_design(book, steps):
    seen = 0
    for _, _, figures, _ in steps:
        for shape in (s for f in figures for d in f.drawings for s in d.shapes):
            if "kd-screw" not in shape.look:
                span = book.design.heights.of(shape.item)
                assert shape.low == pytest.approx(span.bottom, abs=0.0006)
                assert shape.high == pytest.approx(span.top, abs=0.0006)
                seen += 1
    assert seen > 40


def test_numbers_in_a_drawing_are_those_of_its_list(steps):
    for stage, step, figures, _ in steps:
        for figure in figures:
            labels = {label.text for d in figure.drawings for label in d.labels}
            assert labels == {str(row.number) for row in figure.rows}, (stage.id, step.id)
            assert [row.number for row in figure.rows] == list(range(1, len(figure.rows) + 1))


def test_steps_that_only_look_or_turn_have_no_drawing(steps):
    for stage, step, figures, _ in steps:
        drawn = any(action.verb in DRAWN for action in step.actions)
        assert bool(figures) is drawn, (stage.id, step.id)
    assert set(ACTIONS) >= DRAWN


def test_a_drawing_that_would_be_drawn_again_is_not(book, steps):
    for stage in book.kit.stages:
        made = stage_figures(book, stage)
        alike = [
            [figure.likeness for figure in figures] for figures, same in made.values() if figures
        ]
        assert all(a != b for a, b in combinations(alike, 2))
        for name, (figures, same) in made.items():
            if same is not None:
                step = next(s for s in stage.steps if s.id == name)
                again = [f.likeness for f in step_figures(book, stage, step)]
                assert again == [f.likeness for f in made[same.anchor][0]] and not figures


def test_things_made_alike_are_drawn_once(book, steps):
    for _, _, figures, _ in steps:
        for figure in figures:
            assert figure.times == 1 + len(figure.twins)
            for work in figure.twins:
                parts = Counter(book.kit.items[i].part.id for i in work.there)
                first = {s.item for d in figure.drawings for s in d.shapes}
                assert set(parts) == {book.kit.items[i].part.id for i in first}


# The steps that a step goes back to


def test_a_step_goes_back_to_the_one_that_did_it_before(book):
    """Looked up backwards in the facts: what was slackened is tightened, what came off goes
    back, what was fastened is slackened."""
    before = {
        "slacken": ("fasten", "tighten"), "tighten": ("slacken",), "refit": ("remove",)
    }  # fmt: skip
    order = [(stage, step, a) for stage in book.kit.stages for step in stage.steps
             for a in step.actions]  # fmt: skip
    seen = 0
    for n, (stage, step, action) in enumerate(order):
        for item in action.items if action.verb in before else ():
            wanted = [
                (s, p) for s, p, a in order[:n] if a.verb in before[action.verb] and item in a.items
            ]
            done = book.design.history.before(stage, step, action.verb, item)
            assert done and (done.stage, done.step) == wanted[-1], (step.id, action.verb, item)
            seen += 1
    assert seen > 0 or book.kit.id == "tellurion"  # where nothing is taken off again


def test_the_box_of_a_step_names_the_step_before_with_a_link():
    """Quayside, stage 5 (Venus): its first step slackens the post collar, which step 7 of stage 4
    fastened (stages/mercury.md)."""
    book = book_of(CONTENT / "quayside")
    stage = next(s for s in book.kit.stages if s.id == "venus")
    drawn, told = stage_figures(book, stage), stage_words(book, stage)
    first = step_view(book, stage, stage.steps[0], told, drawn[stage.steps[0].id])
    slackens = first.again[0]
    assert [thing.name for thing in slackens.things] == ["collar", "Mercury arm"]
    since = slackens.things[-1].since
    assert since is not None and since.text == "stage 4, step 7"
    fastens = next(s for s in book.kit.stages if s.id == "mercury").steps[6]
    assert "post-collar" in done_to(fastens, "fasten")
    assert (since.uri, since.anchor) == ("quayside/stages/mercury.md", fastens.id)


# Minutes and stock


def test_minutes_of_a_step_follow_from_its_actions():
    """Bench kit, first step: four things fitted, three glued (planets come later). By the table
    4 · 8 + 3 · 15 = 77 s; five times that is 6.4 min, and 3 for reading: 9."""
    book = book_of(BASE)
    assert (SECONDS["fit"], SECONDS["glue"]) == (8.0, 15.0)
    stage = book.kit.stages[0]
    assert step_minutes(book.design, stage.steps[0]) == 9
    assert has_waits(stage)
    total = sum(step_minutes(book.design, step) for step in stage.steps)
    assert abs(estimated_minutes(book.design, stage) - total) <= 2.5 + len(stage.steps) / 2


def test_what_stays_in_the_bag_is_what_came_less_what_was_taken(book):
    takings, order = book.design.takings, list(book.kit.deliveries)
    taken: Counter[str] = Counter()
    for stage in book.kit.stages:
        taken.update(takings.stages[stage.id])
        come: Counter[str] = Counter()
        for delivery in order[: order.index(stage.front.delivery) + 1]:
            come.update({
                part: count for part, count in takings.delivered[delivery].items()
                if counted(book.kit.parts[part])
            })  # fmt: skip
        kept = kept_for_later(book, stage)
        count = sum(n for one in kept for n, _ in one.things)
        assert count == come.total() - taken.total()
        assert all(n > 0 for one in kept for n, _ in one.things)


# What is seen

TEMPLATES = Environment(
    loader=FileSystemLoader(shipped_templates()), autoescape=True, trim_blocks=True,
    lstrip_blocks=True, extensions=["jinja2.ext.i18n"],
)  # fmt: skip


def page_of(book: Handbook) -> str:
    TEMPLATES.install_gettext_translations(book.language.catalogue, newstyle=True)
    found = TEMPLATES.get_template("blocks/step.html.j2").module.step_figures
    parts = []
    for stage in book.kit.stages:
        for step in stage.steps:
            view = {"number": step.number, "figures": step_figures(book, stage, step)}
            parts.append(str(found(view, f"{book.prefix}-{stage.number}")))
    return f"<style>body {{ margin: 16px }} {CSS}</style><div class='md-typeset'>{''.join(parts)}"


BOXES = """() => [...document.querySelectorAll('svg.kd-doing')].map(svg => ({
  id: svg.querySelector('title').id,
  frame: svg.getBoundingClientRect().toJSON(),
  texts: [...svg.querySelectorAll('text')].map(t => [t.textContent, t.getBoundingClientRect().toJSON()]),
}))"""  # noqa: E501
COLOURS = """() => {
  const of = (at, what) => getComputedStyle(document.querySelector(at))[what];
  return {
    paper: getComputedStyle(document.body).getPropertyValue('--kd-paper'),
    way: of('svg.kd-doing .kd-way', 'stroke'),
    fresh: of('svg.kd-doing .kd-new', 'stroke'),
    moved: of('svg.kd-doing .kd-moved', 'stroke'),
    screw: of('svg.kd-doing .kd-screw.kd-new', 'fill'),
  };
}"""


@pytest.fixture(scope="module")
def chromium():
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox"]
        )
        yield browser
        browser.close()


@pytest.mark.parametrize("language", ["en", "de", "pl"])
@pytest.mark.parametrize("folder", KITS, ids=lambda folder: folder.name)
def test_texts_do_not_overlap_and_stay_on_the_page(chromium, folder, language):
    page = chromium.new_page(viewport={"width": 390, "height": 844})
    page.set_content(page_of(book_of(folder, language)))
    drawings = page.evaluate(BOXES)
    page.close()
    assert drawings
    for drawing in drawings:
        for text, box in drawing["texts"]:
            assert box["left"] >= 0 and box["right"] <= 390, (drawing["id"], text)
            assert box["top"] >= drawing["frame"]["top"] - 1, (drawing["id"], text)
        for (a, one), (b, other) in combinations(drawing["texts"], 2):
            across = min(one["right"], other["right"]) - max(one["left"], other["left"])
            down = min(one["bottom"], other["bottom"]) - max(one["top"], other["top"])
            # A box has some room above and below its letters: 11 px of type are 8 px high.
            assert across <= 0.5 or down <= 4, (drawing["id"], a, b)


@pytest.mark.parametrize("scheme", ["default", "slate"])
def test_lines_stand_out_in_light_and_dark(chromium, scheme):
    page = chromium.new_page()
    page.set_content(page_of(book_of(CONTENT / "quayside")))
    page.evaluate(f"document.body.setAttribute('data-md-color-scheme', '{scheme}')")
    colours = page.evaluate(COLOURS)
    page.close()
    paper = colours.pop("paper").strip()
    for name, colour in colours.items():
        assert contrast(colour, paper) >= 3, (scheme, name, colour, paper)


def contrast(a: str, b: str) -> float:
    """WCAG 2.2: (L1 + 0.05) / (L2 + 0.05) of the relative luminances."""
    high, low = sorted((luminance(a), luminance(b)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def luminance(colour: str) -> float:
    if colour.startswith("#"):
        values = [int(colour[n : n + 2], 16) for n in (1, 3, 5)]
    else:
        values = [int(v) for v in re.findall(r"[0-9]+", colour)[:3]]
    parts = [v / 255 for v in values]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_work_is_told_by_assembly_with_the_machine_last(book, steps):
    for stage, step, *_ in steps:
        names = [work.assembly for work in step_work(book.design.dry_build, stage, step)]
        assert "machine" not in names[:-1]


# The box of a step


def box_of(name: str, stage_id: str, number: int):
    book = book_of(CONTENT / name)
    stage = next(s for s in book.kit.stages if s.id == stage_id)
    step = stage.steps[number - 1]
    return step_view(book, stage, step, stage_words(book, stage), ((), None))


def test_posts_are_told_apart_by_what_their_list_says_of_them() -> None:
    """Lengths from content/quayside/parts.yml; the six flanges are of one part, and need none."""
    sizes = {
        take.name: take.size.replace("\xa0", " ") for take in box_of("quayside", "base", 1).takes
    }
    assert sizes == {
        "flanges": "",
        "main post": "length 188.4 mm",
        "fast post": "length 90.7 mm",
        "slow post": "length 108.7 mm",
        "step-down post": "length 27.65 mm",
        "drive post": "length 46.2 mm",
        "date post": "length 97.7 mm",
    }


def test_a_step_names_the_tools_of_its_words_and_those_of_its_screws() -> None:
    """Stage base: step 1 says the vice by its id and the mallet by an expression; step 3, which
    takes nothing, the square; step 2 drives screws with a cross recess (ISO 7045)."""
    tools = [box_of("quayside", "base", number).tools for number in (1, 2, 3)]
    assert tools == [
        ("bench vice with soft jaws", "soft mallet"),
        ("PH1 screwdriver", "soft cloth"),
        ("small square",),
    ]


def test_what_lies_on_the_bench_is_numbered_in_the_order_of_the_work() -> None:
    book = book_of(CONTENT / "quayside")
    stage = book.kit.stages[0]
    (press,) = (a for a in stage.steps[0].actions if a.verb == "press")
    rows = [row for f in step_figures(book, stage, stage.steps[0]) for row in f.rows]
    posts = [i for row in rows for i in row.items if i in press.items]
    assert posts == list(press.items)


@pytest.mark.parametrize(
    "degrees, told",
    [
        (0, "nothing"),
        (0.4, "nothing"),
        (-180, "180°"),
        (359.6, "1 turn"),
        (-720, "2 turns"),
        (963, "2 turns and 243°"),
        (405, "1 turn and 45°"),
    ],
)
def test_how_far_a_thing_has_turned_is_told_in_turns_and_degrees(degrees, told) -> None:
    assert book_of(BASE).turned(degrees) == told
