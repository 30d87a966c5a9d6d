"""The words of a stage's page in the language of the book, or where there are none, its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kitdocs.kit.stage import Passage, Stage
from kitdocs.pages.handbook import Handbook
from kitdocs.words.expressions import Prose


@dataclass(frozen=True)
class Said:
    """Words as Markdown. `lang` is their language where it is not that of the page."""

    title: str
    text: str
    lang: str = ""


@dataclass(frozen=True)
class StageWords:
    """The opening words of a stage, and those of its steps by their ids."""

    opening: Said
    steps: Mapping[str, Said]


def stage_words(book: Handbook, stage: Stage) -> StageWords:
    """A stage in the language of the book; a step that is not translated stays as it is."""
    kit, code = book.kit, book.language.code
    made = kit.translation(stage.uri, code)
    first = code == kit.languages[0]
    here = Prose(book.design, book.names)
    own = here if first else Prose(book.design)
    foreign = "" if first else kit.languages[0]

    def said(prose: Prose, title: Passage | None, words: Passage, lang: str) -> Said:
        head = prose.text(title, stage=stage)[0] if title else ""
        return Said(head, prose.text(words, stage=stage)[0].strip(), lang)

    steps: dict[str, Said] = {}
    for step in stage.steps:
        translated = made.step(step.id) if made else None
        if translated is not None:
            steps[step.id] = said(here, translated.title, translated.words, "")
        else:
            steps[step.id] = said(own, step.title, step.words, foreign)
    opening = said(here, None, made.words, "") if made else said(own, None, stage.words, foreign)
    return StageWords(opening, steps)
