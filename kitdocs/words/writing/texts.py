"""The words of a kit, passage by passage, as the checks of writing read them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import groupby

from kitdocs.assembly.design import Design
from kitdocs.kit.model import Kit
from kitdocs.kit.stage import Passage, Stage, Step
from kitdocs.words.audit.passages import words_of
from kitdocs.words.sentences import Sentence

_ADMONITION = re.compile(r"([ \t]*)(?:!!!|\?\?\?\+?)[ \t]+([\w-]+)")
_ORDERED = re.compile(r"[ \t>]*\d{1,9}[.)][ \t]")


@dataclass(frozen=True)
class Box:
    """An admonition: its word (`warning`), and its first and last line in the file."""

    word: str
    first: int
    last: int


@dataclass(frozen=True)
class Text:
    """One passage in one language, its sentences, and the step that it belongs to."""

    code: str
    passage: Passage
    sentences: tuple[Sentence, ...]
    stage: Stage | None = None
    step: Step | None = None

    @cached_property
    def language(self) -> str:
        """The language without its region."""
        return self.code.partition("-")[0]

    @cached_property
    def _lines(self) -> list[str]:
        return self.passage.text.split("\n")

    def is_numbered(self, sentence: Sentence) -> bool:
        """Whether a sentence stands in a numbered list."""
        if sentence.kind != "item":
            return False
        return _ORDERED.match(self._line(sentence.place().line)) is not None

    def _line(self, line: int) -> str:
        number = line - self.passage.place.line
        return self._lines[number] if 0 <= number < len(self._lines) else ""

    @cached_property
    def boxes(self) -> tuple[Box, ...]:
        """Its admonitions, in order."""
        return tuple(_boxes(self._lines, self.passage.place.line))

    def box(self, sentence: Sentence) -> Box | None:
        """The admonition that a sentence stands in."""
        line = sentence.place().line
        return next((box for box in self.boxes if box.first <= line <= box.last), None)


def _boxes(lines: list[str], start: int) -> Iterator[Box]:
    for number, line in enumerate(lines):
        if title := _ADMONITION.match(line):
            inside = title[1] + "    "
            last = number
            for later in range(number + 1, len(lines)):
                if lines[later].strip() and not lines[later].startswith(inside):
                    break
                if lines[later].strip():
                    last = later
            yield Box(title[2].lower(), start + number, start + last)


@lru_cache(maxsize=8)
def texts(design: Design) -> tuple[Text, ...]:
    """Every passage of prose that an editor wrote, language by language: pages, what opens a
    stage, and the words of its steps. Read once, together with the audit of their numbers."""
    prose = frozenset(_prose(design.kit))
    found: list[Text] = []
    for words in words_of(design):
        for passage, told in groupby(words.sentences, key=lambda sentence: sentence.passage):
            if passage is not None and passage in prose:
                scope = words.scope
                found.append(Text(words.code, passage, tuple(told), scope.stage, scope.step))
    return tuple(found)


def _prose(kit: Kit) -> Iterator[Passage]:
    for page in kit.pages:
        yield page.text
    for stage in kit.stages:
        yield stage.words
        yield from (step.words for step in stage.steps)
    for made in kit.translations.values():
        yield made.words
        yield from (step.words for step in made.steps)
