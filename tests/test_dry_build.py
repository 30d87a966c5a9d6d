"""The dry build: the steps carried out, and every moment of it."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from pathlib import Path

import pytest
from big_kit import big_kit
from changed_kit import BASE, surveyed

from kitdocs.assembly.design import Design
from kitdocs.assembly.state import FIRM, MACHINE, State
from kitdocs.kit.reader import read_kit
from kitdocs.rules.registry import all_rules

CONTENT = Path(__file__).parent.parent / "content"


def design_of(folder: Path) -> Design:
    read = read_kit(folder.parent, folder)
    assert read.kit is not None, read.findings
    return Design(read.kit)


@pytest.fixture(scope="module")
def base() -> Design:
    return design_of(BASE)


@pytest.fixture(scope="module", params=["quayside", "tellurion"])
def demo(request: pytest.FixtureRequest) -> Design:
    return design_of(CONTENT / request.param)


def test_the_demo_kits_are_built_from_an_empty_bench_to_the_machine_of_the_design(
    demo: Design,
) -> None:
    build, kit = demo.dry_build, demo.kit
    assert build.faults == ()
    assert build.after(0) == State()
    last = build.last
    assert last.machine == set(kit.items) and not last.bench and not last.off
    assert set(last.holds) == set(kit.held)
    assert all(hold in FIRM for hold in last.holds.values())
    assert last.met == {frozenset((m.a.id, m.b.id)) for m in kit.meshes}


def test_stock_that_left_is_what_the_steps_take(demo: Design) -> None:
    assert dict(demo.dry_build.last.taken) == dict(demo.takings.used)


def test_every_moment_begins_where_the_one_before_it_ended(demo: Design) -> None:
    moments = demo.dry_build.moments
    assert all(a.after == b.before for a, b in pairwise(moments))
    assert [m.number for m in moments] == list(range(len(moments)))


def test_a_moment_can_be_asked_for_in_any_order(base: Design) -> None:
    build = base.dry_build
    late = build.last
    early = build.before_step("drive", "press-post")
    assert early.items == {"base", "foot-a", "foot-b", "foot-c"}
    assert build.last == late, "looking back changes nothing"
    assert build.after_step("drive", "press-post") == build.before_step("drive", "make-up-lay")
    assert build.end_of("planets") == late


# Read off the base kit's stage pages by hand.
def test_what_is_made_up_lies_on_the_bench_until_it_is_placed(base: Design) -> None:
    build = base.dry_build
    made_up = build.after_step("drive", "make-up-lay")
    assert made_up.bench == {
        "lay": {"lay", "lay-spacer", "lay-earth", "lay-gap", "lay-mars", "lay-top", "drive-bevel"}
    }
    placed = build.after_step("drive", "slide-on-earth")
    assert placed.at["lay-mars"] == MACHINE and placed.in_mesh("lay-earth", "earth-wheel")
    assert not made_up.in_mesh("lay-earth", "earth-wheel")


def test_what_is_removed_is_off_with_all_that_is_fixed_on_it(tmp_path: Path) -> None:
    put = "- {remove: mars, check: mars}\n- refit: mars\n- turn: crank\n"
    changes = [{"file": "stages/planets.md", "find": "- turn: crank\n", "put": put}]
    # The arm over it is glued for ever, and the Mars pipe cannot pass it.
    found = surveyed(tmp_path, changes)
    assert {f.rule for f in found.findings if f.severity == "error"} == {"step-captive"}
    design = found.kits[0].design
    assert design is not None
    moment = next(m for m in design.dry_build.moments if m.action.verb == "remove"
                  and m.action.items == ("mars",))  # fmt: skip
    assert moment.after.off == {"mars"}
    assert moment.after.bench["mars"] == {"mars", "mars-wheel"}
    assert not moment.after.in_mesh("lay-mars", "mars-wheel")
    assert design.dry_build.last.in_mesh("lay-mars", "mars-wheel")


def test_fastenings_and_aims_are_followed(base: Design) -> None:
    build = base.dry_build
    off = next(m for m in build.moments if m.action.verb == "remove").after
    assert off.hold("moon-hub") == "slack" and off.off == {"moon-hub", "post-top"}
    assert build.last.hold("moon-hub") == "tight"
    assert build.last.hold("earth-arm") == "glued" and build.last.hold("post") == "pressed"
    assert build.after(0).hold("post") == "out"
    assert build.last.aims == {"earth-arm": 90}


def test_a_state_is_not_changed_by_what_comes_after(base: Design) -> None:
    first = base.dry_build.after(3)
    with pytest.raises(TypeError):
        first.at["sun"] = MACHINE  # type: ignore[index]
    base.dry_build.after(len(base.dry_build.moments))
    assert base.dry_build.after(3) is first


def test_a_large_kit_is_built_without_a_fault(tmp_path: Path) -> None:
    design = design_of(big_kit(tmp_path, 200))
    assert design.dry_build.faults == ()
    assert design.dry_build.last.machine == set(design.kit.items)


def test_a_mistake_is_told_once(tmp_path: Path) -> None:
    """Leaving out the placing of the lay arbor is one finding, with all that builds on it."""
    changes = [{"file": "stages/drive.md", "find": "place: lay, mesh", "put": "mesh"}]
    found = [f for f in surveyed(tmp_path, changes).findings if f.rule.startswith("step-")]
    assert len(found) == 1 and "place: lay" in found[0].expected


def test_what_no_other_place_would_tell_of_is_still_on_the_bench(tmp_path: Path) -> None:
    """A spacer that is made up at the very end, and never put where it belongs."""
    changes = [
        {"file": "stages/planets.md", "find": "slide-on: [mars-top, earth-arm]",
         "put": "slide-on: earth-arm"},
        {"file": "stages/planets.md", "find": "- turn: crank\n",
         "put": "- make-up: mars-top\n- turn: crank\n"},
    ]  # fmt: skip
    found = [f for f in surveyed(tmp_path, changes).findings if f.severity == "error"]
    assert [f.rule for f in found] == ["build-complete"]
    assert "mars-top is still on the bench" in found[0].found


STEP_RULES = {
    "build-complete", "step-captive", "step-held", "step-oil", "step-order", "step-slack",
}  # fmt: skip


def test_every_fault_of_a_dry_build_is_told_of_by_a_rule() -> None:
    ids = {rule.id for rule in all_rules()}
    assert ids >= STEP_RULES
    source = "".join(
        (Path(__file__).parent.parent / "kitdocs" / "assembly" / name).read_text("utf-8")
        for name in ("actions.py", "bench.py", "ends.py")
    )
    for rule in ids:
        if f'"{rule}"' in source:
            assert rule in STEP_RULES


def test_the_same_steps_give_the_same_build() -> None:
    one, other = design_of(BASE), design_of(BASE)
    assert [m.after for m in one.dry_build.moments] == [m.after for m in other.dry_build.moments]


def test_counts_of_a_stage_are_those_of_its_moments(base: Design) -> None:
    for stage in base.kit.stages:
        taken: Counter[str] = Counter()
        for moment in base.dry_build.moments:
            if moment.stage.id == stage.id:
                taken.update(moment.takes.parts)
        assert taken == base.takings.stages[stage.id]
