"""Numbers of what is numbered: steps, holes, parcels; ordinals."""

from __future__ import annotations

import re

from kitdocs.words.audit.claims.figures import read_whole
from kitdocs.words.audit.claims.reading import Reading
from kitdocs.words.audit.lexicon import words_in

_VERSION = re.compile(r"[ \u00a0]*(?:[^\W\d_]{2,4}[ \u00a0])?(\d+(?:\.\d+)*)")


class References(Reading):
    """Reads references and ordinals."""

    def _references(self) -> None:
        words = self.words
        for n, word in enumerate(words):
            what = self.tongue.references.get(word[0].lower())
            if what is None:
                continue
            if what == "revision":
                version = _VERSION.match(self.text, word.end())
                if version:
                    self._add(version.start(1), version.end(1), "reference", what=what, digits=True)
                continue
            at = n + 1
            while at < len(words):
                gap = self.text[words[at - 1].end() : words[at].start()]
                between = gap.strip(" \u00a0.#")
                if between not in ("", ",", "–", "-") or (between == "," and at == n + 1):
                    break
                said = words[at][0].lower()
                if at > n + 1 and said in self.tongue.joins and at + 1 < len(words):
                    at += 1
                    said = words[at][0].lower()
                value, used = self._small(at)
                if value is None or (at > n + 1 and self._counts(at, at + used - 1)):
                    break
                start, end = words[at].start(), words[at + used - 1].end()
                if not said[0].isdecimal() and self._is_told(at + used):
                    break  # "of those in the parcel two are used"
                if self._free(start, end) and not self.around.is_measured(end):
                    self._add(start, end, "reference", low=value, high=value, what=what,
                              digits=said[0].isdecimal())  # fmt: skip
                at += used
        self._ordinals()

    def _is_told(self, at: int) -> bool:
        """Whether a verb comes next, of which the number before it is the subject."""
        grammar = self.tongue.grammar
        if grammar is None or at >= len(self.words):
            return False
        gap = self.text[self.words[at - 1].end() : self.words[at].start()]
        return not gap.strip(" \u00a0") and self.words[at][0].lower() in grammar.telling

    def _small(self, at: int) -> tuple[int | None, int]:
        """The whole number that stands at a word, and how many words it takes."""
        said = self.words[at][0].lower()
        if (number := read_whole(said)) is not None:
            return number, 1
        if not self.tongue.begins(said):
            return None, 0
        value = self.tongue.spoken([w[0].lower() for w in self.words[at : at + 5]])
        return (value[0], value[1]) if value else (None, 0)

    def _counts(self, first: int, at: int) -> bool:
        """Whether a number, from one word to another, counts what comes after it; a figure does
        not where nouns come first: `otwory 1 i 3 piasty`."""
        if self.tongue.head_first and self.words[first][0].isdigit():
            return self.around.is_measured(self.words[at].end())
        noun, _, of = self._noun(self.words[at].end())
        return bool(noun and not of) or self.around.is_measured(self.words[at].end())

    def _ordinals(self) -> None:
        """`the second parcel`, `stage 3rd`: of what is numbered, an ordinal is its number."""
        for n, word in enumerate(self.words):
            said = word[0].lower()
            value = self.tongue.ordinals.get(said)
            if value is None and re.fullmatch(r"\d+(?:st|nd|rd|th)", said):
                value = read_whole(said[:-2])
            after = self.words[n + 1] if n + 1 < len(self.words) else word
            dotted = self.text[word.end() : after.start()] == ". " and self.tongue.mark == ","
            if value is None and dotted:
                value = read_whole(said)
            if value is None or not self._free(word.start(), word.end()):
                continue
            key = self.tongue.noun(after[0].lower()) if after is not word else None
            if key in ("step", "stage", "parcel"):
                self._add(word.start(), word.end(), "reference", low=value, high=value, what=key,
                          digits=said[0].isdecimal())  # fmt: skip
                continue
            digits = said[0].isdigit()
            noun, others = self._numbered(word.end())
            if noun or (digits and after[0].lower() not in self.tongue.months):
                self._add(word.start(), word.end(), "reference", low=value, high=value,
                          what="ordinal", noun=noun, others=others, digits=digits)  # fmt: skip

    def _numbered(self, end: int) -> tuple[str, tuple[str, ...]]:
        """The noun after an ordinal, or of the one before it: `the second foot … the first`."""
        noun, others, _ = self._noun(end)
        grammar = self.tongue.grammar
        if grammar is None or self.tongue.noun(noun) == "pair":
            return "", ()
        before = [w for _, stop, w in words_in(self.text) if stop <= end]
        if len(before) > 1 and before[-2] in self.tongue.articles:
            return "", ()  # "a second wheel" is one more
        if noun:
            return noun, others
        after = [(stop, w) for at, stop, w in words_in(self.text) if at >= end][:2]
        if len(after) == 2 and after[0][1] in self.tongue.joins and after[1][1] in grammar.last:
            noun, others, _ = self._noun(after[1][0])  # "the third and last set screw"
            return noun, others
        if len(before) > 1 and before[-2] in grammar.every:  # "every second one"
            return next((w for w in reversed(before) if self.lexicon.is_noun(w)), ""), ()
        told = [c for c in self.found if c.what == "ordinal"]
        return (told[-1].noun, told[-1].others) if told else ("", ())
