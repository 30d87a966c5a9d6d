"""What all parts of the reader of a sentence share: its words, and what is found in it."""

from __future__ import annotations

from typing import Any

from kitdocs.words.audit.claims.around import Around, Counted
from kitdocs.words.audit.claims.claim import Claim, Kind
from kitdocs.words.audit.lexicon import WORD, Lexicon


class Reading:
    """One sentence as it is read, each sign of it once."""

    def __init__(self, text: str, lexicon: Lexicon, digits: bool):
        self.digits = digits
        self.text, self.lexicon, self.tongue = text, lexicon, lexicon.tongue
        self.found: list[Claim] = []
        self.around = Around(text, lexicon)
        self.words = list(WORD.finditer(text))

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
        like = WORD.match(self.text, after.end() + 1) if after else None
        is_word = after and after[0].lower() not in self.tongue.stops | self.tongue.joins
        if like and is_word and like[0].lower() in self.tongue.grammar.parts:
            return like[0].lower(), (after[0].lower(),), False  # "three toothed parts"
        return noun, others, of
