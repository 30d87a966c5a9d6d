"""Where a text names parts: what captions and pages are compared by."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
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
    """Finds the names of a kit's parts in one language: in every form, or as said."""

    def __init__(self, kit: Kit, names: Names):
        parts: dict[tuple[str, ...], set[str]] = {}
        for part in kit.parts.values():
            forms = {names.one(part), names.form(2, part), names.form(5, part)}
            forms |= set(names.forms(part).values())
            forms |= {spoken(name, names.language.code) for name in forms}
            if said := names.spoken(part):
                forms.add(said)
            for form in forms:
                if words := _words(form):
                    parts.setdefault(words, set()).add(part.id)
        self._first_called = _first_called(parts.values())
        # An ending of up to two letters: the cases of German and Polish.
        self._ending = 0 if names.language.code.startswith("en") else 2
        self._most = max(map(len, parts), default=0)  # words in a name
        #: By its first word: each name with its parts, the longest first.
        self._beginning: dict[str, list[tuple[tuple[str, ...], frozenset[str]]]] = {}
        for words in sorted(parts, key=lambda words: (-len(" ".join(words)), words)):
            self._beginning.setdefault(words[0], []).append((words, frozenset(parts[words])))

    def key(self, naming: Naming) -> str:
        """What all forms of a name share, in the plural too: the first part that is called so."""
        return min(self._first_called[part] for part in naming.parts)

    def read(self, text: str) -> Iterator[Naming]:
        """The names in a text, in order."""
        # The times sign may be written as a letter, and number and sign be joined.
        parted = re.sub(r"(?<=[\d ])[x×хХ](?=[\d ])", "\u00d7", text)
        found = [(m.start(), m.end(), m[0].lower()) for m in _WORD.finditer(parted)]
        at = 0
        while at < len(found):
            length, parts = self._longest([word for _, _, word in found[at : at + self._most]])
            if length:
                start, end = found[at][0], found[at + length - 1][1]
                yield Naming(parts, text[start:end], start)
            at += length or 1

    def _longest(self, said: list[str]) -> tuple[int, frozenset[str]]:
        """How many of these words are a name, the longest that there is, and its parts."""
        first = said[0]
        for cut in range(self._ending + 1):
            for words, parts in self._beginning.get(first[: len(first) - cut], ()):
                if cut and len(words) > 1:
                    continue  # only the last word has an ending
                *before, last = said[: len(words)]
                rest = len(last) - len(words[-1])
                if (
                    tuple(before) == words[:-1]
                    and 0 <= rest <= self._ending
                    and last.startswith(words[-1])
                ):
                    return len(words), parts
        return 0, frozenset()


def _first_called(named: Iterable[set[str]]) -> dict[str, str]:
    """By its id the first of the parts that share a name with each part."""
    first: dict[str, str] = {}
    for ids in named:
        least = min(first.get(one, one) for one in ids)
        joined = {first.get(one, one) for one in ids} - {least}
        first |= {one: least for one in (*ids, *(o for o, f in first.items() if f in joined))}
    return first


_WORD = re.compile(r"[^\W_]+")


def _words(name: str) -> tuple[str, ...]:
    """What of a name must agree: its words and numbers."""
    return tuple(_WORD.findall(name.lower()))
