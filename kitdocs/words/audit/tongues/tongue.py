"""What reading needs to know of a language: its number words, nouns, units and small words."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from kitdocs.words.audit.tongues.grammar import Grammar
from kitdocs.words.audit.tongues.role_words import RoleWords

#: What a unit measures, and how many of the base unit it is: mm, degrees, %, days, turns …
Unit = tuple[str, float]

#: Units that are signs or symbols, the same in all languages (SI brochure; common practice).
SYMBOLS: dict[str, Unit] = {
    "mm": ("mm", 1.0),
    "cm": ("mm", 10.0),
    "m": ("mm", 1000.0),
    "µm": ("mm", 0.001),
    "μm": ("mm", 0.001),
    "°": ("deg", 1.0),
    "′": ("deg", 1 / 60),
    "'": ("deg", 1 / 60),
    "″": ("deg", 1 / 3600),
    "%": ("%", 1.0),
    "‰": ("%", 0.1),
    "ppm": ("%", 0.0001),
    "d": ("day", 1.0),
    "h": ("day", 1 / 24),
    "min": ("day", 1 / 1440),
    "s": ("day", 1 / 86400),
    "g": ("g", 1.0),
    "kg": ("g", 1000.0),
    "ml": ("ml", 1.0),
    "°C": ("°C", 1.0),
    "N·m": ("N·m", 1.0),
    "Nm": ("N·m", 1.0),
    "N": ("N", 1.0),
    "V": ("V", 1.0),
    "W": ("W", 1.0),
    "×": ("times", 1.0),
}
#: Symbols that are letters of words too, and stand for a unit only after digits.
AFTER_DIGITS_ONLY = frozenset({"m", "d", "h", "s", "g", "N", "V", "W", "'", "×", "min"})


@dataclass(frozen=True)
class Tongue:
    """One language's rules. All words are in lower case.

    `spoken` reads number words at the head of a list of words: the number and how many words it
    took, or None. `nouns` gives the key of what is counted ("hole", "step", "wheel"), `units`
    what a word measures, `facts` which measure of a part a word speaks of ("long": "length").
    `tooth` finds the tooth count in a compound word or phrase; its group 1 is the number.
    """

    code: str
    mark: str  # the decimal mark
    spoken: Callable[[list[str]], tuple[int, int] | None]
    first: frozenset[str] | Callable[[str], bool]  # words that a number may begin with
    nouns: Mapping[str, str]
    units: Mapping[str, Unit]
    facts: Mapping[str, tuple[str, ...]]
    references: Mapping[str, str]
    ordinals: Mapping[str, int]
    about: frozenset[str]
    most: tuple[str, ...]
    least: tuple[str, ...]
    stops: frozenset[str]
    partitive: frozenset[str]  # "of" in "two of the screws"
    articles: frozenset[str]  # "a" in "0.8 of a turn"
    each: frozenset[str]  # words by which "one" is one of several
    joins: frozenset[str]  # words between the two ends of a range
    months: frozenset[str]
    tooth: re.Pattern[str]
    has: frozenset[str]  # "has" in "and the wheel has three"
    says: frozenset[str]  # verbs that tell a measure of what stands before them
    driver: re.Pattern[str]  # the name of a tool that drives screws
    about_teeth: re.Pattern[str]  # what stands in every text in which `tooth` finds something
    stem: Callable[[str], str]
    sorts: Mapping[str, re.Pattern[str]]  # words that tell a sort of wheel or screw
    fractions: Mapping[str, float]  # "quarters" in "three quarters"
    same: tuple[frozenset[str], ...]  # trade words for one thing, of which a kit uses one
    added: Mapping[str, float] = field(default_factory=dict)  # "half" in "three and a half"
    grammar: Grammar | None = None
    #: What is done at the bench, in words; None where the audit of names reads none of it.
    roles: RoleWords | None = None
    head_first: bool = False  # whether a name begins with its noun: "rurka Ziemi"
    #: What may stand between a number and its noun, where that can be told by its form.
    adjective: re.Pattern[str] = re.compile("")
    turning: re.Pattern[str] = re.compile("")  # of what "two times" counts turns
    full: frozenset[str] = frozenset()  # between a number and its unit: "two full turns"
    of_many: frozenset[str] = frozenset()  # genitive plurals, told before their number
    holding: re.Pattern[str] = re.compile("(?!)")  # verbs by which so many hold each thing
    whole: frozenset[str] = frozenset()  # "kit" in "the kit has two stages"
    #: Where articles have a gender: the article that stands before `at` in a text and cannot be
    #: that of a name, given in the singular and told whether it stands in the plural; and those
    #: that can. Both are empty where none is wrong.
    wrong_article: Callable[[str, int, str, bool], tuple[str, str]] | None = None

    def sorts_in(self, words: str) -> frozenset[str]:
        """The sorts that some words, in lower case, tell."""
        return frozenset(sort for sort, told in self.sorts.items() if told.search(words))

    @staticmethod
    def table(rows: Mapping[tuple[str, ...], str]) -> dict[str, tuple[str, ...]]:
        """Facts by each word that speaks of them; a word may stand in several rows."""
        found: dict[str, tuple[str, ...]] = {}
        for keys, words in rows.items():
            for word in words.split():
                found[word] = tuple(dict.fromkeys((*found.get(word, ()), *keys)))
        return found

    def begins(self, word: str) -> bool:
        """Whether a number may begin with this word."""
        return self.first(word) if callable(self.first) else word in self.first

    @cached_property
    def _number_words(self) -> dict[str, bool]:
        return {}

    def says_number(self, word: str) -> bool:
        """Whether a word, in lower case, may be one of a number, or has one in it."""
        found = self._number_words.get(word)
        if found is None:
            found = self.begins(word) or word in self.ordinals or bool(self.tooth.search(word))
            found = found or (self.grammar is not None and self.grammar.says_number(word))
            self._number_words[word] = found
        return found

    @cached_property
    def tails(self) -> tuple[tuple[str, str], ...]:
        """Nouns that may end a longer word, where the language joins words; longest first."""
        if self.code != "de":
            return ()
        return tuple(sorted(self.nouns.items(), key=lambda pair: -len(pair[0])))

    @cached_property
    def _stems(self) -> dict[str, str]:
        return {self.stem(form): key for form, key in self.nouns.items() if len(form) > 4}

    @cached_property
    def _known_nouns(self) -> dict[str, str | None]:
        return {}

    def noun(self, word: str) -> str | None:
        """The key of the noun that a word is, or ends in."""
        if word not in self._known_nouns:
            self._known_nouns[word] = self._noun(word)
        return self._known_nouns[word]

    def _noun(self, word: str) -> str | None:
        if word in self.nouns:
            return self.nouns[word]
        if self.code == "pl":
            return self._stems.get(self.stem(word))
        for tail, key in self.tails:
            if len(tail) > 2 and len(word) >= len(tail) + 3 and word.endswith(tail):
                return key
        return None

    def facts_of(self, word: str) -> tuple[str, ...]:
        """The facts that a word speaks of, or that it ends in: `Außendurchmesser`."""
        if word in self.facts or self.code != "de" or len(word) < 8:
            return self.facts.get(word, ())
        tail = next((t for t in self._fact_tails if word.endswith(t)), "")
        return self.facts.get(tail, ())

    @cached_property
    def _fact_tails(self) -> tuple[str, ...]:
        return tuple(sorted((f for f in self.facts if len(f) > 4), key=len, reverse=True))

    def unit(self, word: str, digits: bool) -> Unit | None:
        """What a word or sign after a number measures; symbols keep their case."""
        if word in SYMBOLS and (digits or word not in AFTER_DIGITS_ONLY):
            return SYMBOLS[word]
        return self.units.get(word.lower())
