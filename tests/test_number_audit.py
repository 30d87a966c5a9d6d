"""The number audit: what it reads in each language, what it lets pass, and what it finds."""

from __future__ import annotations

import re

import pytest
from babel import Locale
from babel.numbers import format_decimal
from break_words import changes, is_argued, noticed
from changed_kit import lines, surveyed
from hypothesis import given, settings
from hypothesis import strategies as st
from num2words import num2words
from word_sentences import Said, collection, design, flagged, heard, scope

from kitdocs.words.audit.auditor import TONGUES, auditor_of
from kitdocs.words.audit.claims.claims import claims
from kitdocs.words.audit.claims.figures import read_figure
from kitdocs.words.audit.claims.spellings import read_spelling
from kitdocs.words.audit.judging.statement import Against

#: How many sentences each collection has at the least.
SENTENCES = {"en": 200, "de": 200, "pl": 350}


@pytest.mark.parametrize("code", SENTENCES)
def test_correct_prose_gives_no_false_alarm(code):
    said = list(collection(code))
    assert len(said) >= SENTENCES[code]
    wrong = [one.text for one in said if flagged(one)]
    assert len(wrong) <= len(said) / 100, wrong


@pytest.mark.parametrize("kind", ["figure", "designation", "number word"])
@pytest.mark.parametrize("code, share", [("en", 0.99), ("de", 0.99), ("pl", 0.99)])
def test_a_changed_number_is_noticed(code, share, kind):
    """Each kind for itself, so that many of one do not hide what is missed of another."""
    made = [c for said in collection(code) for c in changes(said) if c.kind == kind]
    unnoticed = (c for c in made if not noticed(c) and not is_argued(c))
    missed = [f"{c.was} → {c.now} in {c.said.text}" for c in unnoticed]
    assert len(made) > (150 if code != "pl" else 50)
    assert len(missed) <= (1 - share) * len(made), missed


@pytest.mark.parametrize("code", TONGUES)
def test_number_words_are_read_as_num2words_writes_them(code):
    for number in (*range(121), 199, 200, 310, 365, 687, 999, 1000, 1543, 9999):
        words = re.split("[ -]", num2words(number, lang=code).lower())
        words = [word.strip(",") for word in words]
        spoken = TONGUES[code].spoken(words)
        assert spoken == (number, len(words)), num2words(number, lang=code)


@pytest.mark.parametrize("code", TONGUES)
def test_figures_are_read_by_the_symbols_of_cldr(code):
    locale = Locale.parse(code)
    assert TONGUES[code].mark == locale.number_symbols["latn"]["decimal"]
    for value in (0.5, 2.5, 12.46, 1250, 12500, 10759.22, 1234567.25):
        written = format_decimal(value, locale=locale)
        figure = read_figure(written, TONGUES[code].mark)
        assert figure is not None and figure.value == value, written


@pytest.mark.parametrize(
    "written, mark, value, step",
    [
        ("2,5", ".", 2.5, 0.05),  # a decimal comma in English is a slip, not a thousand
        ("1,250", ".", 1250, 0.5),
        ("1,250", ",", 1.25, 0.0005),
        ("1.250", ",", 1250, 0.5),
        ("−0.012", ".", -0.012, 0.0005),
        ("½", ".", 0.5, 0.125),
        ("1 ½", ".", 1.5, 0.125),
        ("3/4", ".", 0.75, 0.0625),
        ("1 3/4", ".", 1.75, 0.0625),
        ("12\u202f345.5", ".", 12345.5, 0.05),
        ("1'000", ".", 1000, 0.5),
    ],
)
def test_figures_in_all_their_forms(written, mark, value, step):
    figure = read_figure(written, mark)
    assert figure is not None
    assert (figure.value, figure.step) == (pytest.approx(value), pytest.approx(step))


@pytest.mark.parametrize("mark", [".", ","])
@pytest.mark.parametrize(
    "written", ["1.5/2", "1,5/2", "1.2.3", "1..2", "3/0", "½½", "", "-", "²", "1/2/3", "9" * 5000]
)
def test_a_strange_figure_is_read_or_is_none(written, mark):
    figure = read_figure(written, mark)
    assert figure is None or figure.value > 0


_SIGNS = st.text("0123456789.,/:;-–−±½¼ \u202f'×xM²³٣§°%#()", max_size=12)
_AROUND = ("{} mm", "hole {}", "holes 1, {} and 3", "{} teeth", "a {}-tooth wheel", "{} screws",
           "Loch {}", "{} Zähne", "otwory {} i 3", "{} zębów", "stage {} of 2", "M{} × 8",
           "turn it {} times", "{}-mal")  # fmt: skip


@pytest.mark.parametrize("code", TONGUES)
@settings(deadline=None)
@given(written=_SIGNS, around=st.sampled_from(_AROUND))
def test_no_text_raises(code, written, around):
    heard(Said(code, "drive", "4", around.format(written)))


# The designation examples of the standards' own clauses "Designation" (from memory), in the
# spellings that people give them.
@pytest.mark.parametrize(
    "spelling, designation",
    [
        ("ISO 7045 - M5 x 20", "ISO 7045 M5 x 20"),
        ("ISO 4762 – M5 × 20", "ISO 4762 M5 x 20"),
        ("ISO 4026 M6x12", "ISO 4026 M6 x 12"),
        ("M2.5*6", "M2.5 x 6"),
        ("M2,5x6", "M2.5 x 6"),
        ("M2.5-6", "M2.5 x 6"),
        ("M2.5 х 6", "M2.5 x 6"),
        ("M 2,5 × 6", "M2.5 x 6"),
        ("M2.5\u00a0×\u00a06", "M2.5 x 6"),
    ],
)
def test_designations_in_all_their_spellings(spelling, designation):
    assert str(read_spelling(spelling)) == designation


@pytest.mark.parametrize(
    "code, text, kind, low, what",
    [
        ("en", "It is 12.5 mm long.", "measure", 12.5, "mm"),
        ("en", "It is 12.5mm long.", "measure", 12.5, "mm"),
        ("en", "a 1.5-mm key", "measure", 1.5, "mm"),
        ("en", "It drifts by 0.3° a year.", "measure", 0.3, "deg"),
        ("en", "Turn it by 30'.", "measure", 0.5, "deg"),
        ("en", "It takes two hours.", "measure", 2 / 24, "day"),
        ("en", "about twelve turns of the crank", "measure", 12, "turn"),
        ("en", "Tighten with 0.5 N·m.", "measure", 0.5, "N·m"),
        ("en", "It weighs 40 g.", "measure", 40, "g"),
        ("en", "a sixty-one-tooth wheel", "teeth", 61, ""),
        ("de", "ein 33-Zahn-Rad", "teeth", 33, ""),
        ("de", "ein Rad mit dreiunddreißig Zähnen", "teeth", 33, ""),
        ("de", "Es ist 2,5 mm lang.", "measure", 2.5, "mm"),
        ("de", "drei Schrauben", "count", 3, ""),
        ("pl", "trzema śrubami", "count", 3, ""),
        ("pl", "koło 33-zębowe", "teeth", 33, ""),
        ("pl", "koło dwudziestodziewięciozębowe", "teeth", 29, ""),
        ("pl", "koło z dwunastoma zębami", "teeth", 12, ""),
        ("pl", "śrub jest pięć", "count", 5, ""),
        ("pl", "trzy i pół milimetra", "measure", 3.5, "mm"),
        ("pl", "dwa pełne obroty", "measure", 2, "turn"),
        ("pl", "trzy kwadranse", "measure", 45 / 1440, "day"),
    ],
)
def test_claims_are_read(code, text, kind, low, what):
    (claim,) = claims(text, auditor_of(design(), code).lexicon)
    assert (claim.kind, claim.what) == (kind, what)
    assert claim.low == pytest.approx(low)


@pytest.mark.parametrize(
    "text",
    [
        "Look at one end, then at the other one.",
        "Go on one by one.",
        "Stand it on the bench, from two sides.",
    ],
)
def test_what_counts_nothing_is_no_claim(text):
    assert claims(text, auditor_of(design(), "en").lexicon) == ()


@pytest.mark.parametrize(
    "step, text",
    [
        ("4", "Give each a quarter turn, in turn, once or twice."),
        ("4", "Back them off by half a turn."),
        ("2", "Turn the post half a turn if it sticks."),
        ("3", "The third washer lies below the second."),
    ],
)
def test_what_is_done_by_hand_claims_nothing(step, text):
    assert not flagged(Said("en", "drive", step, text))


@pytest.mark.parametrize(
    "step, text, expected",
    [
        # cases 3.9 and 4.1: a count in words that is not the step's
        ("1", "Glue four feet under the plate.", "3 (what is taken)"),
        # case 4.5: a fastener that is in no list
        ("4", "Drive the M3 × 10 screws.", "ISO 7045 M2.5 x 6"),
        ("4", "The wheel has 44 teeth.", "43 teeth"),
        ("2", "The post is 72.6 mm long.", "76.2 mm (the length of post-6)"),
        ("2", "Wait 24 hours.", "the minutes of the stage"),
        ("2", "See step 3.", "a link to the step"),
        ("2", "See figure 3.", "a link to what is meant"),
        ("2", "There are ٣ of them.", "a figure that the design has"),
        ("2", "Paid on 2026-01-02.", "a source"),
    ],
)
def test_a_number_that_nothing_backs_is_found(step, text, expected):
    (found,) = flagged(Said("en", "drive", step, text))
    assert isinstance(found.outcome, Against)
    assert expected in found.outcome.expected


@pytest.mark.parametrize(
    "text, source",
    [
        ("Fix {{ count('foot-a', 'foot-b') }} feet.", "expression"),
        ("The {{ item('lay-earth').teeth }}-tooth wheel.", "expression"),
        ("Wait {{ given('24 hours', 'the data sheet') }}.", "source"),
        ("Take the 1.5 mm hex key.", "name"),
        ("The Earth pipe is 60 mm long.", "fact"),
    ],
)
def test_where_a_number_comes_from_is_told(text, source):
    (found,) = heard(Said("en", "drive", "5", text))
    assert found.outcome.from_ == source


def test_the_nearest_circle_that_knows_decides():
    """The stage takes four washers in all; its second step takes one."""
    assert scope(Said("en", "drive", "2", "")).taking.parts["washer-6"] == 1
    assert flagged(Said("en", "drive", "2", "Put on four washers."))
    assert not flagged(Said("en", "drive", "2", "Put on one washer."))


def test_the_finding_names_sentence_facts_and_expression(tmp_path):
    put = "Glue four feet under the {{ item('base') }}."
    find = "Glue {{ count('foot-a', 'foot-b', 'foot-c') }} feet under the {{ item('base') }}."
    found = surveyed(tmp_path, [{"file": "stages/drive.md", "find": find, "put": put}])
    (line,) = [line for line in lines(found) if "word-number" in line]
    assert line.startswith("content/bench/stages/drive.md:14:6: error word-number: 'four' in ")
    assert "expected 3 (what is taken)" in line
    assert "{{ count('foot-a', 'foot-b', 'foot-c') }}" in line


@pytest.mark.parametrize(
    "file, find, put",
    [
        ("stages/drive.md", "title: Stand and drive", "title: Stand and 3 drives"),
        ("stages/drive.md", "summary: The stand", "summary: Four feet, the stand"),
        ("stages/drive.md", "## Glue the feet", "## Glue the four feet"),
        ("stages/drive.md", "Glue {{", "![a 44-tooth wheel](x.png)\n\nGlue {{"),
        ("stages/drive.md", "Glue {{", "```\n12.5 mm\n```\n\nGlue {{"),
        ("stages/drive.md", "Glue {{", "| part | teeth |\n|---|---|\n| post | 77 |\n\nGlue {{"),
        ("stages/drive.md", "Glue {{", '!!! note "Four feet"\n    Here.\n\nGlue {{'),
        ("kit.yml", "Earth, Mars and the Moon on", "7 planets on"),
        ("parts.yml", "name: moon pinion, teeth: 11", "name: 12-tooth pinion, teeth: 11"),
        ("parts.yml", "material: birch ply", "material: 9 mm birch ply"),
    ],
)
def test_every_text_that_is_shown_is_read(tmp_path, file, find, put):
    found = surveyed(tmp_path, [{"file": file, "find": find, "put": put}])
    wrong = [f for f in found.findings if f.rule == "word-number" and f.severity == "error"]
    assert [f.place.path for f in wrong] == [f"content/bench/{file}"], lines(found)


def test_a_translated_page_is_read_in_its_language(tmp_path):
    page = (
        "---\ntitle: Ständer und Antrieb\n---\nDie Säule ist 76,2 mm lang, nicht 77,2 mm.\n\n"
        "## Füße ankleben\n\nKleben Sie vier Füße an.\n\n```step\ntranslates: fit-base\n```\n"
    )
    changes_ = [
        {"file": "kit.yml", "find": "cautions:", "put": "languages: [en, de]\ncautions:"},
        {"file": "stages/drive.de.md", "new": page},
        {"file": "words.de.yml", "new": "parts: {post-6: Säule, foot: {name: Fuß, plural: Füße}}"},
    ]
    found = surveyed(tmp_path, changes_)
    wrong = [f for f in found.findings if f.rule == "word-number"]
    assert [(f.place.line, f.place.column) for f in wrong] == [(4, 35), (8, 12)], lines(found)
