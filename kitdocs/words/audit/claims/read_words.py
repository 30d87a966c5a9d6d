"""Numbers in words: of things and measures, with parts of one, and how often."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kitdocs.words.audit.claims.claim import Claim
from kitdocs.words.audit.claims.reading import Reading
from kitdocs.words.audit.lexicon import WORD, words_in


class NumberWords(Reading):
    """Reads number words."""

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
        """`for each turn of the one the other makes three`, `four turns of the one give
        five of the other`: whether a number without a noun of its own counts turns too."""
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
        if (of or not noun) and self._is_of_turns(start, end):
            self._add(start, end, "measure", low=value, high=value, step=0.5, what="turn",
                      about=about, bound=bound)  # fmt: skip
            return
        if noun or self._is_of_them(start, end):
            self._add(start, end, "count", low=value, high=value, step=0.5, noun=noun,
                      others=others, about=about, bound=bound, one_of=of)  # fmt: skip
