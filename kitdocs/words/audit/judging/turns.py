"""Turns held against the design: how often one thing turns while another does.

`For one turn of the crank the lay arbor makes 1.25` tells of two things, and is right where their
speeds have that ratio. What one of them does is the measure (`Turned` below) of the other.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise, product

from kitdocs.words.audit.claims.claim import Claim
from kitdocs.words.audit.judging.mentions import Mention, mentions
from kitdocs.words.audit.judging.owners import owners
from kitdocs.words.audit.judging.statement import Against, Backing, Statement, agrees
from kitdocs.words.audit.lexicon import words_in
from kitdocs.words.audit.tongues.grammar import Grammar
from kitdocs.words.numbers import plain

_TURNS = ("turn", "times", "deg")
_YEAR = ("day", 365.25)


@dataclass(frozen=True)
class Turned:
    """So many turns of what turns at one of some speeds, in turns for one of the crank."""

    turns: float
    speeds: frozenset[float]
    name: str


def judge_turns(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """What backs a number of turns or stands against it; None where it is told of nothing that
    turns, or for nothing."""
    claim = at.claim
    mine = _turned(at, claim)
    if claim.what == "deg" and (
        mine is None or not grammar.motion.search(at.sentence.text.lower())
    ):
        return None
    if claim.what == "turn" and _is_in_degrees(at):
        return Backing("fact", "the degrees that it is told for")
    if mine is None or _is_by_hand(at, grammar):
        return _manner(at, grammar)
    others = [t for c in at.others if c is not claim and (t := _turned(at, c)) is not None
              and t.name != mine.name and c.what != "deg"]  # fmt: skip
    measures = [*_implied(at, grammar, mine), *others]
    fine = [t for c in at.others if c is not claim and (t := _turned(at, c)) in others
            and c.step > claim.step]  # fmt: skip
    if mine.name == _CRANK and fine:  # "once, while the crank makes 2.23 turns"
        return _held(at, grammar, mine, fine[0])
    bounded = [c for c in at.others if c is not claim and c.bound and _turned(at, c) in others]
    if bounded and not claim.bound:  # "less than a third of a turn, while the other turns once"
        return Backing("fact", "what the other turns of the sentence are told for")
    is_alone = not claim.digits and not others
    if is_alone and grammar.until.search(at.sentence.text[: claim.start].lower()):
        return Backing("fact", "what is waited for")
    if mine.name == _CRANK and others:
        return Backing("fact", "what the other turns of the sentence are told for")
    if (days := _in_days(at, mine)) is not None:
        return days
    if not measures:
        return None
    base = next((m for m in measures if m.name == _CRANK), measures[0])
    is_first = base.name != _CRANK and base in others
    if is_first and claim.start < min(c.start for c in at.others if _turned(at, c) == base):
        return Backing("fact", "what the other turns of the sentence are told for")
    if not base.turns:
        return None
    return _held(at, grammar, mine, base)


_CRANK = "the crank"


def _held(at: Statement, grammar: Grammar, mine: Turned, base: Turned) -> Backing | Against:
    """Whether so many turns are made while another thing makes its own."""
    after = at.sentence.text[at.claim.end :].lower()
    beyond = bool(grammar.beyond.search(at.sentence.text.lower()))
    totals = sorted({abs(base.turns * s / b) for s, b in product(mine.speeds, base.speeds) if b})
    for total in totals:
        if _is_so_many(at.claim, total, bool(grammar.and_more.match(after)), beyond):
            label = f"turns of {mine.name} for {plain(base.turns)} of {base.name}"
            return Backing("fact", label)
    told = " or ".join(f"{plain(total)} turns" for total in totals)
    return Against(f"{told} of {mine.name} for {plain(base.turns)} of {base.name}", "")


def _is_so_many(claim: Claim, total: float, and_more: bool, beyond: bool) -> bool:
    """Whether a claim is so many turns; where there is `more` to come, of whole ones, and in
    degrees `beyond` them, of what is left."""
    if claim.what == "deg":
        return agrees(claim, 360 * total) or (beyond and agrees(claim, 360 * (total % 1)))
    if and_more:
        return claim.high <= total < claim.high + 1
    return agrees(claim, total)


def _turned(at: Statement, claim: Claim) -> Turned | None:
    """What a number of turns or degrees is told of, where that turns."""
    if claim.what not in _TURNS or claim.kind != "measure":
        return None
    here = replace(at, claim=claim)
    whose = owners(here)
    for thing in whose.things if whose else ():
        if (turned := _of(at, thing, claim.high)) is not None:
            return turned
    return None


def _of(at: Statement, thing: Mention, turns: float) -> Turned | None:
    design = at.scope.design
    kit, speeds = design.kit, design.motion.speeds
    arbors = {kit.items[i].arbor for i in thing.items if i in kit.items}
    if thing.body:
        arbors = {kit.bodies[thing.body].arbor}
    base = speeds.get(kit.about.time.arbor) or 0
    seen = {name: float(abs(base * train.ratio)) for name, train in design.trains.items()}
    if thing.body in seen:  # as it is seen from where it is seen
        found = {seen[thing.body]}
    else:
        found = {float(abs(speeds.get(arbor, 0))) for arbor in arbors}
        found |= {speed for name, speed in seen.items() if kit.bodies[name].arbor in arbors}
    found -= {0.0}
    if not found:
        return None
    crank = kit.mechanism.crank
    name = _CRANK if arbors == {crank} else thing.body or " or ".join(sorted(arbors))
    return Turned(turns, frozenset(found), name)


def _implied(at: Statement, grammar: Grammar, mine: Turned) -> Iterator[Turned]:
    """For what a number of turns is told: each turn of another thing, a year, as fast as it."""
    tongue, text = at.lexicon.tongue, at.sentence.text
    spoken = [m for m in mentions(at) if (t := _of(at, m, 1.0)) and t.name != mine.name]
    words = words_in(text)
    time = at.scope.design.kit.about.time
    for (_, _, before), (_, end, word) in pairwise(words):
        is_one = before in tongue.articles | tongue.each | _ONE
        if not is_one or any(c.start <= end <= c.end for c in at.others):
            continue
        if word in grammar.year and (speed := at.scope.design.motion.speeds.get(time.arbor)):
            yield Turned(1.0, frozenset({float(abs(speed))}), "the year")
        elif tongue.units.get(word, ("",))[0] == "turn":
            of = next((m for m in spoken if 0 <= m.start - end <= _NEAR), None)
            thing = of or next(iter(spoken), None)
            if thing is not None and (turned := _of(at, thing, 1.0)):
                yield turned
    if grammar.as_fast.match(text[at.claim.end :].lower()):
        after = next((m for m in spoken if m.start >= at.claim.end), None)
        yield from filter(None, [_of(at, after, 1.0) if after else None])
    subjects = {m.items or m.body: m for m in spoken if m.end <= at.claim.start}
    if len(subjects) == 1 and not _tells_turns(at):
        yield from filter(None, [_of(at, *subjects.values(), 1.0)])  # "it needs 1.19 turns of it"


_ONE = frozenset({"im", "pro", "je", "per"})
_NEAR = 12  # characters from "a turn" to that of which it is one


def _tells_turns(at: Statement) -> bool:
    return any(c is not at.claim and c.what in _TURNS for c in at.others)


def _in_days(at: Statement, mine: Turned) -> Backing | Against | None:
    """Turns of a body beside its days: `365.256 days for one turn of Earth`."""
    train = at.scope.design.trains.get(mine.name)
    days = [c.high for c in at.others if c.what == "day"]
    if train is None or not days or at.claim.what == "deg":
        return None
    turns = {d / float(p) for d in days for p in (train.period_days, train.reference.days)}
    if any(agrees(at.claim, one) for one in turns):
        return Backing("fact", f"turns of {mine.name} in so many days")
    return Against(" or ".join(f"{plain(t)} turns" for t in sorted(turns)), "")


def _is_by_hand(at: Statement, grammar: Grammar) -> bool:
    text = at.sentence.text.lower()
    return bool(grammar.screwing.search(text))


def _is_in_degrees(at: Statement) -> bool:
    """`90 degrees, a quarter turn`: whether the sentence tells the same in degrees."""
    return any(c.what == "deg" and abs(360 * at.claim.high - c.high) < 1 for c in at.others)


def _manner(at: Statement, grammar: Grammar) -> Backing | None:
    """A turn that is made by hand, as far as it takes: it claims nothing of the design."""
    claim, text = at.claim, at.sentence.text.lower()
    if claim.what == "deg" or claim.digits:
        return None
    by_hand = grammar.screwing.search(text) or grammar.by_hand.search(text)
    of_nothing = owners(at) is None or claim.what == "times"
    if by_hand or of_nothing or claim.high < 1:
        return Backing("fact", "what is turned by hand")
    return None
