"""Checks of writing: correct prose passes them, in each language; what they catch, they place.

The golden cases (`tests/cases/plain-*.yml`) have each check's finding and its near miss. Here is
varied correct prose, written for this test, of which nothing may be told.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from changed_kit import change, copy_base

from kitdocs.assembly.design import Design
from kitdocs.finding import Place
from kitdocs.kit.reader import read_kit
from kitdocs.kit.stage import Passage
from kitdocs.words.sentences import sentences
from kitdocs.words.writing.english import command, further_commands, is_instruction
from kitdocs.words.writing.sentence_checks import word_count
from kitdocs.words.writing.table import CHECKS
from kitdocs.words.writing.texts import Text

ENGLISH = """\
1. Lay the wheel on its hub, with the dimple up.
1. Drive the three screws in turn until their heads touch the rim.
1. If the post leans, slacken the screws of its flange.
1. Before the glue sets, wipe off what is pressed out.
1. Do not oil the cross bore.
1. Hold the deck still and turn the crank once round.
1. With the other hand, drop a washer over the rod.
1. Put a drop of oil on the post. Wipe off the rest.
1. Turn the crank for two years and watch the Moon go round.
1. Look if the ball touches the arm.
1. Set the hand to the date, and check that the dial follows.
1. Slide the washer, the spacer and the collar down to the shoulder.
1. Wear gloves and read the maker's data sheet.
1. Never force the wheel over the flat.
1. Then mark the tooth that stands at the dimple.
1. Press the pin in until 5 mm stick out.
1. Count 36 teeth from the mark. Mark the next one.
1. Stand the pipe on the bench. Its flat faces you.
1. Turn the wheel a little until its teeth find the gap.
1. Push the collar down, level with the end of the post.
1. Press in the three 2 × 8 pins, a little at a time.

The rim is a little over 73 mm across.
The screw heads face up, and the wheel turns without a tight place.
Turning once in a year, the arm shows the Earth.
Oil of this kind thickens in the cold. A check of the play takes a minute.

One turn of the crank is a day; the dial has 365 teeth.
In the last stage the arm was loose. The following list says why.
"""
GERMAN = """\
1. Legen Sie das Rad auf die Nabe, die Vertiefung nach oben.
1. Drehen Sie die drei Schrauben reihum ein, bis die Köpfe anliegen.
1. Wenn die Säule schief steht, lösen Sie die Schrauben ihres Flansches.
1. Geben Sie einen Tropfen Öl auf die Säule. Wischen Sie den Rest ab.
1. Drücken Sie den Stift ein, bis 5 mm überstehen.
1. Zählen Sie 36 Zähne ab, und zeichnen Sie den nächsten an.
1. Drehen Sie das Rad ein wenig, bis seine Zähne eingreifen.

Das Rad läuft leicht und ohne Ruck. Seine Vertiefung zeigt nach oben.
Eine Umdrehung der Kurbel ist ein Tag. In der vorigen Stufe war der Arm noch lose.
"""
POLISH = """\
1. Połóż koło na piaście, wgłębieniem do góry.
1. Wkręć trzy śruby na zmianę, aż łby dotkną koła.
1. Jeśli słupek jest krzywy, poluzuj śruby kołnierza.
1. Wciśnij kołek, aż wystaje 5 mm.
1. Odlicz 36 zębów i zaznacz następny.

Koło obraca się swobodnie. Jeden obrót korby to jeden dzień.
"""


@pytest.fixture(scope="module")
def design(tmp_path_factory) -> Design:
    folder = copy_base(tmp_path_factory.mktemp("site"))
    kit = read_kit(folder.parent.parent, folder, folder.parent).kit
    assert kit is not None
    return Design(kit)


def told(design: Design, code: str, words: str) -> list[str]:
    passage = Passage(words, Place("stage.md", 1, 1))
    stage = design.kit.stages[0]
    text = Text(code, passage, sentences(passage, code), stage, stage.steps[0])
    return [
        f"{check.id} {fault.place.line}: {fault.found}"
        for check in CHECKS
        if check.holds_in(text.language)
        for fault in check.faults(design, text)
    ]


@pytest.mark.parametrize(("code", "words"), [("en", ENGLISH), ("de", GERMAN), ("pl", POLISH)])
def test_correct_prose_passes(design: Design, code: str, words: str) -> None:
    assert told(design, code, words) == []


@pytest.mark.parametrize(
    ("code", "words", "found"),
    [
        ("de", "1. Ziehen Sie die Schraube vorsichtig an.", "plain-measure 1"),
        ("de", "1. Nehmen Sie 3 Schrauben.", "plain-count 1"),
        ("de", "1. Der Stift steht 5mm über.", "plain-count 1"),
        ("de", "1. Gehen Sie vor, wie auf der nächsten Seite gezeigt.", "plain-reference 1"),
        ("de", "1. Wie in Schritt 3.", "plain-reference 1"),
        ("de", f"1. Legen Sie {'das Rad und ' * 7}die Nabe hin.", "plain-length 1"),
        ("pl", "1. Dokręć śrubę ostrożnie.", "plain-measure 1"),
        ("pl", "1. Weź 3 śruby.", "plain-count 1"),
        ("pl", "1. Zrób to jak na następnej stronie.", "plain-reference 1"),
        ("en", "1. Do it as in step 3.", "plain-reference 1"),
        ("en", "1. Tighten it a little.", "plain-measure 1"),
        ("en", "1. Drop the lay spacer over it.", "plain-name 1"),
        ("en", "The Earth pipes look alike.", "plain-name 1"),
        ("en", "The kit is ready.\n\n1. You must turn it.", "plain-imperative 3"),
    ],
)
def test_what_is_told_in_each_language(design: Design, code: str, words: str, found: str) -> None:
    assert [one.partition(":")[0] for one in told(design, code, words)] == [found]


@pytest.mark.parametrize(
    "text", ["Oil the post.", "Turn it.", "Do not stop.", "If it runs, stop it.", "Then press it."]
)
def test_instructions(text: str) -> None:
    assert is_instruction(text)


@pytest.mark.parametrize(
    "text",
    ["Oil is dear.", "Turns of the crank are days.", "The wheel turns.", "Screw heads face up."],
)
def test_sentences_that_are_none(text: str) -> None:
    assert command(text) is None


def test_a_second_instruction_is_no_second_thing() -> None:
    assert not list(further_commands("Slide on the spacer and the drive wheel."))
    assert [m["verb"] for m in further_commands("Lift the arm and drive the screw.")] == ["drive"]


def test_words_are_counted_as_the_standard_does() -> None:
    """STE section 8 (from memory): a number, a designation and a hyphenated word are one each; a
    colon ends the count, and words in brackets count by themselves."""
    assert word_count("Drive the M2.5 × 6 screws.") == 4
    assert word_count("the 61-tooth wheel") == 3
    assert word_count("Let go of the pipe: it turns.") == 5
    assert word_count("Turn it (with the long key) now.") == 4


def test_limits_of_writing_are_the_kit_s(tmp_path: Path) -> None:
    folder = copy_base(tmp_path)
    limits = "limits: {plain-length: {most: 5, reason: Short words.}}\nunchecked:"
    change(folder, [{"file": "kit.yml", "find": "unchecked:", "put": limits}])
    kit = read_kit(tmp_path, folder, folder.parent).kit
    assert kit is not None
    assert told(Design(kit), "en", "1. Lay the wheel on its hub.")[0].startswith("plain-length")
