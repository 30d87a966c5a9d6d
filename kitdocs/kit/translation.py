"""Pages in a further language: `stages/base.de.md` beside `stages/base.md`.

Facts are written once, in the original. A translated step has a small block that names the step
it translates and the digest of the words that it was made from:

    ```step
    translates: press-post 3fa9c2d1
    ```

The front matter of a translated page says the same of its opening words, `translates: 3fa9c2d1`.
When the original's words change, the digests no longer agree: the translation is stale.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

from kitdocs.finding import Place
from kitdocs.kit.fact import Fact
from kitdocs.kit.procedures import Procedure
from kitdocs.kit.sections import Section, Splitter
from kitdocs.kit.stage import Passage, Stage
from kitdocs.kit.values import Text, fault, text_of

if TYPE_CHECKING:
    from kitdocs.kit.model import Page

#: So many digits of a digest are written.
WRITTEN = 8
_SUFFIX = re.compile(r"\.([a-z]{2,3}(?:-[A-Z][A-Za-z]{1,3})*)\.md")


def _digest(text: str) -> str:
    if not re.fullmatch(rf"[0-9a-f]{{{WRITTEN}}}", text):
        expected = f"{WRITTEN} of the digits 0 to 9 and a to f"
        raise fault(f"'{text}'", expected, "`kitdocs translated` writes it.")
    return text


class TranslatedFront(Fact):
    """The front matter of a translated page."""

    title: Text | None = None
    summary: Text | None = None
    translates: Annotated[str, text_of(_digest)] | None = None


@dataclass(frozen=True)
class TranslatedStep:
    """The words of one step. `place` is that of its heading, `stamp` of what its block says."""

    id: str
    made_from: str
    title: Passage
    words: Passage
    stamp: Place

    @property
    def place(self) -> Place:
        return self.title.place


@dataclass(frozen=True)
class Translation:
    """A page in a further language: of a stage, or of a page of the kit's own (without steps)."""

    language: str
    path: str  # as findings show it
    front: TranslatedFront
    place: Place
    words: Passage
    steps: tuple[TranslatedStep, ...] = ()

    def step(self, name: str) -> TranslatedStep | None:
        """The translation of a step; None where there is none."""
        return next((step for step in self.steps if step.id == name), None)


def language_of(name: str) -> str:
    """The language that a page's file name ends in: `de` of `base.de.md`; empty for none."""
    found = _SUFFIX.search(name)
    return found[1] if found else ""


def original_name(name: str) -> str:
    """The name of the page that a translated page is beside: `base.md` of `base.de.md`."""
    return _SUFFIX.sub(".md", name)


def translated_name(name: str, language: str) -> str:
    """The name of a page's translation: `base.de.md` of `base.md`."""
    return f"{name.removesuffix('.md')}.{language}.md"


def opening_digest(page: Stage | Page) -> str:
    """The digest of what stands before the first step, with the title and the summary."""
    if isinstance(page, Stage):
        return _words_digest(page.title, page.front.summary or "", page.words.text)
    return _words_digest(page.text.text)


def step_digests(page: Stage | Page) -> dict[str, str]:
    """The digest of the words of each step, by its id, in order.

    The words of a procedure are those written in it, which no use changes.
    """
    if not isinstance(page, Stage):
        return {}
    found = {step.id: _words_digest(step.title.text, step.words.text) for step in page.steps}
    for use in page.uses:
        found |= zip(use.steps, procedure_digests(use.procedure), strict=False)
    return found


def procedure_digests(procedure: Procedure) -> list[str]:
    """The digest of the words of each step of a procedure, in order."""
    return [_words_digest(part.title.text, "\n".join(part.lines))
            for part in procedure_sections(procedure)]  # fmt: skip


def procedure_sections(procedure: Procedure) -> list[Section]:
    """The steps of a procedure as written, their slots open."""
    parts = Splitter.of(procedure.body, procedure.start).parts
    return [part for part in parts if isinstance(part, Section)]


def _words_digest(*texts: str) -> str:
    """Blank lines and spaces at the ends of lines do not count."""
    lines = ("\n".join(line.rstrip() for line in text.split("\n") if line.strip())
             for text in texts)  # fmt: skip
    return hashlib.sha256("\0".join(lines).encode()).hexdigest()[:WRITTEN]
