"""Golden cases: one change to the base kit each, and the findings exactly as they are printed.

What a case expects is what an editor should be told, judged case by case: the place to mend, what
stands there, what should, and one finding for a chain of consequences. Notes of what did not run
are tested with the registry. A rule speaks in all cases from the day it has one of its own, so a
new rule needs a case that fails and leaves the others as they are (`test_registry.py`).
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from changed_kit import lines, surveyed

CASES = sorted((Path(__file__).parent / "cases").glob("*.yml"))


def read_case(file: Path) -> dict[str, Any]:
    return yaml.safe_load(file.read_text(encoding="utf-8"))


def expected(case: dict[str, Any]) -> list[str]:
    return case["findings"].splitlines() if case["findings"] else []


def rules_with_a_case() -> set[str]:
    """The ids of the rules that some case expects to fail."""
    found = (line for file in CASES for line in expected(read_case(file)))
    return {re.match(r"\S+: (?:error|warning) (\S+):", line)[1] for line in found}


SPEAKING = rules_with_a_case()


def test_the_base_kit_has_no_finding(tmp_path: Path) -> None:
    assert lines(surveyed(tmp_path)) == []


@pytest.mark.parametrize("file", CASES, ids=lambda file: file.stem)
def test_case(file: Path, tmp_path: Path) -> None:
    case = read_case(file)
    assert set(case) == {"about", "change", "findings"}
    found = surveyed(tmp_path, case["change"]).findings
    told = [str(f) for f in found if f.severity != "note" and f.rule in SPEAKING]
    assert told == expected(case)
