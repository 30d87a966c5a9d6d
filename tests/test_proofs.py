"""Proofs: how far each arm moves, against a simulation of the machine that shares no code."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from changed_kit import BASE, surveyed
from hypothesis import given
from hypothesis import strategies as st
from paper_machine import Paper

from kitdocs.assembly.design import Design
from kitdocs.assembly.proof_turns import MOST_TURNS, READABLE, handy_turns
from kitdocs.assembly.sub_machine import sub_machine
from kitdocs.finding import Place
from kitdocs.kit.stage import Passage
from kitdocs.survey import survey
from kitdocs.words.expressions import Prose

CONTENT = Path(__file__).parent.parent / "content"
DEMOS = ("quayside", "tellurion")


def design_of(content: Path, kit: str) -> Design:
    found = next(
        k for k in survey(content.parent, content).kits if k.design and k.design.kit.id == kit
    )
    assert found.design is not None
    return found.design


@pytest.fixture(scope="module", params=DEMOS)
def demo(request: pytest.FixtureRequest) -> tuple[Design, Paper]:
    return design_of(CONTENT, request.param), Paper(CONTENT / request.param)


@pytest.fixture(scope="module")
def base() -> Design:
    design = survey(BASE.parent, BASE.parent).kits[0].design
    assert design is not None
    return design


def test_every_arm_of_every_proof_moves_as_on_paper(demo: tuple[Design, Paper]) -> None:
    design, paper = demo
    looked_at = 0
    for stage in design.kit.stages:
        proof = design.proofs.get(stage.id)
        if proof is None:
            continue
        speeds = paper.speeds(proof.arbor, set(design.built[stage.id]))
        for shown in proof.shown:
            relative = speeds[shown.arbor] - (speeds[shown.against] if shown.against else 0.0)
            assert float(shown.degrees) == pytest.approx(360 * relative * float(proof.turns))
            assert float(shown.frame_turns) == pytest.approx(
                speeds[shown.arbor] * float(proof.turns)
            )
            looked_at += 1
    assert looked_at >= len(design.kit.bodies)


def test_every_stage_that_adds_motion_has_a_proof_that_shows_it(
    demo: tuple[Design, Paper],
) -> None:
    design, _ = demo
    for stage in design.kit.stages:
        for body in stage.front.adds:
            arbor = design.kit.bodies[body].arbor
            proof = design.proofs[stage.id]
            new = {shown.arbor for shown in proof.shown if shown.new}
            assert arbor in new or arbor == proof.arbor


# By hand: the Mars pipe turns 35/120 x 40/110 for one of the crank, 38.18 degrees; the first half
# turns that give 30 degrees or more end near a multiple of 15 (57.27 is 2.7 off 60, 38.18 is 6.8).
def test_mars_is_proved_by_one_and_a_half_turns() -> None:
    design = design_of(CONTENT, "quayside")
    proof = design.proofs["mars"]
    mars = next(shown for shown in proof.shown if shown.body == "mars")
    assert proof.turns == Fraction(3, 2)
    assert mars.turns == Fraction(35, 120) * Fraction(40, 110) * Fraction(3, 2)
    assert mars.new and mars.against is None


def test_a_moon_is_seen_from_its_carrier() -> None:
    design = design_of(CONTENT, "quayside")
    moon = next(s for s in design.proofs["moon"].shown if s.body == "moon")
    assert moon.against == "earth"
    # Against the arm: (the drive wheel's turns less the arm's) x 106/18, the idler passing it on.
    fast = -Fraction(35, 120)
    drive, earth = -fast * Fraction(102, 48), -fast * Fraction(61, 89)
    assert moon.turns == (drive - earth) * Fraction(106, 18) * design.proofs["moon"].turns


def test_tolerance_is_play_and_both_readings(demo: tuple[Design, Paper]) -> None:
    design, _ = demo
    for proof in design.proofs.values():
        for shown in proof.shown:
            per_turn = abs(float(shown.turns / proof.turns))
            assert shown.tolerance == pytest.approx((shown.play or 0.0) + 3 + 3 * per_turn)


# The play of a body does not change as the machine grows above it: the same chain drives it.
def test_free_play_of_a_stage_is_that_of_the_whole(demo: tuple[Design, Paper]) -> None:
    design, _ = demo
    for proof in design.proofs.values():
        for shown in proof.shown:
            if shown.body and shown.play is not None and proof.arbor == design.kit.mechanism.crank:
                assert shown.play == pytest.approx(design.free_plays[shown.body].degrees)


@given(st.fractions(min_value=Fraction(1, 5000), max_value=20))
def test_turns_are_handy_and_readable(speed: Fraction) -> None:
    turns = handy_turns([speed, 2 * speed])
    assert turns * 2 == int(turns * 2) and Fraction(1, 2) <= turns <= MOST_TURNS
    assert turns <= 5 or turns == int(turns)
    assert turns * speed * 360 >= READABLE or turns == MOST_TURNS


# By hand: 1/12 of a turn is 30 degrees, and 1/4 passes 30 in half a turn, at 45.
@pytest.mark.parametrize(
    ("speed", "turns"),
    [
        (Fraction(1, 12), Fraction(1)),
        (Fraction(1, 6), Fraction(1, 2)),
        (Fraction(-1, 12), Fraction(1)),
        (Fraction(1, 4), Fraction(1, 2)),
        (Fraction(1, 360), Fraction(30)),
        (Fraction(1, 5000), Fraction(60)),
    ],
)
def test_turns_by_hand(speed: Fraction, turns: Fraction) -> None:
    assert handy_turns([speed]) == turns


def test_nothing_that_moves_is_one_turn() -> None:
    assert handy_turns([]) == 1


def test_a_sub_machine_has_what_is_built_and_what_carries_it(base: Design) -> None:
    kit = base.kit
    part = sub_machine(kit, {"moon", "moon-pinion", "moon-fixed"})
    assert set(part.items) == {"moon", "moon-pinion", "moon-fixed"}
    assert [m.place for m in part.meshes] == [kit.mesh("moon-fixed", "moon-pinion").place]
    assert set(part.arbors) == {"moon", "post", "earth", "crank"}  # the arm carries the Moon's axis
    assert set(part.held) == {"moon-pinion"}
    assert "mars" not in part.about.bodies and "moon" in part.about.bodies
    assert part.mechanism.place("crank") == kit.mechanism.place("crank")


def test_motion_of_a_sub_machine_is_that_of_what_is_driven(base: Design) -> None:
    first = base.of_items(base.built["drive"])
    assert "mars" not in first.motion.speeds
    assert first.motion.speeds["earth"] == base.motion.speeds["earth"]


# 25/20 x 29/43 by hand, two turns as the step says: 606.98 degrees.
def test_the_turns_that_a_step_writes_are_the_proof(base: Design) -> None:
    proof = base.proofs["drive"]
    assert abs(proof.turns) == 2
    earth = next(shown for shown in proof.shown if shown.body == "earth")
    assert abs(earth.degrees) == 360 * 2 * Fraction(25, 20) * Fraction(29, 43)


def test_expressions_give_the_figures_of_the_proof() -> None:
    design = design_of(CONTENT, "quayside")
    stage = next(s for s in design.kit.stages if s.id == "mars")

    def shown(text: str) -> str:
        made, findings = Prose(design).text(Passage(text, Place("x.md", 1, 1)), stage=stage)
        assert not findings, findings
        return made

    assert shown("{{ proof_turns }}") == "1½"
    assert shown("{{ proof('mars') }}") == "57°" == shown("{{ proof('mars').degrees }}")
    assert shown("{{ proof('mars').sense }}") == "anticlockwise"
    assert shown("{{ proof('mars').tolerance }}") == "4°"


def test_a_page_without_a_proof_says_so() -> None:
    design = design_of(CONTENT, "quayside")
    stage = design.kit.stages[0]  # the base: nothing moves yet
    _, findings = Prose(design).text(Passage("{{ proof_turns }}", Place("x.md", 1, 1)), stage=stage)
    assert [f.found for f in findings] == ["a proof where there is none"]


LAST = {"file": "stages/planets.md", "find": "- turn: crank\n"}


# Drop the turn; turn what is not the crank; do something after it.
@pytest.mark.parametrize(
    ("put", "found"),
    [
        ("", "stage planets sets mars, moon moving and ends without turning it"),
        ("- turn: mars\n", "stage planets is proved by turning mars, which is not on the crank"),
        (
            "- turn: crank\n```\n\n## Look\n\nLook at it.\n\n```step\ncheck: mars\n",
            "stage planets sets mars, moon moving and ends without turning it",
        ),
    ],
)
def test_a_stage_that_is_not_proved_is_found(tmp_path: Path, put: str, found: str) -> None:
    findings = surveyed(tmp_path, [{**LAST, "put": put}]).findings
    assert found in [f.found for f in findings if f.rule == "stage-proof"]


def test_the_base_kit_is_proved(base: Design, tmp_path: Path) -> None:
    assert not [f for f in surveyed(tmp_path).findings if f.rule == "stage-proof"]
