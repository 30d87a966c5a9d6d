"""A language that readers read: its texts, from gettext catalogues, and its plurals."""

from __future__ import annotations

import gettext
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

#: The catalogues, `CODE/LC_MESSAGES/kitdocs.mo`.
CATALOGUES = Path(__file__).parent.parent / "locale"


@dataclass(frozen=True)
class Language:
    """A language by its code (BCP 47: `en`, `de`, `pl`). The texts in the code are English."""

    code: str

    @cached_property
    def catalogue(self) -> gettext.NullTranslations:
        return gettext.translation("kitdocs", CATALOGUES, [self.code], fallback=True)

    def text(self, message: str, **values: object) -> str:
        """A text in this language, its `%(name)s` filled in."""
        found = self.catalogue.gettext(message)
        return found % values if values else found

    def plural(self, one: str, many: str, number: int, **values: object) -> str:
        """The form that goes with a number; `%(number)s` is the number."""
        return self.catalogue.ngettext(one, many, number) % {"number": number, **values}


ENGLISH = Language("en")
