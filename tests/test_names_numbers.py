"""Numbers and names as readers see them.

Formats after NIST SP 811 (2008): 7.2, a space between number and unit, none before the degree
sign; 10.5.3, digits in threes from the decimal marker, and four digits may stay together; 10.5.2,
a zero before the decimal marker. Counts one to nine are spelled: common practice.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from changed_kit import BASE, surveyed

from kitdocs.survey import survey
from kitdocs.words.names import Names
from kitdocs.words.numbers import (
    days,
    degrees,
    fraction,
    millimetres,
    per_cent,
    plain,
    signed,
    significant,
    spelled,
    turns,
)

NBSP, THIN, MINUS = "\u00a0", "\u202f", "\u2212"


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0, "0"),
        (2.5, "2.5"),
        (2.50, "2.5"),
        (28.840000000000003, "28.84"),
        (0.1 + 0.2, "0.3"),
        (-0.0001, "0"),
        (-1.5, f"{MINUS}1.5"),
        (0.5, "0.5"),  # 10.5.2
        (1234, "1234"),  # 10.5.3: four digits
        (12345.678, f"12{THIN}345.678"),  # 10.5.3
        (1234567, f"1{THIN}234{THIN}567"),
        (100, "100"),
        (Fraction(1, 3), "0.333"),
    ],
)
def test_plain(value: float, text: str) -> None:
    assert plain(value) == text


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (686.97985, 6, "686.98"),
        (10759.22674, 6, f"10{THIN}759.2"),
        (0.00123456, 3, "0.00123"),
        (0.0999999, 3, "0.1"),
        (999999.7, 6, f"1{THIN}000{THIN}000"),
        (123456789, 3, f"123{THIN}456{THIN}789"),
        (29.530588858, 6, "29.5306"),
        (1, 6, "1"),
    ],
)
def test_significant(value: float, digits: int, text: str) -> None:
    assert significant(value, digits) == text


def test_units_stand_after_a_space_that_does_not_break() -> None:
    assert millimetres(28.84) == f"28.84{NBSP}mm"
    assert days(Fraction("29.530588858")) == f"29.5306{NBSP}days"
    assert degrees(14.5) == "14.5°"  # 7.2: no space before the degree sign


@pytest.mark.parametrize(
    ("share", "text"),
    [
        (Fraction(1, 10000), f"+0.01{NBSP}%"),
        (Fraction(-1, 3000), f"{MINUS}0.033{NBSP}%"),
        (Fraction(0), f"0{NBSP}%"),
        (Fraction(243, 1_000_000), f"+0.024{NBSP}%"),
    ],
)
def test_errors_have_a_sign(share: Fraction, text: str) -> None:
    assert per_cent(share) == text


def test_what_is_nearly_nothing_is_not_shown_as_nothing() -> None:
    assert signed(Fraction(1, 10**9), 2) == "+0.000000001"


@pytest.mark.parametrize(
    ("value", "text"),
    [(Fraction(33, 61), "33/61"), (Fraction(4, 2), "2"), (Fraction(-1, 3), f"{MINUS}1/3")],
)
def test_fractions_are_exact(value: Fraction, text: str) -> None:
    assert fraction(value) == text


@pytest.mark.parametrize(
    ("count", "text"), [(0, "no"), (1, "one"), (9, "nine"), (10, "10"), (12345, f"12{THIN}345")]
)
def test_counts(count: int, text: str) -> None:
    assert spelled(count) == text


def test_turns_have_no_sign() -> None:
    assert turns(Fraction(-5, 4)) == "1.25"


def names_of(found) -> tuple[Names, dict]:
    kit = found.kits[0].kit
    return Names(kit), kit.parts


def test_names_come_from_the_facts() -> None:
    names, parts = names_of(survey(BASE.parent, BASE.parent))
    assert names.one(parts["wheel-43"]) == "43-tooth wheel"
    assert names.many(parts["foot"]) == "feet"
    assert names.one(parts["bevel-20"]) == "20-tooth bevel wheel"
    assert names.counted(1, parts["ISO 4026 M3 x 8"]) == "one M3 × 8 set screw"
    assert names.counted(12, parts["ISO 7045 M2.5 x 6"]) == "12 M2.5 × 6 screws"
    assert names.many(parts["washer-6"]) == "6 mm washers"


def test_screws_of_one_size_are_told_apart_by_their_heads(tmp_path) -> None:
    old = "  - ISO 4026 M3 x 8\n"
    both = old + "  - ISO 4762 M3 x 8\n  - ISO 4027 M3 x 8\n"
    changes = [{"file": "parts.yml", "find": old, "put": both}]
    for file in ("mechanism.yml", "deliveries.yml"):
        put = "ISO 4026 M3 x 8"
        changes.append({"file": file, "find": "M3 x 8", "put": put, "every": True})
    names, parts = names_of(surveyed(tmp_path, changes))
    assert names.one(parts["ISO 4026 M3 x 8"]) == "M3 × 8 flat-point set screw"
    assert names.one(parts["ISO 4027 M3 x 8"]) == "M3 × 8 cone-point set screw"
    assert names.one(parts["ISO 4762 M3 x 8"]) == "M3 × 8 screw", "no other screw of that size"


def test_a_plural_of_its_own_counts_without_a_name(tmp_path) -> None:
    changes = [{"file": "parts.yml", "find": "foot: {kind: foot,",
                "put": "foot: {kind: foot, plural: little feet,"}]  # fmt: skip
    names, parts = names_of(surveyed(tmp_path, changes))
    assert names.many(parts["foot"]) == "little feet"
