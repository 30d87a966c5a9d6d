"""The forms that numbers take beside the words around them: German ordinals and *ein*, Polish
cases. Common practice of each language.

Where neither the word before nor the ending after tells the form, none is guessed.
"""

from __future__ import annotations

import re

from kitdocs.words.number_words import ordinal
from kitdocs.words.polish_numbers import cardinal as polish
from kitdocs.words.polish_numbers import genitive, instrumental
from kitdocs.words.writing.english import words

_WORD = r"[^\W\d_]+"
_LAST_TWO = re.compile(rf"({_WORD})\s+({_WORD})\s+$")
_NEXT = re.compile(rf"[ \u00a0\u202f]+({_WORD})")

#: After which German has the dative: *in der dritten Stufe*, *mit einem Gramm*.
_DATIVE = words(
    "aus außer bei mit nach seit von zu gegenüber ab in an auf unter über vor hinter neben zwischen"
)
_ALWAYS_DATIVE = words("aus außer bei mit nach seit von zu gegenüber ab")
#: After which an ordinal ends in -n: articles in the dative or the genitive, and prepositions
#: with an article in them.
_WITH_N = words("dem den des einem eines einer im am vom zum zur beim")
_ACCUSATIVE = words("um für durch gegen ohne bis den")
#: After which Polish has the genitive.
_GENITIVE = words(
    "do od z ze bez dla około koło obok poniżej powyżej u wokół spośród oprócz zamiast"
)
#: What follows a Polish number and is not counted.
_NO_NOUN = words("do i lub albo oraz a na przez z ze w o po aż od")


def word_before(text: str) -> str:
    """The last word of a text, in small letters; empty where a mark stands after it."""
    match = re.search(rf"({_WORD})[ \u00a0\u202f]+$", text)
    return match[1].lower() if match else ""


def german_ordinal(number: int, before: str) -> str:
    """*dritte* or *dritten*, by what stands before: `in der`, `das`, `im`."""
    last = word_before(before)
    told = ordinal(number, "de")
    if last in _WITH_N:
        return f"{told}n"
    if last in ("der", "die") and (two := _LAST_TWO.search(before)):
        preposition = two[1].lower()
        if last == "der" and preposition in _DATIVE:
            return f"{told}n"
    return told


def german_one(noun: str, before: str) -> str:
    """*ein* as it goes with a unit: *eine Sekunde*, *einen Grad*, *einem Gramm*."""
    is_feminine, last = noun.endswith("e"), word_before(before)
    if last in _ALWAYS_DATIVE:
        return "einer" if is_feminine else "einem"
    if is_feminine:
        return "eine"
    masculine = noun in ("Tag", "Grad", "Grad Celsius")
    return "einen" if masculine and last in _ACCUSATIVE else "ein"


def polish_number(number: int, before: str, after: str, unit: bool = False) -> str | None:
    """A Polish number before a noun or a unit: in the case that its noun's ending or its
    preposition tells. None where the form goes with a gender that is not known."""
    noun = "" if unit else (match[1].lower() if (match := _NEXT.match(after)) else "")
    noun = "" if noun in _NO_NOUN else noun
    if noun.endswith(("ami", "mi")) and number > 1:
        return instrumental(number)
    if noun.endswith(("ach", "om")) and number > 1:
        return "dwom" if noun.endswith("om") and number == 2 else genitive(number)
    if takes_genitive(before) and (not noun or noun.endswith(("ów", "u")) or number > 4):
        return genitive(number)
    if noun.startswith("raz"):
        return polish(number)
    is_gendered = number == 1 or (number % 10 == 2 and number % 100 != 12)
    return None if noun and is_gendered else polish(number)


def takes_genitive(before: str) -> bool:
    """Whether the word before a Polish number asks for the genitive."""
    return word_before(before) in _GENITIVE


def polish_one(noun: str, before: str) -> str:
    """*1* with a Polish unit: masculine, or feminine as an object; in the genitive after its
    prepositions."""
    is_feminine = noun.split()[0].endswith("a")
    if takes_genitive(before):
        return "jednej" if is_feminine else "jednego"
    if not is_feminine:
        return "jeden"
    return "jedną" if word_before(before) else "jedna"
