"""What a kit's things are called in one language, and where a sentence names them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from operator import attrgetter
from typing import Literal

from kitdocs.assembly.design import Design
from kitdocs.kit.designation import Designation
from kitdocs.kit.parts import Fastener, Part, Supply, Toothed
from kitdocs.mechanism.standards import is_set_screw
from kitdocs.words.audit.claims.spellings import covers, read_spelling
from kitdocs.words.audit.tongues.tongue import Tongue
from kitdocs.words.names import Names
from kitdocs.words.sentences import Backed, Sentence

What = Literal["item", "part", "body", "arbor", "delivery", "driver"]

WORD = re.compile(r"[^\W_]+(?:[.,]\d+)*(?:[’'][^\W\d_]+)?")


@lru_cache(maxsize=8192)
def words_in(text: str) -> tuple[tuple[int, int, str], ...]:
    """The words of a text: where each begins and ends, and itself in lower case."""
    return tuple((w.start(), w.end(), w[0].lower()) for w in WORD.finditer(text))


@dataclass(frozen=True)
class Referent:
    """A thing of the kit, by its kind and id (of a driver, its name in the data)."""

    what: What
    id: str


@dataclass(frozen=True)
class Named:
    """A thing that a sentence names at `start` … `end`; `source` is the expression, if one."""

    start: int
    end: int
    referents: tuple[Referent, ...]
    source: str = ""


def sort_of(part: Part) -> str:
    """The sort of wheel or screw that has a word of its own before its noun; empty for others."""
    if isinstance(part, Fastener):
        return "set-screw" if is_set_screw(part.parsed) else ""
    return part.kind if isinstance(part, Toothed) and part.kind != "wheel" else ""


#: The stems of a name, and what may be meant by it.
Phrase = tuple[tuple[str, ...], tuple[Referent, ...]]
_NONE: list[Phrase] = []


class Lexicon:
    """The names of a kit in one language."""

    def __init__(self, design: Design, names: Names, tongue: Tongue):
        self.design, self.names, self.tongue = design, names, tongue
        self._stem_of: dict[str, str] = {}
        self._beginning: dict[str, list[Phrase]] = {}  # names that begin with a word
        self._forms: dict[str, tuple[str, ...]] = {}
        self._named: dict[tuple[str, tuple[Backed, ...]], tuple[Named, ...]] = {}

    def stems(self, text: str) -> tuple[str, ...]:
        return tuple(self.stem(word) for _, _, word in words_in(text))

    def stem(self, word: str) -> str:
        """A word, in lower case, without its ending of number and case."""
        found = self._stem_of.get(word)
        if found is None:
            found = self._stem_of[word] = self.tongue.stem(word)
        return found

    @cached_property
    def _phrases(self) -> dict[str, list[Phrase]]:
        """Names by their first word's stem, longest first."""
        found: dict[tuple[str, ...], dict[Referent, None]] = {}

        def add(texts: Iterable[str], referent: Referent) -> None:
            for text in texts:
                if text and (stems := self.stems(text)):
                    found.setdefault(stems, {})[referent] = None

        kit, names = self.design.kit, self.names
        for part in kit.parts.values():
            add(self.forms(part), Referent("part", part.id))
        for body in kit.bodies:
            forms = names.body_forms(body).values()
            add((names.body(body), *forms), Referent("body", body))
        for arbor in kit.arbors:
            if arbor not in kit.items and kit.arbors[arbor].axis:
                add((names.arbor(arbor),), Referent("arbor", arbor))
        bodies = {names.body(body).lower() for body in kit.bodies}
        for item in kit.items:  # "the Sun wheel": an item by its id
            if "-" in item and item.partition("-")[0] in bodies:
                add((item.replace("-", " "),), Referent("item", item))
        for delivery in kit.deliveries:
            add((names.delivery(delivery),), Referent("delivery", delivery))
        for driver in {f.driver for f in self.design.fastenings.values() if f.driver}:
            add((names.driver(driver),), Referent("driver", driver))
        phrases: dict[str, list[Phrase]] = {}
        for stems, referents in found.items():
            phrases.setdefault(stems[0], []).append((stems, tuple(referents)))
        for listed in phrases.values():
            listed.sort(key=lambda pair: -len(pair[0]))
        return phrases

    def forms(self, part: Part) -> tuple[str, ...]:
        """Every form of a part's name."""
        if part.id in self._forms:
            return self._forms[part.id]
        names = self.names
        given = (names.form(2, part), names.form(5, part), *names.forms(part).values())
        found = tuple(dict.fromkeys((names.one(part), *given, names.spoken(part) or "")))
        return self._forms.setdefault(part.id, found)

    @cached_property
    def words(self) -> frozenset[str]:
        """Every word that the names of the kit use, in lower case."""
        kit, names = self.design.kit, self.names
        texts = [form for part in kit.parts.values() for form in self.forms(part)]
        texts += [names.body(body) for body in kit.bodies]
        texts += [names.title, names.summary]
        texts += [names.arbor(arbor) for arbor in kit.arbors]
        texts += [names.mark(p) for p in kit.parts.values()]
        texts += [names.driver(f.driver) for f in self.design.fastenings.values() if f.driver]
        return frozenset(word.lower() for text in texts for word in WORD.findall(text))

    @cached_property
    def tails(self) -> dict[str, frozenset[str]]:
        """Parts by the stem of the noun of their name, and by the key of their kind."""
        found: dict[str, set[str]] = {}
        for part in self.design.kit.parts.values():
            for key in self._keys(part):
                found.setdefault(key, set()).add(part.id)
        return {key: frozenset(ids) for key, ids in found.items()}

    def _keys(self, part: Part) -> Iterator[str]:
        of_what = self.tongue.head_first and isinstance(part, Supply)  # "dwa składniki kleju"
        for form in self.forms(part) if not of_what else ():
            words = [word.lower() for word in WORD.findall(form) if word.isalpha()]
            if words:
                head = self._head(words)
                yield self.tongue.stem(head)
                if key := self.tongue.noun(head):
                    yield f"#{key}"
        if isinstance(part, Toothed):
            yield "#wheel"
        if isinstance(part, Fastener):
            yield "#fastener"
            nut_or_washer = {"ISO 7089": "#washer", "ISO 4032": "#nut"}
            yield nut_or_washer.get(part.parsed.product, "#screw")
        else:
            yield f"#{part.kind}"

    def _head(self, words: list[str]) -> str:
        """The noun of a name: its last word, or its first noun."""
        if not self.tongue.head_first:
            return words[-1]
        return next((word for word in words if self.tongue.noun(word)), words[0])

    def is_noun(self, word: str) -> bool:
        """Whether a word, in lower case, is a countable thing of the kit."""
        return self.tongue.noun(word) is not None or self.tongue.stem(word) in self.tails

    def is_of_a_name(self, word: str) -> bool:
        """Whether a word, in lower case, is one of the name of a part."""
        return self.stem(word) in self._name_stems

    @cached_property
    def _name_stems(self) -> frozenset[str]:
        return frozenset().union(*self._stems_of.values())

    def parts_called(
        self, noun: str, others: Iterable[str] = (), sentence: str = ""
    ) -> tuple[frozenset[str], ...]:
        """The ids of the parts that a noun may mean: those whose name ends in it, and those of
        its kind; narrowed by other words of their names.

        What is of a sort that has a word of its own (a bevel wheel) is meant where the word is
        there; else both readings come, but for a sort that the `sentence` tells apart.
        """
        key, others = self.tongue.noun(noun), tuple(others)
        sized = read_spelling(noun)
        if sized is not None:
            return (self._sized(sized),)
        sets = [
            self.tails.get(self.tongue.stem(noun), frozenset()),
            self.tails.get(f"#{key}", frozenset()) if key else frozenset(),
        ]
        for other in others:
            if sized := read_spelling(other):
                sets = [ids & self._sized(sized) for ids in sets]
                continue
            wanted = self.tongue.stem(other)
            narrower = [frozenset(i for i in ids if wanted in self._stems_of[i]) for ids in sets]
            if any(narrower):
                sets = narrower
        sets = self._of_sorts(sets, " ".join((*others, noun)), sentence)
        return tuple(dict.fromkeys(ids for ids in sets if ids))

    def _of_sorts(
        self, sets: list[frozenset[str]], phrase: str, sentence: str
    ) -> list[frozenset[str]]:
        said = self.tongue.sorts_in(phrase)
        if said:
            return [frozenset(i for i in ids if self._sorts[i] in said) for ids in sets]
        told_apart = self.tongue.sorts_in(sentence.lower()) | {"set-screw"}
        plain = [frozenset(i for i in ids if not self._sorts[i]) for ids in sets]
        rest = [frozenset(i for i in ids if self._sorts[i] not in told_apart) for ids in sets]
        return [*plain, *rest]

    @cached_property
    def _sorts(self) -> dict[str, str]:
        return {i: sort_of(part) for i, part in self.design.kit.parts.items()}

    def _sized(self, said: Designation) -> frozenset[str]:
        parts = self.design.kit.parts.values()
        return frozenset(p.id for p in parts if isinstance(p, Fastener) and covers(said, p.parsed))

    @cached_property
    def _stems_of(self) -> dict[str, frozenset[str]]:
        parts = self.design.kit.parts
        return {
            i: frozenset(s for form in self.forms(part) for s in self.stems(form))
            for i, part in parts.items()
        }

    def named(self, sentence: Sentence) -> tuple[Named, ...]:
        """What the sentence names, by expressions and in words, in order."""
        key = sentence.text, sentence.backed
        found = self._named.get(key)
        if found is None:
            found = self._named[key] = tuple(sorted(self._find(sentence), key=_START))
        return found

    def _find(self, sentence: Sentence) -> list[Named]:
        found = [n for b in sentence.backed if (n := _of_expression(b)) is not None]
        inside = [(b.start, b.end) for b in sentence.backed]
        words, beginning = words_in(sentence.text), self._beginning
        at = 0
        while at < len(words):
            start, _, word = words[at]
            phrases = beginning.get(word)
            if phrases is None:
                phrases = beginning[word] = self._phrases.get(self.stem(word), _NONE)
            if not phrases:
                at += 1
                continue
            used = 0
            for stems, referents in phrases:
                run = words[at : at + len(stems)]
                if len(run) == len(stems) and all(
                    self.stem(w[2]) == stem for w, stem in zip(run, stems, strict=True)
                ):
                    used, end = len(stems), run[-1][1]
                    if not any(s <= start and end <= e for s, e in inside):
                        found.append(Named(start, end, referents))
                    break
            at += used or 1
        return found


_START = attrgetter("start")

#: What the ids of an expression are of.
_MEANT: Mapping[str, What] = {
    "item": "item", "mesh": "item", "count": "item", "part": "part", "body": "body",
    "arbor": "arbor", "delivery": "delivery",
}  # fmt: skip
_CALL = re.compile(rf"({'|'.join(_MEANT)})\(([^)]*)\)((?:\.\w+)*)")
_ID = re.compile(r"'([^']*)'|\"([^\"]*)\"")


def _of_expression(backed: Backed) -> Named | None:
    call = _CALL.match(backed.source)
    if not call:
        return None
    ids = [a or b for a, b in _ID.findall(call[2])]
    referents = tuple(Referent(_MEANT[call[1]], i) for i in ids)
    return Named(backed.start, backed.end, referents, backed.source)
