"""Which items a step's words name, and which of them an instruction is done to.

Only expressions name an item beyond doubt. An item is the object of an instruction where no
preposition stands between the verb and its name: *slide the washer down the post* is done to the
washer, and the post is only where.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from kitdocs.words.prepositions import PREPOSITION
from kitdocs.words.sentences import Sentence
from kitdocs.words.syntax import Asked, asked
from kitdocs.words.views import Unknown
from kitdocs.words.writing.english import command, command_after_lead, further_commands
from kitdocs.words.writing.texts import Text

#: Facts of an item that are its fastener.
FASTENERS = ("screw", "screws", "driver")

_PARTICLE = re.compile(r"\s*(?:on|off|back|down|up|out|in|over|together|again|one)\b(?!\s+to\b)")
#: What stands before a name that no verb stands before: it does something itself.
_SUBJECT = re.compile(
    r"[\W_]*(?:(?:der|die|das|dies\w*|jede[rs]?|eine?|kein\w*)\s+)?", re.IGNORECASE
)
_WITH = re.compile(r"(?:do the same|begin|start|finish|go on|continue)\s+with\b", re.IGNORECASE)
#: After which a thing lies below or round what is put there: *on the hub*, *over the post*.
_HOST = {
    "en": re.compile(r"(?<!\w)(?:on|onto|over|down|to|in|into)\s+(?:the|an?|its|each)\s*$", re.I),
    "de": re.compile(r"(?<!\w)(?:auf|über|in|bis zu[rm]?)\s+(?:\w+\s*)?$", re.I),
    "pl": re.compile(r"(?<!\w)(?:na|do|w)\s+(?:\w+\s*)?$", re.I),
}


@dataclass(frozen=True)
class Mention:
    """An item that an expression names. `fact` is what of it (`screw`), empty for the item.

    `clause` counts the instructions of the text. `is_object` says whether the instruction is done
    to it, `is_host` whether the object is put on, over or into it.
    """

    item: str
    fact: str
    sentence: Sentence
    start: int
    clause: int
    is_object: bool
    is_host: bool


@dataclass(frozen=True)
class Named:
    """What an expression names besides an item: `part`, `arbor`, `body`, and their ids."""

    what: str
    ids: tuple[str, ...]


def expressions(sentence: Sentence) -> Iterator[tuple[Asked, int]]:
    """The expressions in a sentence that can be read, and where each stands."""
    for backed in sentence.backed:
        try:
            yield asked(backed.source), backed.start
        except Unknown:
            continue


def others(text: Text) -> frozenset[Named]:
    """Everything but items that a text's expressions name."""
    return frozenset(
        Named(one.name, one.ids or ())
        for sentence in text.sentences
        for one, _ in expressions(sentence)
        if one.name != "item"
    )


def mentions(text: Text) -> tuple[Mention, ...]:
    """The items that a text's expressions name, in order."""
    found: list[Mention] = []
    clause = 0
    for sentence in text.sentences:
        verbs = _verbs(sentence.text, text.language)
        for one, start in expressions(sentence):
            if one.name != "item" or not one.ids:
                continue
            begun = [verb for verb in verbs if verb <= start]
            between = sentence.text[begun[-1] if begun else 0 : start]
            told = bool(begun) and ":" not in between  # after it stands what is seen
            if _SUBJECT.fullmatch(between):
                told = False
            is_object = told and not PREPOSITION[text.language].search(between)
            host = told and not is_object and _HOST[text.language].search(between)
            found.append(
                Mention(
                    one.ids[0],
                    one.facts[0] if one.facts else "",
                    sentence,
                    start,
                    clause + len(begun),
                    is_object,
                    bool(host),
                )
            )
        clause += len(verbs) + 1
    return tuple(found)


#: Where the next instruction of a sentence begins in German and Polish.
_NEXT = re.compile(r"[;:]|, (?:dann|potem)\b|\bund (?:dann|danach)\b|\ba potem\b")


def _verbs(sentence: str, language: str) -> list[int]:
    """Where each instruction of a sentence begins to speak of its object."""
    if language not in PREPOSITION:
        return []
    if language != "en":
        return [0, *(m.end() for m in _NEXT.finditer(sentence))]
    first = command(sentence)
    if first is None:
        lead = sentence.find(",") + 1
        later = command_after_lead(sentence)
        if later is None:
            return []
        offset = lead + len(sentence[lead:]) - len(sentence[lead:].lstrip())
        ends = [offset + later.end()]
    else:
        ends = [first.end()]
    if same := _WITH.match(sentence):
        ends = [same.end()]
    ends += [m.end() for m in further_commands(sentence) if m.end() > ends[0]]
    return [_after_particle(sentence, end) for end in ends]


def _after_particle(sentence: str, end: int) -> int:
    particle = _PARTICLE.match(sentence, end)
    return particle.end() if particle else end
