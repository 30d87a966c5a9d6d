"""Claims: the numbers that a sentence states, read by the rules of its language."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache
from math import nan

from kitdocs.words.audit.claims.claim import Claim, Kind
from kitdocs.words.audit.claims.figures import FIGURE, VULGAR, Figure, read_figure, read_whole
from kitdocs.words.audit.claims.read_references import References
from kitdocs.words.audit.claims.read_words import NumberWords
from kitdocs.words.audit.claims.spellings import DESIGNATION
from kitdocs.words.audit.lexicon import Lexicon, words_in

_STANDARD = re.compile(
    r"(?<!\w)(?:ISO|DIN|EN|IEC|ASTM)(?:[ /\u00a0-](?:ISO|IEC|EN))*[ \u00a0]*\d{2,5}(?:-\d+)?\b"
)
_CODE = re.compile(r"(?<![\w.,])(?:[A-Z]{1,3}\d+(?:/[a-z]{1,2}\d+)?|\d+[A-Z]{1,2})(?![\w])")
_DATE = re.compile(
    r"(?<!\d)(?:\d{4}-\d{2}-\d{2}|\d{1,2}\.[ \u00a0]?\d{1,2}\.[ \u00a0]?\d{4}|\d{1,2}/\d{1,2}/\d{4}"
    r"|(?:[01]?\d|2[0-4]):[0-5]\d(?::[0-5]\d)?)(?!\d)"
)
_RATIO = re.compile(r"(?<![\d.,])(\d{1,9})[ \u00a0]?[:/][ \u00a0]?(\d{1,9})(?![\d.,]?\d)")
#: The same where the words speak of a ratio: `25 to 20`, `25 zu 20`.
_SAID_RATIO = re.compile(_RATIO.pattern.replace("[:/]", "(?:[:/]|to|zu)"))
_DIGIT = re.compile(rf"[\d{''.join(VULGAR)}]")
_STRANGE = re.compile(r"(?:(?![0-9])\d)+")


@lru_cache(maxsize=4096)  # pages say the same of many parts, and captions say it again
def claims(text: str, lexicon: Lexicon) -> tuple[Claim, ...]:
    """Every number that the sentence `text` states, in order."""
    digits = _DIGIT.search(text) is not None
    says = lexicon.tongue.says_number
    if not digits and not any(says(word) for _, _, word in words_in(text)):
        return ()
    return tuple(_Reader(text, lexicon, digits).read())


class _Reader(References, NumberWords):
    """Reads one sentence, each sign of it once."""

    def read(self) -> list[Claim]:
        digits = self.digits
        if digits:
            self._strange()
            self._fixed(DESIGNATION, "designation")
            self._fixed(_DATE, "date")
            self._fixed(_STANDARD, "code")
        self._teeth()
        self._references()
        self._parts()
        if digits:
            self._ratios()
            self._fixed(_CODE, "code")
            self._figures()
        self._spoken()
        self.found.sort(key=lambda claim: claim.start)
        return self._listed()

    def _listed(self) -> list[Claim]:
        """`29, 43 and 19 teeth`: a figure alone is of the kind of the next in its list."""
        found = self.found
        for n in range(len(found) - 2, -1, -1):
            one, after = found[n], found[n + 1]
            between = self.text[one.end : after.start].strip(" \u00a0").lower()
            parts = re.split(r"[\s,]+", between) if between else [""]
            joined = all(part in ("", "×", "x", *self.tongue.joins) for part in parts)
            if one.kind != "number" or not between or not joined:
                continue
            if after.kind in ("teeth", "count", "measure"):
                scale = after.scale
                found[n] = replace(
                    after, start=one.start, end=one.end, text=one.text, low=one.low * scale,
                    high=one.high * scale, step=one.step * scale, about=one.about,
                    bound=one.bound, digits=one.digits,
                )  # fmt: skip
        return found

    def _strange(self) -> None:
        """Digits of other scripts, which look like numbers and are none here."""
        for match in _STRANGE.finditer(self.text):
            self._add(match.start(), match.end(), "number", low=nan, high=nan, digits=True)

    def _fixed(self, pattern: re.Pattern[str], kind: Kind) -> None:
        for match in pattern.finditer(self.text):
            if self._free(match.start(), match.end()):
                self._add(match.start(), match.end(), kind, digits=True)

    def _teeth(self) -> None:
        if not self.tongue.about_teeth.search(self.text):
            return
        for match in self.tongue.tooth.finditer(self.text):
            start, end = match.span(1)
            value, start = self._value(match[1], start)
            if value is not None and self._free(start, end):
                noun, others, _ = self._noun(match.end())
                self._add(start, match.end(), "teeth", low=value, high=value, noun=noun,
                          others=others, digits=match[1].isdigit(),
                          about=self.around.is_about(start))  # fmt: skip

    def _value(self, said: str, start: int) -> tuple[int | None, int]:
        """The number that a text ends in, and where it begins."""
        if (number := read_whole(said)) is not None:
            return number, start
        words = list(re.finditer(r"[^\W\d_]+", said))
        for n in range(len(words)):
            rest = [w[0].lower() for w in words[n:]]
            value = self.tongue.spoken(rest)
            if value and value[1] == len(rest):
                return value[0], start + words[n].start()
        return None, start

    def _ratios(self) -> None:
        grammar = self.tongue.grammar
        as_words = grammar is not None and grammar.ratio.search(self.text.lower())
        for match in (_SAID_RATIO if as_words else _RATIO).finditer(self.text):
            if not self._free(match.start(), match.end()) or not int(match[2]):
                continue
            if self.around.is_measured(match.end()) or self._noun(match.end())[0]:
                continue  # a fraction of something: read as a figure
            value = int(match[1]) / int(match[2])
            self._add(match.start(), match.end(), "ratio", low=value, high=value, digits=True)

    def _figures(self) -> None:
        last: tuple[int, int, Figure] | None = None
        for match in FIGURE.finditer(self.text):
            figure = read_figure(match[0], self.tongue.mark)
            start, end = match.start(), match.start() + len(match[0].rstrip())
            if figure is None and self._free(start, end):  # "21.5/53", which no one can read
                self._add(start, end, "number", low=nan, high=nan, digits=True)
            if figure is None or not self._free(start, end):
                last = None
                continue
            if last is not None and self._joined(last[1], start):
                self.found.pop()
                self._figure(last[0], end, figure, low=last[2])
                last = None
            else:
                self._figure(start, end, figure)
                last = (start, end, figure)

    def _joined(self, end: int, start: int) -> bool:
        """Whether what stands between two figures makes a range of them."""
        gap = self.text[end:start].strip(" \u00a0\u202f").lower()
        return gap in ("–", "-", "…", "...", *self.tongue.joins)

    def _figure(self, start: int, end: int, figure: Figure, low: Figure | None = None) -> None:
        low = low or figure
        about = self.around.is_about(start)
        if figure.sign:
            start = min(start, end)
        part, end = self._added(end)
        if part:
            figure = low = replace(figure, value=figure.value + part, step=0.25 * part)
        unit, known = self.around.unit(end, True)
        bound = self.around.bound(start)
        if unit and known:
            what, scale = known
            self._add(start, unit.end(), "measure", low=low.value * scale,
                      high=figure.value * scale, step=figure.step * scale, what=what, about=about,
                      bound=bound, digits=True, scale=scale)  # fmt: skip
            return
        noun, others, of = self._noun(end)
        noun = noun or self._many_before(start, end)
        if (of or not noun) and self._is_of_turns(start, end):
            self._add(start, end, "measure", low=low.value, high=figure.value, step=figure.step,
                      what="turn", about=about, bound=bound, digits=True)  # fmt: skip
            return
        kind: Kind = "count" if noun else "number"
        self._add(start, end, kind, low=low.value, high=figure.value, step=figure.step, noun=noun,
                  others=others, about=about, bound=bound, digits=True, one_of=of)  # fmt: skip
