"""Golden cases: one change to the base kit each, and the findings exactly as they are printed.

What a case expects is what an editor should be told, judged case by case: the place to mend, what
stands there, what should, and one finding for a chain of consequences.
"""

from __future__ import annotations

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


def test_the_base_kit_has_no_finding(tmp_path: Path) -> None:
    assert lines(surveyed(tmp_path)) == []


@pytest.mark.parametrize("file", CASES, ids=lambda file: file.stem)
def test_case(file: Path, tmp_path: Path) -> None:
    case = read_case(file)
    assert set(case) == {"about", "change", "findings"}
    assert lines(surveyed(tmp_path, case["change"])) == expected(case)
