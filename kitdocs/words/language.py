"""A language that readers read: its texts, from gettext catalogues, and its plurals.

The catalogues are the `.po` files that translators write, read as they are: there is nothing to
compile, so an editable install and the wheel have the same texts. English is in the code, and
reads no file.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path

from kitdocs.words.catalogue import Catalogue, read_catalogue

#: The catalogues, `CODE/LC_MESSAGES/kitdocs.po`.
CATALOGUES = Path(__file__).parent.parent / "locale"


@dataclass(frozen=True)
class Language:
    """A language by its code (BCP 47: `en`, `de`, `pl`). The texts in the code are English."""

    code: str

    @cached_property
    def catalogue(self) -> Catalogue:
        return _catalogue(self.code)

    @property
    def has_texts(self) -> bool:
        """Whether generated texts are in this language: there is a catalogue, or it is English."""
        return self.code.partition("-")[0] == "en" or bool(self.catalogue.texts)

    def text(self, message: str, **values: object) -> str:
        """A text in this language, its `%(name)s` filled in."""
        found = self.catalogue.gettext(message)
        return found % values if values else found

    def plural(self, one: str, many: str, number: int, **values: object) -> str:
        """The form that goes with a number; `%(number)s` is the number."""
        return self.catalogue.ngettext(one, many, number) % {"number": number, **values}


ENGLISH = Language("en")


@cache
def _catalogue(code: str) -> Catalogue:
    """The catalogue of a language, or else of the one that its code begins with (`de-CH`)."""
    for name in dict.fromkeys((code.replace("-", "_"), code.partition("-")[0])):
        file = CATALOGUES / name / "LC_MESSAGES" / "kitdocs.po"
        if name != "en" and file.is_file():
            return read_catalogue(file.read_text("utf-8"))
    return Catalogue()


def marked(message: str) -> str:
    """The message itself: marks a text of a table for the catalogues, to be asked for later."""
    return message


def marked_plural(one: str, many: str) -> tuple[str, str]:
    """Both messages: marks a text and its plural for the catalogues."""
    return one, many
