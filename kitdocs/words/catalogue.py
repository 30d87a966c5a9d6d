"""A gettext catalogue, read from the text of its `.po` file.

The format is that of the GNU gettext manual, "The Format of PO Files". Fuzzy messages are left
out, as msgfmt does, so that a text that nobody has looked at is shown in English.
"""

from __future__ import annotations

import gettext
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

_LINE = re.compile(r'(msgctxt|msgid_plural|msgid|msgstr(?:\[(\d+)\])?)?\s*"(.*)"\s*')
_ESCAPE = re.compile(r"\\(.)")
_ESCAPES = {"n": "\n", "t": "\t", "r": "\r"}


def _germanic(number: int) -> int:
    return int(number != 1)


@dataclass(frozen=True)
class Catalogue:
    """Messages by their English text. `texts` holds each one's forms, as many as it has;
    `form` gives the index of the form that goes with a number."""

    texts: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    form: Callable[[int], int] = _germanic

    def gettext(self, message: str) -> str:
        """The text of a message; the message itself where there is none."""
        found = self.texts.get(message)
        return found[0] if found else message

    def ngettext(self, one: str, many: str, number: int) -> str:
        """The form of a message that goes with a number."""
        found = self.texts.get(one)
        at = self.form(abs(int(number)))
        if found and at < len(found):
            return found[at]
        return one if number == 1 else many


def read_catalogue(text: str) -> Catalogue:
    """The catalogue of a `.po` file's text. Raises ValueError for a plural rule that is none."""
    texts: dict[str, tuple[str, ...]] = {}
    header = ""
    for block in re.split(r"\n[ \t]*\n", text):
        entry, fuzzy = _entry(block)
        forms = [entry[key] for key in sorted(k for k in entry if k.startswith("msgstr"))]
        if entry.get("msgid") == "":
            header = forms[0] if forms else ""
        elif "msgid" in entry and forms and all(forms) and not fuzzy:
            texts[entry["msgid"]] = tuple(forms)
    rule = re.search(r"plural=([^;\n]+)", header)
    return Catalogue(texts, gettext.c2py(rule[1]) if rule else _germanic)


def _entry(block: str) -> tuple[dict[str, str], bool]:
    """The strings of one entry by their keyword, and whether it is fuzzy."""
    entry: dict[str, str] = {}
    key, fuzzy = "", False
    for line in block.splitlines():
        if line.startswith("#"):
            fuzzy = fuzzy or (line.startswith("#,") and "fuzzy" in line)
            continue
        if match := _LINE.fullmatch(line.strip()):
            key = match[1] or key
            told = _ESCAPE.sub(lambda m: _ESCAPES.get(m[1], m[1]), match[3])
            entry[key] = entry.get(key, "") + told
    return entry, fuzzy
