"""The small words by which the audit hears what belongs to what in a sentence of a language."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

#: A number that has a part of one in it: where it begins and ends, what it is, half a step of it,
#: and whether it is one of millimetres where no unit follows.
PartSaid = tuple[int, int, float, float, bool]


@dataclass(frozen=True)
class Grammar:
    """All words are in lower case; patterns are searched in text that is.

    A language without a grammar has its numbers held against all that stands near them.
    """

    # Whose a number is (`owners.py`).
    prepositions: frozenset[str]
    whose: frozenset[str]  # "of" in "6 mm of the plate"
    pronouns: frozenset[str]  # what stands for a thing that was named before: "it", "its"
    inside: frozenset[str]  # "in" in "the 6 mm hole in the plate"
    objects: frozenset[str]  # pronouns that after a preposition are no subject: "under it"
    relatives: frozenset[str]  # "which"
    with_: frozenset[str]
    clauses: frozenset[str]  # words that begin a clause: "but", "while"
    joins: frozenset[str]  # "and", which may join two clauses
    telling: frozenset[str]  # verbs of a clause: "is", "has", "stands"
    crank: frozenset[str]  # "crank" without a noun
    bodies: Mapping[str, str]  # words that tell of a body, or end one that begins with its name

    # Lengths (`judge_lengths.py`, `judge_relations.py`). `place` is matched after a number, its
    # group `over` says that it is a height; `between` is searched before it.
    place: re.Pattern[str]
    between: re.Pattern[str]
    lower: re.Pattern[str]  # "lower" in "above the lower end"
    rises: re.Pattern[str]  # of what can rise, or has play
    tight: re.Pattern[str]  # of what is tighter, or has room
    room: re.Pattern[str]  # of room, not only of one in the hole of another
    through: re.Pattern[str]  # what a screw goes through, or into
    differs: re.Pattern[str]  # after a number: by so much one thing is longer than another
    differs_by: re.Pattern[str]  # before one
    stack: re.Pattern[str]  # what stands on an arbor, all of it
    radius: re.Pattern[str]

    # Parts of one and turns (`claims.py`, `judge_turns.py`).
    parts_said: Callable[[str], Iterator[PartSaid]]
    times: Callable[[str], int | None]  # what "twice" says
    no_times: frozenset[str]  # beside "once" or "twice", which count no turns then
    full: frozenset[str]  # "full" in "ten full turns"
    as_fast: re.Pattern[str]  # after a number of times: as fast as what comes next
    makes: frozenset[str]  # "makes" in "for each turn … makes nearly three"
    screwing: re.Pattern[str]  # what is done by hand: so far as is needed
    until: re.Pattern[str]  # before a number: something is done until a thing has turned so often
    by_hand: re.Pattern[str]  # the beginning of an order to turn something
    motion: re.Pattern[str]  # what a thing does that turns
    and_more: re.Pattern[str]  # after a number of turns: there is a bit more
    beyond: re.Pattern[str]  # of degrees that come after whole turns
    year: frozenset[str]
    ratio: re.Pattern[str]  # of two numbers that are one ratio: "25 to 20"
    too_long: re.Pattern[str]  # after a number of days: a difference of periods
    drifts: re.Pattern[str]  # before one: how long it takes to be off

    # Counts (`judge_counts.py`, `ordinals.py`, `shares.py`).
    all: frozenset[str]
    together: re.Pattern[str]  # of a sum: "between them"
    used: re.Pattern[str]  # of holes that something goes into
    there: re.Pattern[str]  # before a number alone: "there are"
    ones: re.Pattern[str]  # "plain ones", its group 1 what they are like
    other: frozenset[str]  # "other" in "the other two feet"
    more: re.Pattern[str]  # after a number: so many besides
    left: re.Pattern[str]  # of holes that stay empty
    per: re.Pattern[str]  # after a number: so many for each
    share: re.Pattern[str]  # after a number: so many of those that were counted before
    toothed: re.Pattern[str]  # at the end of a number of teeth that is the name of a wheel
    drives: re.Pattern[str]  # of one wheel that drives another
    passing: re.Pattern[str]  # of teeth that go by
    definite: frozenset[str]  # "the" in "the two feet", which were told of before
    too_few: re.Pattern[str]  # of fewer than are needed
    spare: re.Pattern[str]  # after a number: so many more than are needed
    among: re.Pattern[str]  # after a number: some of those: "of which"
    meshing: re.Pattern[str]
    parts: frozenset[str]  # "parts" on an arbor
    last: frozenset[str]
    every: frozenset[str]  # "every" in "every second hole"
    here: re.Pattern[str]  # "of this step"
    particles: frozenset[str]  # of verbs, between a thing and its clause: "auf, die 3 mm dick ist"
    verbs: frozenset[str]  # units that beside a number above one are verbs: "the wheel of 100 turn"
    singular: frozenset[str]  # nouns that cannot be plural
    plural: frozenset[str]  # nouns that can only be plural
    how_many: re.Pattern[str]  # the head of a column of counts

    def says_number(self, word: str) -> bool:
        """Whether a word tells a part of one, or how often: `halben`, `twice`."""
        return self.times(word) is not None or any(True for _ in self.parts_said(f"{word} "))
