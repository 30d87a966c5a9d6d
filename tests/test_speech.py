"""Numbers, signs and short forms as a presenter says them, and the pauses that hands need.

What is said is common practice of each language; German capitals after the official spelling
rules (Amtliches Regelwerk, § 55), Polish cases of numerals after the tables of the Polish
Wiktionary (from memory).
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from kitdocs.assembly.design import Design
from kitdocs.kit.reader import read_kit
from kitdocs.words.narration.pauses import hands, shown
from kitdocs.words.narration.script import script
from kitdocs.words.narration.speech import spoken, spoken_sentence

CONTENT = Path(__file__).parent.parent / "content"


@pytest.mark.parametrize(
    ("code", "text", "said"),
    [
        # Dates, times and years
        ("en", "on 25 November 2026", "on the twenty-fifth of November twenty twenty-six"),
        ("en", "on 2026-11-25", "on the twenty-fifth of November twenty twenty-six"),
        ("en", "on 3 May 2005", "on the third of May two thousand and five"),
        ("en", "drawn in 1687.", "drawn in sixteen eighty-seven."),
        ("en", "in 1200 turns", "in one thousand two hundred turns"),
        ("en", "at 20:15", "at twenty fifteen"),
        ("de", "am 3. Mai 1987", "am dritten Mai neunzehnhundertsiebenundachtzig"),
        ("de", "um 20:15 Uhr", "um zwanzig Uhr fünfzehn"),
        ("pl", "25 maja 2026", "dwudziestego piątego maja dwa tysiące dwudziestego szóstego"),
        ("pl", "o 13:30", "o trzynastej trzydzieści"),
        # Shares
        ("en", "Turn it ½ turn.", "Turn it half a turn."),
        ("en", "a ¼ turn", "a quarter turn"),
        ("en", "3/4 turn", "three quarters of a turn"),
        ("en", "½ mm", "half a millimetre"),
        ("en", "2½ mm", "two and a half millimetres"),
        ("de", "1½ Umdrehungen", "eineinhalb Umdrehungen"),
        ("de", "½ Umdrehung", "eine halbe Umdrehung"),
        ("de", "um eine ¼ Umdrehung", "um eine viertel Umdrehung"),
        ("pl", "1½ obrotu", "półtora obrotu"),
        ("pl", "1½ godziny", "półtorej godziny"),
        ("pl", "o ¼ obrotu", "o jedną czwartą obrotu"),
        # Signs of an amount
        ("en", "≤ 0.1 mm", "at most nought point one millimetres"),
        ("en", "Ø 6 mm", "diameter six millimetres"),
        ("en", "10× as fast", "ten times as fast"),
        ("en", "3-4 mm", "three to four millimetres"),
        ("en", "10,758.8 days", "ten thousand seven hundred and fifty-eight point eight days"),
        ("en", "1:1.5", "one to one point five"),
        ("en", "608ZZ", "six hundred and eight Z Z"),
        ("de", "≥ 5 mm", "mindestens fünf Millimeter"),
        ("de", "1:12", "eins zu zwölf"),
        ("de", "5–8 mm", "fünf bis acht Millimeter"),
        ("de", "1.000 mm", "eintausend Millimeter"),
        # Short forms
        ("en", "e.g. a card", "for example a card"),
        ("en", "screws, washers etc.", "screws, washers and so on."),
        ("en", "No. 3, approx. 5 mm", "number three, about five millimetres"),
        ("de", "z. B. Nr. 3, max. 5 mm", "zum Beispiel Nummer drei, höchstens fünf Millimeter"),
        ("pl", "np. ok. 5 mm", "na przykład około pięciu milimetrów"),
        # German ordinals, articles and compounds
        ("de", "in der 3. Stufe", "in der dritten Stufe"),
        ("de", "die 2. Nabe", "die zweite Nabe"),
        ("de", "zum 1. Mal", "zum ersten Mal"),
        ("de", "das 106-Zahn-Rad", "das Einhundertsechs-Zahn-Rad"),
        ("de", "die 3-mm-Bohrung", "die Drei-Millimeter-Bohrung"),
        ("de", "2-teilig, 3-fach", "zweiteilig, dreifach"),
        ("de", "mit 1 g Fett", "mit einem Gramm Fett"),
        ("de", "um 1° weiter", "um einen Grad weiter"),
        # Polish cases and genders
        ("pl", "2 h", "dwie godziny"),
        ("pl", "odczekaj 1 h", "odczekaj jedną godzinę"),
        ("pl", "do 1 mm", "do jednego milimetra"),
        ("pl", "od 3 do 5 mm", "od trzech do pięciu milimetrów"),
        ("pl", "5–8 mm", "pięć do ośmiu milimetrów"),
        ("pl", "z 3 śrubami", "z trzema śrubami"),
        ("pl", "w 3 otworach", "w trzech otworach"),
        ("pl", "22 śruby", "22 śruby"),  # dwadzieścia dwa, or dwie: its gender is not known
        ("pl", "3. koło", "3. koło"),  # its gender and case are not known
        ("pl", "2 razy", "dwa razy"),
        ("pl", "1:12", "jeden do dwunastu"),
    ],
)  # fmt: skip
def test_what_is_written_short_is_said_in_full(code, text, said):
    assert spoken(text, code) == said


def test_a_sentence_that_begins_with_a_figure_begins_with_a_capital():
    assert spoken_sentence("3 screws hold it.", "en") == "Three screws hold it."
    assert spoken("3 screws", "en") == "three screws"


@cache
def design(kit: str) -> Design:
    found = read_kit(CONTENT.parent, CONTENT / kit, CONTENT).kit
    assert found is not None
    return Design(found)


def lines(kit: str, stage: str, number: int) -> dict[str, float]:
    """The pauses of one step, by the first words of the sentence before each."""
    it = next(one for one in design(kit).kit.stages if one.id == stage)
    told = script(design(kit), it, "en").lines
    return {" ".join(line.text.split()[:6]): line.pause for line in told
            if line.number == number and line.pause}  # fmt: skip


def test_hands_work_after_the_sentence_that_asks_for_it():
    """Each part after its own sentence (6 s to slide on, 8 s to place), the oil after *Oil the
    post*, and what is to be seen after the remark that says what."""
    assert lines("quayside", "mercury", 2) == {
        "Slide the post sleeve down the": 6.0,
        "Drop a post washer on top": 6.0,
        "Oil the post.": 6.0,
        "Lower the Mercury pipe over it,": 8.0,
        "Let go of the pipe: it": 6.0,
    }


def test_what_no_sentence_names_is_done_after_the_next_instruction():
    """The hub is put over the pipe, and the wheels are brought together, by sentences that name
    neither."""
    pauses = lines("quayside", "mercury", 1)
    assert pauses["Stand the Mercury pipe on the"] == 6.0
    assert pauses["Lower the hub over it, wheel"] == 8.0
    pauses = lines("quayside", "mercury", 4)
    assert pauses["Slide the wheel down the fast"] == 8.0
    assert pauses["Let its teeth find those of"] == 8.0


def test_an_action_on_several_items_is_shared_out_among_their_sentences():
    """Four press fits of 20 s are shown in 60 s, 15 s each."""
    assert sorted(lines("tellurion", "base", 4).values()) == [6.0, 15.0, 15.0, 15.0, 15.0]


@pytest.mark.parametrize("kit", ["quayside", "tellurion"])
def test_no_second_is_lost_or_added_in_any_language(kit):
    made = design(kit)
    for stage in made.kit.stages:
        for code in made.kit.languages:
            told = script(made, stage, code)
            for step in stage.steps:
                pauses = sum(line.pause for line in told.lines if line.step == step.id)
                asked = sum(hands(made, a) * shown(made, a) for a in step.actions)
                assert pauses == pytest.approx(asked, abs=0.5), (stage.id, step.id, code)
