"""Procedures: runs of steps with slots, read, told of, surveyed and published.

`chainkit/` is a kit of an architecture of its own: each planet is driven from the one below it
through a lay on a fixed bracket, one planet a stage, and one procedure serves all of the stages.
"""

from __future__ import annotations

import re
import shutil
from functools import cache
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path

import pytest
import yaml
from mkdocs.commands.build import build
from mkdocs.config import load_config

from kitdocs.finding import Finding, Place
from kitdocs.kit.procedures import Procedure, Use, read_procedure
from kitdocs.kit.stage_reader import StageText, read_steps, split_page
from kitdocs.pages.charts import ChartCache
from kitdocs.pages.kept import Kept
from kitdocs.pages.render import shipped_templates
from kitdocs.pages.site import render_site
from kitdocs.survey import Survey, survey

CHAIN = Path(__file__).parent / "chainkit"
PLANETS = ("mercury", "venus", "earth", "mars", "jupiter")
PROCEDURE = "content/tower/procedures/add-planet.md"

FRONT = "---\nslots:\n  hub: the hub\n  wheel: the wheel\n---\n"
BODY = """\
A note to editors.

## Fix the {{ item('<wheel>') }}

Lay the {{ item('<wheel>') }} on its {{ item('<hub>') }}.

```step
- make-up: [<hub>, <wheel>]
- fasten: <wheel>
```
"""
USE = "```use\nprocedure: fix\nhub: {hub}\nwheel: {wheel}\n```\n"


def procedure(body: str = BODY, front: str = FRONT) -> tuple[Procedure | None, list[Finding]]:
    page = split_page(front + body, "procedures/fix.md")
    return read_procedure("fix", page.front, page.front_place, page.body, page.body_place)


def stage(text: str, known: Procedure | None = None) -> StageText:
    known = known or procedure()[0]
    return read_steps(text, Place("stages/one.md"), "one", (known,))


# Reading


def test_a_use_becomes_plain_steps_among_those_of_the_page():
    own = "## {0}\n\n```step\ncheck: {0}\n```\n\n"
    use = USE.format(hub="long-hub", wheel="red-wheel")
    read = stage("Words.\n\n" + own.format("first") + use + own.format("last"))
    assert read.findings == []
    assert [(s.id, s.number) for s in read.steps] == [
        ("check-first", 1), ("make-up-long-hub", 2), ("check-last", 3)]  # fmt: skip
    step = read.steps[1]
    assert step.title.text == "Fix the {{ item('red-wheel') }}"
    assert "on its {{ item('long-hub') }}" in step.words.text
    assert [(a.verb, a.items) for a in step.actions] == [
        ("make-up", ("long-hub", "red-wheel")), ("fasten", ("red-wheel",))]  # fmt: skip
    assert read.uses[0].steps == ("make-up-long-hub",)
    assert "note to editors" not in read.words.text


def test_places_are_those_of_the_procedure_whatever_fills_the_slots():
    read = stage(USE.format(hub="a-very-long-hub", wheel="w"))
    use, step = read.uses[0], read.steps[0]
    lines = (FRONT + BODY).split("\n")
    for place, text in [
        *((p, f"<{slot}>") for p, slot in
          zip(step.actions[0].item_places, ("hub", "wheel"), strict=True)),
        (step.actions[1].place, "fasten"),
        (step.title.place, "Fix"),
    ]:  # fmt: skip
        assert place.used_at == (Place("stages/one.md", 2, 12),)
        at, _ = use.written(place)
        assert lines[at.line - 1][at.column - 1 :].startswith(text)
    assert [use.written(p)[1] for p in step.actions[0].item_places] == ["hub", "wheel"]
    # After a slot that became longer, an expression of the words keeps its column.
    row = next(i for i, line in enumerate(lines) if line.startswith("Lay"))
    filled = "Lay the {{ item('w') }} on its {{ item('a-very-long-hub') }}."
    place = Place("procedures/fix.md", row + 1, filled.index("{{ item('a") + 1)
    assert use.written(place)[0].column == lines[row].index("{{ item('<hub>") + 1


@pytest.mark.parametrize(
    ("body", "at", "found"),
    [
        (BODY.replace("- fasten: <wheel>", "- fasten: <whel>"), "<whel>", "the slot <whel>"),
        (BODY.replace("item('<hub>')", "item('<hubb>')"), "<hubb>", "the slot <hubb>"),
        (BODY.replace("[<hub>,", "[<hub>-top,"), "<hub>-top", "<hub> joined to other signs"),
        (BODY.replace("[<hub>,", "[low-<hub>,"), "<hub>,", "<hub> joined to other signs"),
        (BODY.replace("{{ item('<hub>') }}", "<hub>"), "<hub>.", "<hub> in words"),
        (BODY + "\n" + USE.format(hub="a", wheel="b"), "```use", "a use inside a procedure"),
    ],
)
def test_a_body_that_cannot_be_filled_in(body: str, at: str, found: str):
    known, findings = procedure(body)
    before = (FRONT + body)[: (FRONT + body).index(at)]
    line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
    told = [(f.place, f.rule) for f in findings if f.found == found]
    assert told == [(Place("procedures/fix.md", line, column), "step-facts")]
    assert known is not None and known.holes is None
    assert stage(USE.format(hub="a", wheel="b"), known).steps == ()


def test_html_in_the_words_of_a_procedure_is_no_slot():
    known, findings = procedure(BODY.replace("A note", "Press <kbd>A</kbd>, or <em>do not</em>"))
    assert findings == [] and known is not None and known.holes is not None


@pytest.mark.parametrize(
    ("front", "rule", "found"),
    [
        ("", "key-missing", "no slots"),
        ("---\nslots: {}\n---\n", "step-facts", "the slot <wheel>"),
        ("---\nslots: [hub]\n---\n", "value", "a list of 1"),
        (FRONT.replace("wheel:", "procedure:"), "value", "a slot called 'procedure'"),
        (FRONT.replace("wheel:", "Wheel:"), "value", "'W' (U+0057) in the id 'Wheel'"),
    ],
)
def test_a_front_matter_that_names_no_slots(front: str, rule: str, found: str):
    assert (rule, found) in [(f.rule, f.found) for f in procedure(front=front)[1]]


@pytest.mark.parametrize(
    ("use", "line", "column", "found"),
    [
        ("procedure: fixx\nhub: a\nwheel: b", 2, 12, "'fixx'"),
        ("procedure: fix\nhub: a", 2, 12, "no item for wheel"),
        ("procedure: fix\nhub: a\nwheel: b\nrod: c", 5, 1, "the slot 'rod'"),
        ("procedure: fix\nhub: a\nwheel: [b, c]", 4, 8, "no item"),
        ("procedure: fix\nhub: a\nwheel: B c", 4, 8, "'B c'"),
        ("procedure: fix\nhub: a\nwheel: b\nhub: c", 5, 1, "'hub' is written twice"),
        ("hub: a\nwheel: b", 1, 1, "a use of nothing"),
        ("", 1, 1, "a use of nothing"),
        ("- procedure: fix", 1, 1, "a use of nothing"),
    ],
)
def test_a_use_that_is_not_in_order(use: str, line: int, column: int, found: str):
    read = stage(f"```use\n{use}\n```\n")
    assert [(f.place, f.rule, f.found) for f in read.findings] == [
        (Place("stages/one.md", line, column), "step-facts", found)]  # fmt: skip
    assert read.steps == () and read.uses == ()


def test_a_misspelt_slot_is_one_finding():
    read = stage("```use\nprocedure: fix\nhub: a\nwhel: b\n```\n")
    assert [(f.found, f.mend) for f in read.findings] == [
        ("the slot 'whel'", "Did you mean 'wheel'?")]  # fmt: skip


@pytest.mark.parametrize(
    ("after", "found"),
    [
        ("\nThis belongs nowhere.\n", "words after a use, which belong to no step"),
        ("\n```step\ncheck: a\n```\n", "facts after a use"),
    ],
)
def test_what_follows_a_use_begins_with_a_heading(after: str, found: str):
    read = stage(USE.format(hub="a", wheel="b") + after)
    assert found in [f.found for f in read.findings]


def test_a_use_that_is_never_closed():
    read = stage("```use\nprocedure: fix\nhub: a\nwheel: b\n")
    assert [f.found for f in read.findings] == ["a use block that is never closed"]


def test_two_uses_in_one_stage_have_ids_of_their_own_by_their_items():
    uses = USE.format(hub="a", wheel="b") + USE.format(hub="c", wheel="d")
    assert [s.id for s in stage(uses).steps] == ["make-up-a", "make-up-c"]
    known, _ = procedure(BODY.replace("```step\n", "```step\n- id: fix-<wheel>\n"))
    assert [s.id for s in stage(uses, known).steps] == ["fix-b", "fix-d"]
    known, _ = procedure(BODY.replace("```step\n", "```step\n- id: fix\n"))
    (twice,) = stage(uses, known).findings
    assert twice.found == "a second step 'fix' in this stage" and "<wheel>" in twice.mend


def test_uses_that_would_grow_beyond_what_a_file_may_hold():
    long = BODY.replace("A note", "A note " * 100_000)  # 0.7 MB
    known, _ = procedure(long)
    read = stage("".join(USE.format(hub=f"a{n}", wheel=f"b{n}") for n in range(50)), known)
    assert [f.rule for f in read.findings] == ["yaml-limits"]
    assert len(read.steps) < 10


# The kit of another architecture


@pytest.fixture
def tower(tmp_path: Path) -> Path:
    folder = tmp_path / "content" / "tower"
    shutil.copytree(CHAIN / "tower", folder)
    return folder


def change(file: Path, find: str, put: str) -> int:
    """Put one text for another that occurs once; the line that it was on."""
    text = file.read_text("utf-8")
    assert text.count(find) == 1, (file.name, find, text.count(find))
    file.write_text(text.replace(find, put), "utf-8")
    return text[: text.index(find)].count("\n") + 1


def line_of(file: Path, text: str) -> int:
    lines = file.read_text("utf-8").split("\n")
    return next(n for n, line in enumerate(lines, start=1) if text in line)


def found_in(tower: Path) -> list[Finding]:
    site = tower.parent.parent
    return [f for f in survey(site, site / "content").findings if f.severity != "note"]


def test_the_chain_kit_has_no_finding():
    assert [str(f) for f in survey(CHAIN.parent, CHAIN).findings] == []


def test_every_planet_stage_is_one_use_of_the_one_procedure():
    (surveyed,) = survey(CHAIN.parent, CHAIN).kits
    used = {g.id: [u.procedure.name for u in g.uses] for g in surveyed.kit.stages}
    assert used == {"stand": [], **{planet: ["add-planet"] for planet in PLANETS}}
    last = surveyed.kit.stages[-1]
    own = [step.id for step in last.steps if step.id not in last.uses[0].steps]
    assert own == ["slide-on-sun", "turn-handle"]  # it drives nothing, and carries the Sun
    drivers = {name for name in surveyed.kit.items if name.endswith("-driver")}
    assert drivers == {f"{name}-driver" for name in ("drive", *PLANETS[:-1])}


# NASA Planetary Fact Sheet, sidereal orbit periods in days (from memory, to their last digit).
PERIODS = {"mercury": 87.969, "venus": 224.701, "earth": 365.256, "mars": 686.980,
           "jupiter": 4332.589}  # fmt: skip


def simulated(turns: float, steps: int) -> dict[str, float]:
    """Turns of every arbor while the handle makes so many, tooth by tooth, from the raw files.

    Nothing of kitdocs is used: at each small step of the handle each driver pushes its partner
    on by as many teeth as it moves itself, the other way.
    """
    machine = yaml.safe_load((CHAIN / "tower/mechanism.yml").read_text("utf-8"))
    parts = yaml.safe_load((CHAIN / "tower/parts.yml").read_text("utf-8"))["parts"]
    place = {
        item: (arbor, parts[part]["teeth"])
        for arbor, facts in machine["arbors"].items()
        for level in facts.get("stack", ())
        for item, part in level.items()
        if "teeth" in parts[part]
    }
    angle = {arbor: 0.0 for arbor, _ in place.values()}
    for _ in range(steps):
        moved = {machine["crank"]: turns / steps}
        for driver, driven in machine["meshes"]:  # from the handle up
            (arbor, teeth), (other, others) = place[driver], place[driven]
            moved[other] = -(moved[arbor] * teeth) / others
        for arbor, by in moved.items():
            angle[arbor] += by
    return angle


def test_its_trains_agree_with_a_simulation_from_the_raw_files():
    (surveyed,) = survey(CHAIN.parent, CHAIN).kits
    turned = simulated(turns=20, steps=4000)
    speeds = surveyed.design.motion.speeds
    for arbor, turns in turned.items():
        assert turns == pytest.approx(20 * float(speeds[arbor]), rel=1e-9), arbor
    for planet in PLANETS:
        days = PERIODS["earth"] * turned["earth"] / turned[planet]
        train = surveyed.design.trains[planet]
        assert days == pytest.approx(float(train.period_days), rel=2e-6)
        assert days == pytest.approx(PERIODS[planet], rel=5e-4)  # the tolerance of the kit
        assert turned[planet] * turned["earth"] > 0  # all go round one way


# What findings say


def test_a_wrong_item_for_a_slot_is_told_at_the_use(tower: Path):
    page = tower / "stages/earth.md"
    line = change(page, "\nwheel: earth-wheel\n", "\nwheel: mars-wheel\n") + 1
    told = found_in(tower)
    places = {(f.place.path, f.place.line) for f in told}
    assert ("content/tower/stages/earth.md", line) in places
    assert not [f for f in told if f.place.path == PROCEDURE]
    (fastened,) = [f for f in told if f.place.line == line and f.place.path.endswith("earth.md")]
    assert "by the procedure add-planet" in fastened.found
    at = line_of(tower / "procedures/add-planet.md", "- fasten: <wheel>")
    assert (PROCEDURE, at) in {(p.path, p.line) for p in fastened.facts}


def test_an_unknown_item_for_a_slot_is_told_once(tower: Path):
    line = change(tower / "stages/earth.md", "\nwheel: earth-wheel\n", "\nwheel: earth-weel\n") + 1
    (told,) = found_in(tower)
    assert (told.rule, told.place) == (
        "name-unknown", Place("content/tower/stages/earth.md", line, 8))  # fmt: skip
    assert "Did you mean 'earth-wheel'?" in told.mend


@pytest.mark.parametrize(
    ("find", "put", "rule", "column"),
    [
        ("- fasten: <wheel>\n", "- fastn: <wheel>\n", "step-facts", 3),
        ("- fasten: <wheel>\n", "- glue: <wheel>\n", "step-item", 9),
        ("{{ item('<wheel>').screws }}", "{{ item('<wheel>').scews }}", "expression", 14),
    ],
)
def test_a_wrong_line_of_a_procedure_is_told_once_with_every_use(
    tower: Path, find: str, put: str, rule: str, column: int
):
    line = change(tower / "procedures/add-planet.md", find, put)
    (told,) = found_in(tower)
    assert (told.rule, told.place) == (rule, Place(PROCEDURE, line, column))
    for planet in PLANETS:
        assert len(re.findall(rf"\b{planet}\b(?!-)", told.message)) == 1, told.message
    uses = [(f"content/tower/stages/{p}.md", line_of(tower / f"stages/{p}.md", "procedure:"))
            for p in PLANETS]  # fmt: skip
    facts = [(p.path, p.line) for p in told.facts]
    assert [facts.count(use) for use in uses] == [1] * len(uses)


def test_what_a_procedure_leaves_out_is_told_once_at_its_slot(tower: Path):
    change(tower / "procedures/add-planet.md", "- fasten: <wheel>\n", "")
    (told,) = found_in(tower)
    at = line_of(tower / "procedures/add-planet.md", "  wheel: ")
    assert (told.place.path, told.place.line) == (PROCEDURE, at)
    assert "mercury-wheel is fastened by no step, in stage mercury, and likewise" in told.message


def test_a_finding_shows_no_trace_of_how_it_was_placed(tower: Path):
    change(tower / "procedures/add-planet.md", "- fasten: <wheel>\n", "- glue: <wheel>\n")
    for told in found_in(tower):
        assert not any(place.used_at for place in (told.place, *told.facts))


# Pages


def link(page: str, target: str) -> str:
    return target


def pages_of(found: Survey, cache: Path, kept: Kept | None = None) -> dict[str, str]:
    site = render_site(found, link, [shipped_templates()], ChartCache(cache / "charts"), kept)
    return {uri: page.markdown for uri, page in site.pages.items()}


@pytest.fixture(scope="module")
def chain_pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    return pages_of(survey(CHAIN.parent, CHAIN), tmp_path_factory.mktemp("charts"))


class Table(HTMLParser):
    """The cells of the tables of one class, row by row, as text."""

    def __init__(self) -> None:
        super().__init__()
        self.rows: list[list[str]] = []
        self._inside = self._cell = False

    def handle_starttag(self, tag, attrs):
        if tag == "table":
            self._inside = "kd-differs" in (dict(attrs).get("class") or "")
        elif self._inside and tag == "tr":
            self.rows.append([])
        elif self._inside and tag in ("th", "td"):
            self._cell = True
            self.rows[-1].append("")
        elif self._cell and tag == "li":
            self.rows[-1][-1] += "; "

    def handle_endtag(self, tag):
        if tag in ("th", "td"):
            self._cell = False

    def handle_data(self, data):
        if self._cell:
            self.rows[-1][-1] += data.replace("\u00a0", " ")


@cache
def raw(name: str) -> dict:
    return yaml.safe_load((CHAIN / "tower" / name).read_text("utf-8"))


def use_of(planet: str) -> dict[str, str]:
    text = (CHAIN / f"tower/stages/{planet}.md").read_text("utf-8")
    return yaml.safe_load(re.search(r"```use\n(.*?)```", text, re.DOTALL)[1])


@cache
def parts_of_items() -> dict[str, str]:
    found: dict[str, str] = {}
    for arbor, facts in raw("mechanism.yml")["arbors"].items():
        found |= {arbor: facts["part"]} if "part" in facts else {}
        for level in (*facts.get("stack", ()), *facts.get("end-stack", ())):
            found |= level
    return found


WORDS = {3: "three", 6: "six"}


def told_of(item: str) -> dict[str, str]:
    """What readers may be told of an item, from the raw files."""
    part = raw("parts.yml")["parts"][parts_of_items()[item]]
    told = {k: f"{k} {part[k]:g} mm" for k in ("length", "thickness", "reach", "diameter",
                                               "outside") if k in part}  # fmt: skip
    if "teeth" in part:
        told["teeth"] = f"{part['teeth']} teeth"
    held = raw("mechanism.yml")["held"].get(item)
    if held and held["by"].startswith("M2.5"):
        told["screws"] = f"{WORDS[len(held['holes'])]} M2.5 × 6 screws"
    return told


@pytest.mark.parametrize(("former", "planet"), list(pairwise(PLANETS)))
def test_a_stage_shows_what_differs_from_the_last_one_built_this_way(
    former: str, planet: str, chain_pages: dict[str, str]
):
    text = chain_pages[f"tower/stages/{planet}.md"]
    table = Table()
    table.feed(text)
    number = PLANETS.index(former) + 2
    assert table.rows[0] == ["What", f"In stage {number}", "Now"]
    shown = {what: (then, now) for what, then, now in table.rows[1:]}
    front = (CHAIN / "tower/procedures/add-planet.md").read_text("utf-8").split("---\n")[1]
    slots = yaml.safe_load(front)["slots"]
    then, now, part_of = use_of(former), use_of(planet), parts_of_items()
    differing = {
        slot for slot in slots
        if part_of[then[slot]] != part_of[now[slot]] or told_of(then[slot]) != told_of(now[slot])
    }  # fmt: skip
    assert set(shown) == {slots[slot] for slot in differing}
    for slot in differing:
        for item, other, cell in zip(
            (then[slot], now[slot]), (now[slot], then[slot]), shown[slots[slot]], strict=True
        ):
            mine, others = told_of(item), told_of(other)
            name = raw("parts.yml")["parts"][part_of[item]].get("name") or cell.split("; ")[0]
            assert cell.startswith(name)
            wanted = [fact for key, fact in mine.items() if fact != others.get(key)]
            told_by_name = [f for f in wanted if re.search(r"[0-9.]+", f)[0] in name]
            assert set(cell.split("; ")[1:]) == set(wanted) - set(told_by_name)
    assert f"All else is as in stage {number}." in text
    assert f'href="tower/stages/{former}.md#' in text
    steps = text.index("## Step 1:")
    assert text.index("kd-differs") < steps  # and the full set of steps stands below
    assert len(re.findall(r"^## Step ", text, re.M)) >= 10


def test_the_first_stage_of_a_procedure_shows_no_table(chain_pages: dict[str, str]):
    assert "kd-differs" not in chain_pages["tower/stages/mercury.md"]
    assert "kd-differs" not in chain_pages["tower/stages/stand.md"]


def test_a_preview_makes_pages_again_when_a_procedure_changes(tower: Path, tmp_path: Path):
    site, kept = tower.parent.parent, Kept()
    first = survey(site, site / "content")
    before = pages_of(first, tmp_path, kept)
    assert survey(site, site / "content", last=first).kits[0] is first.kits[0]
    file = tower / "procedures/add-planet.md"
    assert file in first.files
    change(file, "  wheel: its wheel\n", "  wheel: its largest wheel\n")
    again = survey(site, site / "content", last=first)
    after = pages_of(again, tmp_path, kept)
    changed = {uri for uri in after if after[uri] != before[uri]}
    assert changed == {f"tower/stages/{planet}.md" for planet in PLANETS[1:]}


def test_procedures_are_no_pages_of_the_site(tower: Path, tmp_path: Path):
    (tmp_path / "mkdocs.yml").write_text(
        "site_name: Test\ndocs_dir: content\nplugins: [kitdocs]\n", "utf-8"
    )
    build(load_config(str(tmp_path / "mkdocs.yml")))
    built = {f.relative_to(tmp_path / "site").as_posix() for f in (tmp_path / "site").rglob("*")}
    assert "tower/stages/mars/index.html" in built
    assert not [path for path in built if "procedures" in path]
    assert "procedures" not in (tmp_path / "site/sitemap.xml").read_text("utf-8")


def test_a_procedure_is_part_of_the_digest_by_what_it_becomes(tower: Path):
    site = tower.parent.parent

    def digest() -> str:
        (found,) = survey(site, site / "content").kits
        return found.kit.digest

    before = digest()
    file = tower / "procedures/add-planet.md"
    change(file, "  wheel: its wheel\n", "  wheel: its largest wheel\n")
    assert digest() == before  # words are no facts
    change(
        file, "mesh: [<lay-pinion>, <wheel>]\n", "mesh: [<lay-pinion>, <wheel>]\ncheck: <ball>\n"
    )
    assert digest() != before


def test_a_use_knows_its_items():
    use = stage(USE.format(hub="a", wheel="b")).uses[0]
    assert isinstance(use, Use) and use.stage == "one"
    assert use.items == {"hub": "a", "wheel": "b"}


def test_what_stands_on_an_arbor_rises_with_it_up_to_what_is_above_them_all():
    """Six pipes stand on one another: each can rise by what is left below the post collar."""
    (surveyed,) = survey(CHAIN.parent, CHAIN).kits
    parts, arbors = raw("parts.yml")["parts"], raw("mechanism.yml")["arbors"]

    def height(part: str) -> float:
        return next(parts[part][k] for k in ("length", "thickness", "face", "diameter")
                    if k in parts[part])  # fmt: skip

    def stack(arbor: str, key: str = "stack") -> float:
        return sum(height(part) for level in arbors[arbor].get(key, ()) for part in level.values())

    post = parts["post"]["length"] - parts["post"]["shoulder"] - stack("post", "end-stack")
    floors = [f"floor-{planet}" for planet in PLANETS]
    left = post - stack("post") - sum(stack(name) for name in ("drive", *PLANETS, *floors))
    plays = surveyed.design.end_plays
    for arbor in ("drive", *PLANETS):
        assert plays[arbor].gap == pytest.approx(left, abs=1e-9), arbor
        assert plays[arbor].retainer.id == "post-top"
