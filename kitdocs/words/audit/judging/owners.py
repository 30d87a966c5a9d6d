"""Of which of the things that a sentence speaks of a number is told.

The thing that stands right after a number (`the 8 mm Earth pipe`, `6 mm of the plate`) owns it;
else the subject of the clause; for a pronoun, what the clause before speaks of first.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from kitdocs.words.audit.judging.mentions import Mention, mentions
from kitdocs.words.audit.judging.statement import Statement
from kitdocs.words.audit.lexicon import words_in
from kitdocs.words.audit.tongues.grammar import Grammar

_STOP = re.compile(r"[;:.!?()—–]|, ")
_PHRASE = 5  # words before a thing among which its preposition stands
_ADJECTIVES = 2  # words before a thing that a share is of
_RELATIVE = 8  # characters by which a relative word may stand before its clause
_FAR = 3  # words between a thing and its measure, which is surely its own then


@dataclass(frozen=True)
class Owners:
    """Those of which a number may be told, the likeliest first; none where a pronoun stands for
    what the sentence does not name. `attributed` says that a number stands right before its owner,
    whose size it is."""

    things: tuple[Mention, ...]
    attributed: bool = False
    guessed: bool = False  # nothing but its place in the sentence tells for it


def owners(at: Statement) -> Owners | None:
    """Whose the number is; None where nothing in the sentence tells."""
    grammar = at.lexicon.tongue.grammar
    if grammar is None:
        return None
    return _Reading(at, grammar).owners()


class _Reading:
    def __init__(self, at: Statement, grammar: Grammar):
        self.at, self.grammar, self.tongue = at, grammar, at.lexicon.tongue
        self.text = at.sentence.text
        self.words = words_in(self.text)
        self.mentions = mentions(at)
        self.before = [m for m in self.mentions if m.end <= at.claim.start]

    def owners(self) -> Owners | None:
        if (after := self._after()) is not None:
            return after
        start = self._clause()
        if (relative := self._relative(start)) is not None:
            return Owners((relative,))
        if (held := self._with_its()) is not None:
            return Owners((held,))
        if self.before and self.text[: self.at.claim.start].endswith("("):
            return Owners((self.before[-1],), attributed=True)  # "the spacer (6 mm)"
        if self.before and self._is_adjacent(self.before[-1]):
            return Owners((self.before[-1],))
        here = [m for m in self.before if m.start >= start and self._is_subject(m)]
        pronoun = self._pronoun(start, here)
        if pronoun:
            return Owners(self._antecedents(start) or self._later())
        if here:
            last = here[-1]
            if len(here) == 1 or (self._is_beside(last) and not self._is_with(last)):
                return Owners((last,))
            return Owners((last, here[0]))
        if late := [m for m in self.before if m.start >= start]:  # "on the post are 6 mm"
            return Owners((late[-1], late[0]))
        found = self._antecedents(start)
        if not found and not self.before:  # "with a diameter of 20 mm each foot has room"
            found = tuple(m for m in self.mentions if m.start >= self.at.claim.end)[:1]
            if found and self._stands_before(found[0]):
                return Owners(())
            return Owners(found, guessed=True) if found else None
        return Owners(found) if found else None

    def _relative(self, start: int) -> Mention | None:
        """What `which is 6 mm long` tells of: the thing right before the word for it."""
        words = [w for w in self.words if w[0] < self.at.claim.start]
        for n, (at, _, word) in enumerate(words):
            if at < start - _RELATIVE or word not in self.grammar.relatives:
                continue
            after = words[n + 1] if n + 1 < len(words) else None
            is_article = after is not None and any(
                m.start <= w[0] < m.end for w in words[n + 1 : n + 3] for m in self.mentions
            )
            last = next((m for m in reversed(self.before) if m.end <= at), None)
            between = self.text[last.end : at].strip(" ,") if last is not None else None
            if not is_article and (between == "" or between in self.grammar.particles):
                return last
        return None

    def _is_adjacent(self, last: Mention) -> bool:
        """Whether a number follows a thing at once, or after a comma, which is not another's:
        `brings Earth once`, `on 3 feet, 20 mm wide`."""
        words = [word for start, end, word in self.words if end <= last.start
                 and not self.text[:start].endswith(", ")]  # fmt: skip
        is_apart = self.text[last.end : self.at.claim.start].strip(" \u00a0,")
        is_of = is_apart.lower() in self.grammar.whose  # "the sleeve and the washer of 2 mm"
        is_joined = words[-2:-1] and words[-2] in self.grammar.joins  # "und der Mond 29,5 Tage"
        is_others = words and words[-1] in self.grammar.whose and not is_joined
        return (is_of or not is_apart) and not is_others

    def _with_its(self) -> Mention | None:
        """What `the pinion with its 11 teeth` tells of."""
        words = [w for s, _, w in self.words if s < self.at.claim.start][-2:]
        last = self.before[-1] if self.before else None
        is_so = len(words) == 2 and words[0] in self.grammar.with_
        if last is None or not is_so or words[1] not in self.grammar.pronouns:
            return None
        between = self.text[last.end : self.at.claim.start].lower().split()
        return last if between == words else None

    def _is_with(self, last: Mention) -> bool:
        """Whether `with` stands between a thing and the number, which may be another's then."""
        between = [w for s, _, w in self.words if last.end <= s < self.at.claim.start]
        return bool(self.grammar.with_ & {*between})

    def _after(self) -> Owners | None:
        """What the number stands right before, or tells a share of."""
        at, shared, adjectives, in_hole = self.at.claim.end, False, 0, False
        for start, end, word in self.words:
            if start < at:
                continue
            if self.text[at:start].strip(" \u00a0-"):
                break
            found = next((m for m in self.mentions if m.start <= start < m.end), None)
            if found is not None:
                return Owners((found,), attributed=not shared)
            is_fact = bool(self.tongue.facts_of(word))
            is_whose = word in self.grammar.whose or (in_hole and word in self.grammar.inside)
            if shared and word in self.grammar.relatives and self.before and self._which(start):
                return Owners((self.before[-1],), attributed=True)
            if shared and word in self.grammar.pronouns:
                return Owners(self._antecedents(self._clause()))
            if is_whose or (shared and word in self.tongue.stops):
                shared = True
            elif is_fact and (shared or self._is_hole(word)):
                in_hole = True  # "the 2 mm hole of the arm"
            elif shared and adjectives < _ADJECTIVES and self._is_adjective(word):
                adjectives += 1
            elif not is_fact or word in self.tongue.stops:
                break
            at = end
        return None

    def _which(self, start: int) -> bool:
        """Whether a word stands alone for what was named before it: `2 mm of which`."""
        return not any(start < m.start < start + _RELATIVE for m in self.mentions)

    def _is_adjective(self, word: str) -> bool:
        is_small = word in self.tongue.stops or self.tongue.unit(word, False)
        return word.isalpha() and not is_small and not self.tongue.begins(word)

    def _is_hole(self, word: str) -> bool:
        return self.tongue.noun(word) == "hole"

    def _clause(self) -> int:
        """Where the clause begins that the number stands in."""
        start = 0
        claim = self.at.claim.start
        for stop in _STOP.finditer(self.text, 0, claim):
            if stop[0] != ", " or self._begins(stop.end()):
                start = stop.end()
        for begin, end, word in self.words:
            if begin >= claim:
                break
            if begin > start and word in self.grammar.joins and self._begins(end + 1):
                start = end + 1
            elif begin > start and word in self.grammar.clauses:
                start = end
        return start

    def _begins(self, start: int) -> bool:
        """Whether a clause of its own begins there: with a small word for it, or with a thing or
        a pronoun of which something is told before the number."""
        said = [(s, w) for s, _, w in self.words if start <= s < self.at.claim.start]
        if not said:
            return False
        if said[0][1] in self.grammar.clauses | self.grammar.joins:
            return True
        told = next((s for s, w in said if w in self.grammar.telling), None)
        if told is None:
            return False
        own = [m for m in self.before if start <= m.start < told and self._is_subject(m)]
        return bool(own) or any(s < told and w in self.grammar.pronouns for s, w in said)

    def _is_subject(self, mention: Mention) -> bool:
        """Whether a thing stands after no preposition, but for one after a word of a measure."""
        end = mention.start
        before = [word for word in self.words if word[1] <= end][: -_PHRASE - 2 : -1]
        for (start, stop, word), earlier in zip(before, [*before[1:], None], strict=False):
            if self.text[stop:end].strip(" \u00a0-") or word in self.grammar.telling:
                return True
            if any(m.start <= start < m.end for m in self.mentions):
                return True
            if word in self.grammar.prepositions:
                return earlier is not None and bool(self.tongue.facts_of(earlier[2]))
            end = start
        return True

    def _is_beside(self, mention: Mention) -> bool:
        """Whether a number is surely told of a thing: a verb, a mark or no more than a word of a
        measure stands between."""
        between = [w for s, _, w in self.words if mention.end <= s < self.at.claim.start]
        marked = self.text[mention.end : self.at.claim.start].lstrip()[:1] in (",", "(", ":", "")
        rest = [word for word in between if not self.tongue.facts_of(word)]
        is_near = len(rest) < 2 and not self.grammar.prepositions & {*rest}
        return marked or is_near or bool(self.grammar.telling & {*between})

    def _pronoun(self, start: int, here: list[Mention]) -> bool:
        """Whether a pronoun, and no thing after it, is the subject of the clause."""
        after = here[-1].end if here else start
        words = [w for s, _, w in self.words if after <= s < self.at.claim.start]
        return any(
            word in self.grammar.pronouns
            and not (word in self.grammar.objects and before in self.grammar.prepositions)
            for before, word in zip(["", *words], words, strict=False)
        )

    def _stands_before(self, thing: Mention) -> bool:
        """Whether a pronoun of its own comes between a number and the first thing that is named:
        `with 53 teeth it meshes with the other wheel`."""
        between = [w for s, _, w in self.words if self.at.claim.end <= s < thing.start]
        return bool(self.grammar.pronouns & {*between[:-1]})  # the last may be "its"

    def _later(self) -> tuple[Mention, ...]:
        """What a pronoun stands for that comes before it: `with its bore of 6 mm the wheel …`."""
        first = [word for _, _, word in self.words[:2]]
        is_so = len(first) == 2 and first[0] in self.grammar.with_
        after = [m for m in self.mentions if m.start >= self.at.claim.end]
        return tuple(after[:1]) if is_so and first[1] in self.grammar.pronouns else ()

    def _antecedents(self, start: int) -> tuple[Mention, ...]:
        """What the clauses before speak of: first the first of the nearest, then all."""
        earlier = [m for m in self.before if m.end <= start or start == 0]
        subjects = [m for m in earlier if self._is_subject(m)] or earlier
        return tuple(dict.fromkeys([*subjects[:1], *subjects[::-1]]))[:2]
