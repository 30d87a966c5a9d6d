"""The catalogues of `kitdocs/locale` beside the texts of the code and the templates.

`python tests/catalogues.py` brings the catalogues up to date: new texts come in without a
translation, and those that are gone go. Then translate what is empty.
"""

from __future__ import annotations

import sys
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.frontend import parse_mapping_cfg
from babel.messages.pofile import read_po, write_po

REPO = Path(__file__).parent.parent
LOCALE = REPO / "kitdocs" / "locale"

#: The functions that take a text for readers, beside those that Babel knows.
KEYWORDS = {
    "_": None,
    "gettext": None,
    "ngettext": (1, 2),
    "text": None,
    "marked": None,
    "plural": (1, 2),
    "marked_plural": (1, 2),
}


def template() -> Catalog:
    """Every text for readers, as it stands in the code and in the templates."""
    with (LOCALE / "babel.cfg").open() as file:
        methods, options = parse_mapping_cfg(file)
    found = Catalog(charset="utf-8")
    for _, _, message, comments, context in extract_from_dir(
        REPO, methods, options, KEYWORDS, strip_comment_tags=False
    ):
        found.add(message, auto_comments=comments, context=context)
    return found


def languages() -> list[str]:
    return sorted(folder.name for folder in LOCALE.iterdir() if folder.is_dir())


def catalogue_file(language: str) -> Path:
    return LOCALE / language / "LC_MESSAGES" / "kitdocs.po"


def catalogue(language: str) -> Catalog:
    with catalogue_file(language).open("rb") as file:
        return read_po(file, locale=language)


def update(language: str) -> None:
    """Bring a catalogue up to date, beginning it where there is none."""
    file = catalogue_file(language)
    made = catalogue(language) if file.exists() else Catalog(locale=language)
    made.update(template(), no_fuzzy_matching=True)
    made.obsolete.clear()
    made.project, made.version, made.fuzzy = "kitdocs", "", False
    file.parent.mkdir(parents=True, exist_ok=True)
    with file.open("wb") as out:
        write_po(out, made, width=100, no_location=True, omit_header=False, sort_output=True)
    text = file.read_text("utf-8")
    head, _, rest = text.partition("\n\n")
    kept = [line for line in head.split("\n") if not any(line.startswith(f'"{key}:') for key in
            ("POT-Creation-Date", "PO-Revision-Date", "Report-Msgid-Bugs-To", "Last-Translator",
             "Generated-By", "Language-Team"))]  # fmt: skip
    kept = [line for line in kept if not line.startswith("#")]
    file.write_text("\n".join(kept) + "\n\n" + rest, "utf-8")


if __name__ == "__main__":
    for code in sys.argv[1:] or languages():
        update(code)
