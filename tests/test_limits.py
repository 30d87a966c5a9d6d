"""Limits: what a kit may say of them, and what becomes of it."""

from __future__ import annotations

import pytest
from kits import KIT, MECHANISM, make_kit

from kitdocs.assembly.design import Design
from kitdocs.kit.limits import LIMITS, Limit, loosened_limits
from kitdocs.rules.loosened import loosened
from kitdocs.rules.registry import all_rules


def kit_text(limits: str) -> str:
    text = KIT.replace("{CRANK}", "crank").replace("{STAGES}", "")
    return f"{text}limits: {limits}\n"


def read(tmp_path, limits: str):
    return make_kit(tmp_path, kit=kit_text(limits), mechanism=MECHANISM)


def test_every_limit_is_a_rule_s():
    # "name = rule id or rule-id-aspect"; fits and free play name the aspect alone.
    ids = [rule.id for rule in all_rules()]
    own = {"fit-seat": "fit-press", "fit-loose": "fit-press", "free-play": "backlash"}
    for name in LIMITS:
        assert any(own.get(name, name).startswith(rule) for rule in ids), name


def test_a_limit_that_is_not_named_keeps_its_default(tmp_path):
    design = Design(read(tmp_path, "{}").kit)
    assert (design.limit("mesh-foul").least, design.limit("mesh-foul").most) == (0.3, None)
    assert design.limit("stack-height").text == "0.05 … 0.3\u00a0mm"
    assert design.limit("free-play").text == "at most 5°"


def test_loosened_without_and_with_a_reason(tmp_path):
    kit = read(
        tmp_path,
        '{mesh-foul: {least: 0.2}, fit-running: {most: 0.2, reason: "A dry bearing."},'
        " mesh-contact: {least: 1.4}, stack-height: {most: 0.2}}",
    ).kit
    design = Design(kit)
    assert design.limit("mesh-foul").least == 0.2
    assert design.limit("fit-running").most == 0.2
    assert design.limit("fit-running").least == LIMITS["fit-running"].least
    assert design.limit("mesh-contact").least == 1.4  # tighter: no reason needed
    loose = loosened_limits(kit.about.limits)
    assert [(one.limit.name, one.reason) for one in loose] == [
        ("mesh-foul", ""),
        ("fit-running", "A dry bearing."),
    ]
    (finding,) = loosened.check(design)
    assert finding.found == "mesh-foul loosened to at least 0.2\u00a0mm"
    assert finding.place == kit.about.limits["mesh-foul"].place("least")


@pytest.mark.parametrize(
    ("limits", "message"),
    [
        ("{mesh-fowl: {least: 0.2}}", "Did you mean 'mesh-foul'?"),
        ("{mesh-foul: {lest: 0.2}}", "Did you mean 'least'?"),
        ("{stack-height: {least: 0.4}}", "at least 0.4 and at most 0.3"),
        ("{mesh-foul: {least: much}}", "a number such as 2.5"),
    ],
)
def test_what_is_no_limit(tmp_path, limits, message):
    found = read(tmp_path, limits)
    assert found.kit is None
    assert message in "\n".join(map(str, found.findings))


def test_a_figure_on_the_limit_holds():
    limit = Limit("x", 0.05, 0.3, "mm", "", "")
    assert limit.holds(0.05) and limit.holds(0.1 + 0.2)  # 0.30000000000000004
    assert limit.below(0.049) and limit.above(0.301)
