"""Checks of admonitions: a note tells, a warning commands and comes first."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.words.sentences import Sentence
from kitdocs.words.writing.check import Fault, at, shown
from kitdocs.words.writing.english import command, has_lead, is_instruction
from kitdocs.words.writing.texts import Text

_NOTES = frozenset(("note", "info", "tip", "hint", "example", "abstract", "quote"))
_WARNINGS = frozenset(("warning", "caution", "attention", "danger", "error"))


def _inside(text: Text, words: frozenset[str]) -> Iterator[list[Sentence]]:
    """The sentences of each box that is called by one of these words, its title left out."""
    for box in text.boxes:
        if box.word in words:
            yield [
                s for s in text.sentences if s.kind in ("paragraph", "item") and text.box(s) is box
            ]


def note(design: Design, text: Text) -> Iterator[Fault]:
    for sentences in _inside(text, _NOTES):
        for sentence in sentences:
            if is_instruction(sentence.text):
                yield at(
                    sentence,
                    0,
                    f"an instruction in a note, {shown(sentence.text)}",
                    "a note that only tells",
                    "Make it an instruction of the step.",
                )


def warning(design: Design, text: Text) -> Iterator[Fault]:
    for sentences in _inside(text, _WARNINGS):
        if not sentences:
            continue
        first = sentences[0]
        if not (command(first.text) or has_lead(first.text)):
            found = f"a warning that begins {shown(first.text, 40)}"
            yield at(first, 0, found, "the command or the condition first: 'Wear gloves.'")
        before = next(
            (
                s
                for s in text.sentences
                if text.step and s.place() < first.place() and text.box(s) is None
                and (text.is_numbered(s) or is_instruction(s.text))
            ),
            None,
        )  # fmt: skip
        if before is not None:
            yield at(
                first,
                0,
                f"a warning after the instruction {shown(before.text, 40)}",
                "the warning before what it warns of",
                "Move it above the step's instructions.",
            )
