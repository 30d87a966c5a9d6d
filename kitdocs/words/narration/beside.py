"""Captions laid beside the page, sign by sign: what was replaced, left out, moved, told again.

Captions may be worded freely, so that a difference alone is no fault. It is one where all round it
captions say what the page says, word for word: then a name or a number in the place of another was
exchanged, and a cue that is missing was lost.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import cached_property
from itertools import pairwise

from kitdocs.kit.names import quoted
from kitdocs.kit.stage import Step
from kitdocs.words.narration.cues import Cue
from kitdocs.words.narration.fault import CueFault
from kitdocs.words.narration.page import Sign, Told
from kitdocs.words.writing.english import words

#: Words that may change with a name beside them.
_ARTICLES = words("the a an its der die das den dem des ein eine einen einem einer eines")
#: How much of a sentence captions must have word for word for a difference to be a fault.
_SAME = 0.5
#: How many words make a cue that stands in two places no chance: our own.
_LONG = 4
_CLAUSE = re.compile(r"[,:;–—]")
_ENDED = re.compile(r"[.!?…]")


@dataclass(frozen=True)
class Run:
    """Captions that are compared with some sentences of the page: their text, its signs, and where
    each cue begins in it."""

    text: str
    signs: tuple[Sign, ...]
    starts: tuple[tuple[int, Cue], ...]
    step: Step | None

    def cue_at(self, offset: int) -> Cue:
        """The cue that a character stands in."""
        return [cue for start, cue in self.starts if start <= offset][-1]


class Beside:
    """Captions beside the sentences of the page that they tell."""

    def __init__(self, told: tuple[Told, ...], run: Run):
        self.told, self.run = told, run
        self.page = [sign for one in told for sign in one.signs]
        self.line = [n for n, one in enumerate(told) for _ in one.signs]
        keys = [sign.key for sign in self.page], [sign.key for sign in run.signs]
        self.blocks = SequenceMatcher(None, *keys, autojunk=False).get_opcodes()
        #: The caption's sign that says each sign of the page, and the other way.
        self.said: dict[int, int] = {}
        for tag, i, j, k, _ in self.blocks:
            if tag == "equal":
                self.said.update((n, k + n - i) for n in range(i, j))
        for tag, i, j, _, _ in self.blocks:
            if tag == "delete":
                self._slide(i, j)
        self.meant = {b: a for a, b in self.said.items()}

    def _slide(self, begin: int, end: int) -> None:
        """Of signs that captions lack, take a whole sentence or clause where one may as well: of
        *Turn it. Turn on* without *Turn it.* no one can say which *Turn* is left."""
        page = self.page
        least = most = 0
        while begin + least > 0 and page[begin + least - 1].key == page[end + least - 1].key:
            least -= 1
        while end + most < len(page) and page[begin + most].key == page[end + most].key:
            most += 1
        shifts = sorted(range(least, most + 1), key=abs)
        best = max(shifts, key=lambda by: self._begins(begin + by) + self._begins(end + by))
        for n in range(begin - 1, begin + best - 1, -1):
            self.said[n + end - begin] = self.said.pop(n)
        for n in range(begin, begin + best):
            self.said[n] = self.said.pop(n + end - begin)

    def _begins(self, n: int) -> int:
        """How much begins with a sign of the page: a sentence 2, a clause 1."""
        if n in (0, len(self.page)) or self.line[n] != self.line[n - 1]:
            return 2
        text = self.told[self.line[n]].line.text
        return int(_CLAUSE.search(text[self.page[n - 1].end : self.page[n].start]) is not None)

    def faults(self, all_keys: str) -> Iterator[CueFault]:
        """Everything that was exchanged, lost, moved or told again. `all_keys` are those of the
        whole page."""
        yield from self._replaced()
        yield from self._moved(all_keys)
        yield from self._lost()

    def line_of(self, start: int, end: int) -> Told | None:
        """The sentence of the page that most of a stretch of the captions says."""
        lines = [
            self.line[self.meant[n]]
            for n, sign in enumerate(self.run.signs)
            if n in self.meant and start <= sign.start < end
        ]
        return self.told[max(lines, key=lines.count)] if lines else None

    def breaks(self) -> list[int]:
        """Where a sentence begins for certain, whatever marks stand before it: where the page has
        another one, and after the title of a step."""
        signs = self.run.signs
        found = [
            signs[n + 1].start
            for n in range(len(signs) - 1)
            if n in self.meant
            and self.meant.get(n + 1) == self.meant[n] + 1
            and self.line[self.meant[n]] != self.line[self.meant[n] + 1]
        ]
        if self.run.step:
            for start, _ in self.run.starts[1:3]:
                before = self.run.text[:start].rstrip()
                if _ENDED.search(before):
                    break
                if self.run.text[start : start + 1].isupper() and not before.endswith((":", ",")):
                    found.append(start)
                    break
        return sorted({*found})

    # --- one thing for another

    def _replaced(self) -> Iterator[CueFault]:
        for tag, i, j, k, m in self.blocks:
            if tag != "replace":
                continue
            ours = [s for s in self.page[i:j] if s.key not in _ARTICLES]
            theirs = [s for s in self.run.signs[k:m] if s.key not in _ARTICLES]
            if [s.kind for s in ours] == ["name"] and self._share(i, j) >= _SAME:
                yield from self._other_number(ours[0], theirs)
            if not ours or [s.kind for s in ours] != [s.kind for s in theirs]:
                continue
            if any(s.kind == "word" for s in ours) or self._share(i, j) < _SAME:
                continue
            for our, their in zip(ours, theirs, strict=True):
                if our.key != their.key and not _rounds(their, our):
                    found = f"{quoted(their.text)}, where the page has {quoted(our.text)}"
                    yield CueFault(self.run.cue_at(their.start), found, quoted(our.text))

    def _other_number(self, name: Sign, theirs: list[Sign]) -> Iterator[CueFault]:
        """A name of the page with another number in it, so that it names nothing."""
        own = [number.key for number in name.inside]
        other = next((s for s in theirs if s.kind == "number" and own and s.key not in own), None)
        if other is not None:
            found = f"{quoted(other.text)}, where the page has {quoted(name.text)}"
            yield CueFault(self.run.cue_at(other.start), found, quoted(name.text))

    def _share(self, i: int, j: int) -> float:
        """How much of the other signs of the sentences of a stretch captions say."""
        lines = {self.line[n] for n in range(i, j)}
        others = [n for n, line in enumerate(self.line) if line in lines and not i <= n < j]
        return sum(n in self.said for n in others) / len(others) if others else 1.0

    # --- cues at another place

    @cached_property
    def _cues(self) -> list[tuple[Cue, int, int]]:
        """Each cue with its signs, from … to."""
        found: list[tuple[Cue, int, int]] = []
        at, signs = 0, self.run.signs
        for n, (_, cue) in enumerate(self.run.starts):
            ends = self.run.starts[n + 1][0] if n + 1 < len(self.run.starts) else len(self.run.text)
            begin = at
            while at < len(signs) and signs[at].start < ends:
                at += 1
            found.append((cue, begin, at))
        return found

    def _moved(self, all_keys: str) -> Iterator[CueFault]:
        """Cues that are on the page word for word, and not where they stand."""
        lines = {_keys(told.signs) for told in self.told}
        for cue, begin, end in self._cues:
            if all(n in self.meant for n in range(begin, end)):
                continue
            keys = _keys(self.run.signs[begin:end])
            if keys not in all_keys or keys in self._keys_about(begin, end):
                continue
            if end - begin >= _LONG or keys in lines or self._is_lost_elsewhere(begin, end):
                found = f"{quoted(cue.text)} at another place than on the page, or told again"
                yield CueFault(cue, found, "the order of the page")

    def _keys_about(self, begin: int, end: int) -> str:
        """What the page says between what captions say before and after a stretch."""
        before = [self.meant[n] for n in range(begin) if n in self.meant]
        after = [self.meant[n] for n in range(end, len(self.run.signs)) if n in self.meant]
        return _keys(self.page[before[-1] + 1 if before else 0 : after[0] if after else None])

    def _is_lost_elsewhere(self, begin: int, end: int) -> bool:
        """Whether no caption says a stretch where the page does."""
        keys = [sign.key for sign in self.run.signs[begin:end]]
        length = end - begin
        return length > 1 and any(
            [sign.key for sign in self.page[n : n + length]] == keys
            and not any(m in self.said for m in range(n, n + length))
            for n in range(len(self.page) - length + 1)
        )

    # --- cues that are missing

    def _lost(self) -> Iterator[CueFault]:
        n = 0
        while n < len(self.page):
            if n in self.said:
                n += 1
                continue
            end = n
            while end < len(self.page) and end not in self.said:
                end += 1
            if why := self._is_lost(n, end):
                text = " ".join(sign.text for sign in self.page[n:end])
                cue = self._cue_before(n)
                yield CueFault(cue, why.format(quoted(_short(text))), "all that the page says")
            n = end

    def _cue_before(self, n: int) -> Cue:
        if n - 1 in self.said:
            return self.run.cue_at(self.run.signs[self.said[n - 1]].start)
        return self.run.starts[0][1]

    def _is_lost(self, begin: int, end: int) -> str:
        """Why signs that no caption says were not left out on purpose; empty if they may be."""
        before = self.said.get(begin - 1, -1 if begin == 0 else None)
        after = self.said.get(end, len(self.run.signs) if end == len(self.page) else None)
        if before is None or after is None or after != before + 1:
            return ""  # something else is said instead
        about = self.line[max(0, begin - 1) : end + 1]
        if not all(self._is_told(line, begin, end) for line in (about[0], about[-1])):
            return ""  # told freely
        starts_line = begin == 0 or self.line[begin - 1] != self.line[begin]
        ends_line = end == len(self.page) or self.line[end - 1] != self.line[end]
        whole = range(self.line[begin] + (not starts_line), self.line[end - 1] + ends_line)
        if not starts_line and len(whole) and self.told[self.line[begin]].line.kind == "heading":
            return ""  # as is what follows a heading of their own
        if any(self.told[line].line.kind == "instruction" for line in whole):
            return "{}, which the page tells to do, is left out"
        lines = self.told[self.line[begin]].line, self.told[self.line[end - 1]].line
        if (starts_line and ends_line) or any(line.kind == "heading" for line in lines):
            return ""
        signs, text = self.run.signs, self.run.text
        if not self._parts_cues(before, after):
            return ""
        if not starts_line and not ends_line and self.line[begin] == self.line[end - 1]:
            return "a sentence without {} in its middle"
        ends = signs[after].start if after < len(signs) else len(text)
        between = text[signs[before].end if before >= 0 else 0 : ends]
        if not starts_line and _ENDED.search(self._end_of(begin)) and not _ENDED.search(between):
            return "a sentence that breaks off before {}"
        is_told_on = not ends_line and after < len(signs)
        if is_told_on and signs[after].text[:1] == self.page[end].text[:1]:
            return "a sentence that begins after {}"
        return ""

    def _is_told(self, line: int, begin: int, end: int) -> bool:
        """Whether captions say a sentence of the page word for word, but for some signs of it."""
        own = [n for n, one in enumerate(self.line) if one == line and not begin <= n < end]
        return all(n in self.said for n in own) and all(
            self.said[b] == self.said[a] + 1 for a, b in pairwise(own)
        )

    def _parts_cues(self, before: int, after: int) -> bool:
        """Whether one cue ends and another begins between two signs."""
        signs = self.run.signs
        if before < 0 or after >= len(signs):
            return True
        return self.run.cue_at(signs[before].start) is not self.run.cue_at(signs[after].start)

    def _end_of(self, sign: int) -> str:
        """What stands after the last sign of a sentence of the page."""
        told = self.told[self.line[sign]]
        return told.line.text[told.signs[-1].end :]


def _keys(signs: Sequence[Sign]) -> str:
    """Keys with a space round each, so that one run of them can be looked for in another."""
    return f" {' '.join(sign.key for sign in signs)} "


def _rounds(their: Sign, our: Sign) -> bool:
    """Whether a number of captions is the page's, rounded to fewer places."""
    if their.value is None or our.value is None:
        return False
    return abs(abs(their.value) - abs(our.value)) <= their.step + 1e-9


def _short(text: str) -> str:
    return text if len(text) <= 60 else f"{text[:59]}…"
