"""The rules as a whole: complete, tested, and run in an order that leaves consequences out."""

from __future__ import annotations

from graphlib import TopologicalSorter
from pathlib import Path

import pytest
from changed_kit import surveyed
from test_cases import CASES, SPEAKING, expected, read_case

from kitdocs.rules.publishing import PUBLISHING
from kitdocs.rules.registry import all_rules, each
from kitdocs.rules.rule import GROUPS, Rule

RULES = all_rules()
IDS = {rule.id for rule in RULES}

#: Rules whose tests are elsewhere: kept while a site is put together, of a release
#: (`test_signing.py`), or of a larger machine (`test_machine_rules.py`).
ELSEWHERE = {rule.id for rule in PUBLISHING} | {"design-signed", "epicyclic-fit"}
#: Rules of fits and clearances: the base kit is built to their limits and is their near miss.
NEAR_IN_THE_BASE_KIT = {
    "arm-sweep", "crank-feel", "fit-press", "mesh-contact", "mesh-foul", "mesh-overlap",
    "mesh-undercut", "screw-bottom", "screw-head", "screw-length", "set-screw", "stack-height",
    "stack-seat", "stack-washer",
}  # fmt: skip


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_a_rule_says_what_it_demands_and_why(rule: Rule) -> None:
    assert rule.group in GROUPS
    assert rule.demand and rule.source and rule.example
    assert not rule.demand.endswith("."), "it is a clause of a list, not a sentence"


def test_ids_are_unique() -> None:
    assert len(IDS) == len(RULES)


def test_every_rule_that_cases_speak_of_is_listed() -> None:
    assert SPEAKING <= IDS


@pytest.mark.parametrize("rule", sorted(IDS - ELSEWHERE))
def test_a_rule_has_a_case_that_fails_and_one_that_just_passes(rule: str) -> None:
    failing = [f for f in CASES if any(f" {rule}: " in x for x in expected(read_case(f)))]
    assert failing
    # A near miss is named after the rule, or after the kind of file that its rules read.
    kind = {"file-read": "yaml", "key-unknown": "yaml", "key-missing": "yaml", "value": "yaml",
            "name-unknown": "spelling", "yaml-limits": "yaml", "yaml-syntax": "yaml",
            "yaml-duplicate": "yaml"}.get(rule, rule)  # fmt: skip
    passing = [f for f in CASES if f.stem.startswith(kind) and not expected(read_case(f))]
    assert passing or rule in NEAR_IN_THE_BASE_KIT


@pytest.mark.parametrize("key", ["after", "follows"])
def test_rules_wait_for_known_rules_and_never_in_a_circle(key: str) -> None:
    graph = {rule.id: set(getattr(rule, key)) for rule in RULES}
    assert set().union(*graph.values()) <= IDS
    assert list(TopologicalSorter(graph).static_order())


def test_rules_on_words_run_last(tmp_path: Path) -> None:
    """What stops early, as `break_it.py` does, is spared them."""
    (kit,) = surveyed(tmp_path).kits
    groups = [rule.group for rule, _ in each(kit.design)]
    assert "Words" in groups and "Words" not in groups[: groups.index("Words")]
    assert set(groups[groups.index("Words") :]) == {"Words"}


def test_a_rule_that_cannot_run_says_so(tmp_path: Path) -> None:
    undriven = [
        {"file": "mechanism.yml", "find": "  - [lay-mars, mars-wheel]\n", "put": ""},
        {"file": "stages/planets.md", "find": "- mesh: [lay-mars, mars-wheel]\n", "put": ""},
    ]
    notes = [f for f in surveyed(tmp_path, undriven).findings if f.severity == "note"]
    assert len(notes) == 1 and notes[0].rule == "not-run"
    assert "period-error" in notes[0].found
    assert notes[0].found.endswith("because of train-driven")


def test_rules_on_steps_wait_until_the_steps_can_be_read(tmp_path: Path) -> None:
    misspelt = {
        "file": "stages/planets.md",
        "find": "slide-on: [earth-sp",
        "put": "slideon: [earth-sp",
    }
    found = surveyed(tmp_path, [misspelt]).findings
    assert [f.rule for f in found] == ["step-facts", "not-run"]
    assert "build-complete" in found[1].found and found[1].found.endswith("because of step-facts")


def test_nothing_is_checked_on_a_kit_that_cannot_be_read(tmp_path: Path) -> None:
    survey = surveyed(tmp_path, [{"file": "deliveries.yml", "delete": True}])
    assert [f.rule for f in survey.findings] == ["file-read", "not-run"]
    assert survey.kits[0].stopped and survey.kits[0].design is None


def test_a_consequence_is_left_out_and_an_independent_fault_is_not(tmp_path: Path) -> None:
    changes = [
        {"file": "parts.yml", "find": "teeth: 43, module: 0.8", "put": "teeth: 43, module: 0.5"},
        {"file": "mechanism.yml", "find": "distance: 36.78", "put": "distance: 36.6"},
        {"file": "parts.yml", "find": "reach: 36.78", "put": "reach: 36.6"},
        {"file": "parts.yml", "find": "circle: 73.56", "put": "circle: 73.2"},
    ]
    rules = [(f.rule, f.place.line) for f in surveyed(tmp_path, changes).findings]
    distances = [line for rule, line in rules if rule == "mesh-distance"]
    pairs = [line for rule, line in rules if rule == "mesh-pair"]
    assert len(pairs) == 1, "the module is one finding, the distance that follows from it none"
    assert len(distances) == 1 and distances != pairs
