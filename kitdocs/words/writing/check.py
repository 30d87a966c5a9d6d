"""What a check of writing is, and the faults that it finds."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from kitdocs.assembly.design import Design
from kitdocs.finding import Place
from kitdocs.words.sentences import Sentence
from kitdocs.words.writing.texts import Text


@dataclass(frozen=True)
class Fault:
    """What is wrong at one place."""

    place: Place
    found: str
    expected: str
    mend: str = ""


@dataclass(frozen=True)
class WritingCheck:
    """One rule of writing: what it demands, where that comes from, and the languages it holds in.

    `languages` is empty where it holds in all of them.
    """

    id: str
    demand: str
    source: str
    example: str
    faults: Callable[[Design, Text], Iterator[Fault]]
    languages: tuple[str, ...] = ()
    formula: str = ""

    def holds_in(self, language: str) -> bool:
        return not self.languages or language in self.languages


def at(sentence: Sentence, offset: int, found: str, expected: str, mend: str = "") -> Fault:
    return Fault(sentence.place(offset), found, expected, mend)


def shown(text: str, longest: int = 60) -> str:
    """The beginning of a sentence, as a finding quotes it."""
    return f"'{text}'" if len(text) <= longest else f"'{text[: longest - 1].rstrip()}…'"


def is_backed(sentence: Sentence, start: int, end: int) -> bool:
    """Whether characters of a sentence came from an expression, at least in part."""
    return any(b.start < end and b.end > start for b in sentence.backed)
