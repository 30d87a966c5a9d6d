"""Number words against the reference library num2words, language by language.

Differences that are a matter of style are named where they are: num2words writes commas between
the groups of English numbers, says *zero* where speech says *nought*, and writes *million* small
in German ordinals. It has no sound Polish ordinals for whole thousands above twenty, no negative
Polish numbers, and a stray s in German *einhunderteinstausend* (Duden: hunderteintausend, from
memory).
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from num2words import num2words

from kitdocs.words.number_words import LANGUAGES, MOST, cardinal, compound, decimal, ordinal

codes = pytest.mark.parametrize("code", LANGUAGES)
NEAR = range(2200)


def theirs(number: int, code: str, to: str = "cardinal") -> str:
    words = num2words(number, lang=code, to=to).replace(",", "")
    return words.replace("einstausend", "eintausend") if code == "de" else words


@codes
def test_cardinals_up_to_two_thousand(code: str) -> None:
    assert [cardinal(n, code) for n in NEAR] == [theirs(n, code) for n in NEAR]


@codes
@settings(deadline=None)
@given(number=st.integers(0, MOST - 1))
def test_cardinals(code: str, number: int) -> None:
    assert cardinal(number, code) == theirs(number, code)
    assert cardinal(-number - 1, code) == f"minus {cardinal(number + 1, code)}"


@codes
def test_ordinals_up_to_two_thousand(code: str) -> None:
    numbers = [n for n in NEAR if n > 0]
    if code == "pl":
        # num2words 0.5.14 has "czterysetny"; the dictionary of the PWN has "czterechsetny"
        # (from memory), as other compounds of four hundred are made.
        numbers = [n for n in numbers if n % 1000 != 400]
    assert [ordinal(n, code) for n in numbers] == [theirs(n, code, "ordinal") for n in numbers]


@pytest.mark.parametrize("code", ["en", "de"])
@settings(deadline=None)
@given(number=st.integers(0, MOST))
def test_ordinals(code: str, number: int) -> None:
    assert ordinal(number, code).lower() == theirs(number, code, "ordinal").lower()


@settings(deadline=None)
@given(number=st.integers(1, MOST).filter(lambda n: n % 1000 and n % 1000 != 400))
def test_polish_ordinals_that_end_in_no_whole_thousand(number: int) -> None:
    assert ordinal(number, "pl") == theirs(number, "pl", "ordinal")


@pytest.mark.parametrize(
    ("number", "words"),
    [  # from memory of Polish grammar: the number joined to the word for thousand, in the genitive
        (2000, "dwutysięczny"),
        (21000, "dwudziestojednotysięczny"),
        (101000, "stujednotysięczny"),
        (1005000, "milion pięciotysięczny"),
        (2000000, "dwumilionowy"),
    ],
)
def test_polish_ordinals_of_whole_thousands(number: int, words: str) -> None:
    assert ordinal(number, "pl") == words


@codes
@pytest.mark.parametrize("written", ["2.5", "0.12", "0.05", "12.75", "365.256"])
def test_decimals(code: str, written: str) -> None:
    said = decimal(written, code).replace("nought", "zero")
    assert said == num2words(float(written), lang=code)


def test_decimals_keep_the_digits_that_are_written() -> None:
    assert decimal("2.50", "en") == "two point five nought"
    assert decimal("2,50", "de") == "zwei Komma fünf null"
    assert decimal("0,5", "pl") == "zero przecinek pięć"
    assert decimal("\u22120.12", "en") == "minus nought point one two"


@pytest.mark.parametrize("written", ["", ".", "1.", ".5", "1.2.3", "²", "1e3", "ten", "--1"])
def test_what_is_no_number(written: str) -> None:
    with pytest.raises(ValueError, match=r"is no number|'"):
        decimal(written, "en")


@codes
def test_numbers_without_words(code: str) -> None:
    with pytest.raises(ValueError, match="no words"):
        cardinal(MOST + 1, code)
    with pytest.raises(ValueError, match="no ordinal"):
        ordinal(-1, code)


def test_compounds() -> None:
    assert compound(106, "en") + "-tooth" == "one-hundred-and-six-tooth"
    assert compound(106, "de") + "-Zahn-Rad" == "einhundertsechs-Zahn-Rad"
    assert compound(106, "pl") + "zębowe" == "stusześciozębowe"  # from memory of the grammar
