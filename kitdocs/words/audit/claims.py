"""Claims: the numbers that a sentence states, read by the rules of its language."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from math import nan
from typing import Any, Literal

from kitdocs.words.audit.around import Around, Bound, Counted
from kitdocs.words.audit.figures import FIGURE, VULGAR, Figure, read_figure, read_whole
from kitdocs.words.audit.lexicon import WORD, Lexicon, words_in
from kitdocs.words.audit.spellings import DESIGNATION

Kind = Literal["count", "teeth", "measure", "ratio", "designation", "code", "reference", "date",
               "number"]  # fmt: skip


@dataclass(frozen=True)
class Claim:
    """One number that a sentence states, at `start` … `end`.

    `low` and `high` are its value, or the two ends of a range, in the unit's base (mm, degrees,
    %, days, turns). `step` is half a unit of the last place that is written. `noun` is what is
    counted, with the `others` before it; `what` is what a reference names (`step`, `hole`), or
    what a measure measures (`mm`). `bound` says that a value is told as a `most` or a `least`.
    """

    start: int
    end: int
    text: str
    kind: Kind
    low: float = 0.0
    high: float = 0.0
    step: float = 0.0
    what: str = ""
    noun: str = ""
    others: tuple[str, ...] = ()
    about: bool = False
    bound: Bound = ""
    digits: bool = False
    one_of: bool = False  # "two of the screws"
    scale: float = 1.0  # the base unit's in one of the unit that is written


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
_VERSION = re.compile(r"[ \u00a0]*(?:[^\W\d_]{2,4}[ \u00a0])?(\d+(?:\.\d+)*)")
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


class _Reader:
    """Reads one sentence, each sign of it once."""

    def __init__(self, text: str, lexicon: Lexicon, digits: bool):
        self.digits = digits
        self.text, self.lexicon, self.tongue = text, lexicon, lexicon.tongue
        self.found: list[Claim] = []
        self.around = Around(text, lexicon)
        self.words = list(WORD.finditer(text))

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

    def _free(self, start: int, end: int) -> bool:
        return not any(c.start < end and start < c.end for c in self.found)

    def _add(self, start: int, end: int, kind: Kind, **said: Any) -> None:
        self.found.append(Claim(start, end, self.text[start:end], kind, **said))

    def _noun(self, end: int) -> Counted:
        """The noun that a number before `end` counts (`Around.noun`)."""
        sizes = ((c.start, c.end) for c in self.found if c.kind == "designation")
        noun, others, of = self.around.noun(end, sizes)
        grammar = self.tongue.grammar
        if not noun and grammar is not None and (ones := grammar.ones.match(self.text, end)):
            counted = [c for c in self.found if c.kind == "count" and c.end < end]
            return (counted[-1].noun, (ones[1],), False) if counted else ("", (), False)
        after = WORD.match(self.text, end + 1) if not noun and self.tongue.grammar else None
        if after and after[0].lower() in self.tongue.grammar.parts:
            return after[0].lower(), (), False  # "six parts"
        return noun, others, of

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
        return grammar is not None and at < len(self.words) and (
            self.words[at][0].lower() in grammar.telling
        )  # fmt: skip

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
        kind: Kind = "count" if noun else "number"
        self._add(start, end, kind, low=low.value, high=figure.value, step=figure.step, noun=noun,
                  others=others, about=about, bound=bound, digits=True, one_of=of)  # fmt: skip

    def _parts(self) -> None:
        """`half a millimetre`, `two and a half turns`; `twice`, where it counts turns."""
        grammar = self.tongue.grammar
        if grammar is None:
            return
        lower = self.text.lower()
        for start, end, value, step, fine in grammar.parts_said(lower):
            unit, known = self.around.unit(end, False)
            if unit and known and self._free(start, unit.end()):
                what, scale = known
                self._add(start, unit.end(), "measure", low=value * scale, high=value * scale,
                          step=step * scale, what=what, about=self.around.is_about(start),
                          bound=self.around.bound(start), scale=scale)  # fmt: skip
            elif fine and self._free(start, end):
                self._add(start, end, "measure", low=value, high=value, step=step, what="mm")
            elif self._turns_before(start) and re.match(r"[.;]|$", self.text[end:]):
                self._add(start, end, "measure", low=value, high=value, step=step, what="turn")
        if not grammar.motion.search(lower):
            return
        for before, word, after in self._neighbours():
            times = grammar.times(word[0].lower())
            if times is not None and not {before, after} & grammar.no_times:
                self._add(word.start(), word.end(), "measure", low=times, high=times, step=0.5,
                          what="times", about=self.around.is_about(word.start()))  # fmt: skip

    def _neighbours(self) -> Iterator[tuple[str, re.Match[str], str]]:
        """Each word, with the one before it and the one after it that no mark parts from it."""
        for n, word in enumerate(self.words):
            before = self.words[n - 1][0].lower() if n else ""
            after = self.words[n + 1] if n + 1 < len(self.words) else None
            near = after and not self.text[word.end() : after.start()].strip(" \u00a0")
            yield before, word, after[0].lower() if after and near else ""

    def _spoken(self) -> None:
        at = 0
        while at < len(self.words):
            word = self.words[at]
            if not self.tongue.begins(word[0].lower()):
                at += 1
                continue
            run = self._run(at)
            value = self.tongue.spoken(run)
            if value is None:
                at += 1
                continue
            last = self.words[at + value[1] - 1]
            start, end = word.start(), last.end()
            at += value[1]
            if not self._free(start, end) or self._is_ordinal(last):
                continue
            self._said(start, end, float(value[0]))

    def _run(self, at: int) -> list[str]:
        """Words from here that only spaces and hyphens part."""
        run = [self.words[at][0].lower()]
        for before, after in zip(self.words[at:], self.words[at + 1 : at + 8], strict=False):
            if self.text[before.end() : after.start()].strip(" \u00a0\u2011-"):
                break
            run.append(after[0].lower())
        return run

    def _is_ordinal(self, word: re.Match[str]) -> bool:
        after = WORD.match(self.text, word.end() + 1)
        hyphen = self.text[word.end() : word.end() + 1] == "-"
        return bool(after and hyphen and after[0].lower() in self.tongue.ordinals)

    def _added(self, end: int) -> tuple[float, int]:
        """The part of one that is added to a number before `end`, and where it ends then:
        `trzy i pół`."""
        after = WORD.match(self.text, end + 1) if self.tongue.added else None
        if after and after[0].lower() in self.tongue.joins:
            part = WORD.match(self.text, after.end() + 1)
            if part and part[0].lower() in self.tongue.added:
                return self.tongue.added[part[0].lower()], part.end()
        return 0.0, end

    def _many_before(self, start: int, end: int) -> str:
        """The noun that a number at the end of a clause counts before it: `śrub jest trzy`."""
        if not self.tongue.of_many or not re.match(r"[ \u00a0]*(?:[.,;:)]|$)", self.text[end:]):
            return ""
        clause = re.split(r"[.,;:(]", self.text[:start])[-1]
        words = (word for _, _, word in words_in(clause))
        return next((word for word in words if word in self.tongue.of_many), "")

    def _counted_before(self, start: int, end: int) -> Claim | None:
        """What a number without a noun counts too: `the hub has six holes, and the wheel has
        three`, `two feet in front, and one at the back`."""
        counted = [c for c in self.found if c.kind in ("count", "teeth") and c.end < start]
        before = re.search(r"([^\W\d_]+)[ \u00a0]$", self.text[:start])
        things = [c for c in counted if c.kind == "count"]
        if things and self._is_share(before[1].lower() if before else "", end):
            return max(things, key=lambda claim: claim.start)
        if not counted or not before:
            return None
        last, word = max(counted, key=lambda claim: claim.start), before[1].lower()
        if re.match(r"[ \u00a0]*(?:[.;:)]|$)", self.text[end:]):
            return last if word in self.tongue.has or self.lexicon.is_noun(word) else None
        after = WORD.match(self.text, end + 1)
        goes_on = after is not None and after[0].lower() in self.tongue.stops
        is_last = last.kind == "count" and word in self.tongue.joins
        return last if goes_on and is_last else None

    def _is_share(self, before: str, end: int) -> bool:
        """Whether the words round a number make it one of a count before: `all three are used`,
        `one in each`, `three for the wheel`."""
        grammar, after = self.tongue.grammar, self.text[end:].lower()
        if grammar is None:
            return False
        told = (grammar.per, grammar.spare, grammar.share, grammar.more)
        is_last = before in grammar.other and re.match(r"[.;]|$", self.text[end:])
        return before in grammar.all or bool(is_last) or any(w.match(after) for w in told)

    def _is_of_them(self, start: int, end: int) -> bool:
        """`of the two`: so many of what the sentence speaks of."""
        before = [w for _, _, w in words_in(self.text[:start])][-2:]
        closed = re.match(r"[ \u00a0]*(?:[.,;:)]|$)", self.text[end:])
        grammar = self.tongue.grammar
        return bool(grammar and closed and len(before) == 2 and before[0] in self.tongue.partitive
                    and before[1] in grammar.definite)  # fmt: skip

    def _is_of_turns(self, start: int, end: int) -> bool:
        """`for each turn of the one the other makes three`: whether a number without a noun
        counts turns too."""
        grammar = self.tongue.grammar
        if grammar is None:
            return False
        before = [w for _, _, w in words_in(self.text[:start])]
        after = WORD.match(self.text, end + 1)
        near = {*before[-3:], after[0].lower() if after else ""}
        return self._turns_before(start) and bool(grammar.makes & near)

    def _turns_before(self, start: int) -> bool:
        """Whether the words before tell of turns."""
        words = words_in(self.text[:start])
        return any(self.tongue.units.get(word, ("",))[0] == "turn" for _, _, word in words)

    def _said(self, start: int, end: int, value: float) -> None:
        about, bound = self.around.is_about(start), self.around.bound(start)
        step = 0.5
        after = WORD.match(self.text, end + 1)
        if after and (part := self.tongue.fractions.get(after[0].lower())):
            value, end, step = value * part, after.end(), 0.25 * part
        part, end = self._added(end)
        if part:
            value, step = value + part, 0.25 * part
        unit, known = self.around.unit(end, False)
        if unit and known:
            what, scale = known
            self._add(start, unit.end(), "measure", low=value * scale, high=value * scale,
                      step=step * scale, what=what, about=about, bound=bound)  # fmt: skip
            return
        noun, others, of = self._noun(end)
        noun = noun or self._many_before(start, end)
        grammar = self.tongue.grammar
        if not noun and grammar is not None and grammar.more.match(self.text.lower(), end):
            before = (w for _, _, w in reversed(words_in(self.text[:start])))
            noun = next((w for w in before if self.lexicon.is_noun(w)), "")  # "three more"
        if not noun and grammar is not None and grammar.there.search(self.text[:start].lower()):
            words = (w for _, _, w in words_in(self.text[:start]))
            noun = next((w for w in words if self.lexicon.is_noun(w)), "")  # "there are three"
        if not noun and (last := self._counted_before(start, end)) is not None:
            noun, others = last.noun, last.others
            if last.kind == "teeth":
                self._add(start, end, "teeth", low=value, high=value, noun=noun, others=others,
                          about=about)  # fmt: skip
                return
        if not noun and self._is_of_turns(start, end):
            self._add(start, end, "measure", low=value, high=value, step=0.5, what="turn",
                      about=about, bound=bound)  # fmt: skip
            return
        if noun or self._is_of_them(start, end):
            self._add(start, end, "count", low=value, high=value, step=0.5, noun=noun,
                      others=others, about=about, bound=bound, one_of=of)  # fmt: skip
