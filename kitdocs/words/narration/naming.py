"""Where a text names parts: what captions and pages are compared by."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from kitdocs.kit.model import Kit
from kitdocs.words.names import Names
from kitdocs.words.narration.speech import spoken


@dataclass(frozen=True)
class Naming:
    """A name in a text: the parts that it may be of, by id, and where it stands."""

    parts: frozenset[str]
    text: str
    start: int


class NameReader:
    """Finds the names of a kit's parts in one language: written, in the plural, or as said."""

    def __init__(self, kit: Kit, names: Names):
        self._parts: dict[str, set[str]] = {}
        for part in kit.parts.values():
            forms = {names.one(part), names.form(2, part), names.form(5, part)}
            forms |= {spoken(name, names.language.code) for name in forms}
            if said := names.spoken(part):
                forms.add(said)
            for form in forms:
                self._parts.setdefault(_key(form), set()).add(part.id)
        longest = sorted(self._parts, key=lambda key: (-len(key), key))
        loose = "|".join(r"[\W_]+".join(map(re.escape, key.split())) for key in longest)
        # An ending of up to two letters: the cases of German and Polish.
        ending = "" if names.language.code.startswith("en") else r"\w{0,2}"
        self._pattern = re.compile(rf"(?<!\w)(?P<name>{loose}){ending}(?!\w)", re.IGNORECASE)

    def read(self, text: str) -> Iterator[Naming]:
        """The names in a text, in order."""
        # The times sign may be written as a letter, and number and sign be joined.
        for match in self._pattern.finditer(re.sub(r"(?<=[\d ])[x×хХ](?=[\d ])", "\u00d7", text)):
            parts = self._parts[_key(match["name"])]
            yield Naming(frozenset(parts), text[match.start() : match.end()], match.start())


def _key(name: str) -> str:
    """What of a name must agree: its words and numbers."""
    return " ".join(re.findall(r"[^\W_]+", name.lower()))
