"""Measures, periods and turns held against the design."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from kitdocs.kit.parts import Supply, Tool
from kitdocs.words.audit.judging.days import judge_days
from kitdocs.words.audit.judging.facts_meant import facts_meant
from kitdocs.words.audit.judging.known import (
    Known,
    arbors_of,
    of_actions,
    of_axes,
    of_proof,
    of_referent,
    of_scope,
    of_time_base,
)
from kitdocs.words.audit.judging.lengths import judge_length
from kitdocs.words.audit.judging.statement import (
    TINY,
    Against,
    Backing,
    Statement,
    agrees,
    as_written,
)
from kitdocs.words.audit.judging.telling import known_told, write_one
from kitdocs.words.audit.judging.turns import judge_turns
from kitdocs.words.audit.lexicon import WORD, Named, Referent


def judge_measure(at: Statement) -> Backing | Against:
    claim = at.claim
    if (named := _named_by_size(at)) is not None:
        return named
    if (found := _by_owner(at)) is not None:
        return found
    if _is_manner(at):
        return Backing("fact", "how often something is done")
    facts = facts_meant(at)
    told: list[Known] = []
    is_its_own = claim.what == "mm" and facts and facts != {"distance"}
    subject = _subject(at) if is_its_own else []
    if claim.what == "mm" and _is_shapeless(at):
        return Against("a part that has measures", "Name what is meant.")
    for circle in [subject] if subject else circles(at):
        of_kind = [k for k in circle if k.what == claim.what and (not facts or k.fact in facts
                   or claim.what != "mm")]  # fmt: skip
        if claim.low != claim.high and facts:  # a range holds all that it speaks of
            of_kind = of_kind if all(agrees(claim, k.value) for k in of_kind) else []
        is_exact = claim.what == "mm" and at.lexicon.tongue.grammar is not None
        for known in of_kind:
            if (as_written if is_exact else agrees)(claim, known.value):
                return Backing("fact", known.label)
        told += of_kind
        if of_kind:
            break
    if backing := _of_driver(at) or _unity(at, told, facts) or _in_proportion(at):
        return backing
    return Against(known_told(told, claim), write_one(told))


def _by_owner(at: Statement) -> Backing | Against | None:
    """Held against that alone of which it is told, where the language tells."""
    grammar = at.lexicon.tongue.grammar
    if grammar is None:
        return None
    if (driver := _of_driver(at)) is not None:
        return driver
    if at.claim.what == "mm":
        return judge_length(at, grammar)
    if at.claim.what in ("day", "%"):
        return judge_days(at, grammar)
    return judge_turns(at, grammar) if at.claim.what in ("turn", "times", "deg") else None


def _is_manner(at: Statement) -> bool:
    """Whether `two times` is told of what does not turn."""
    claim = at.claim
    turning = at.lexicon.tongue.turning
    is_word = claim.what == "times" and not claim.digits
    return is_word and not turning.search(at.sentence.text.lower())


def _subject(at: Statement) -> list[Known]:
    """What is known of the one thing that is named just before a measure, whose measure it is."""
    named, design = _named_before(at), at.scope.design
    return (
        [k for r in named.referents for k in of_referent(design, r) if k.what == "mm"]
        if named
        else []
    )


def _named_before(at: Statement) -> Named | None:
    """The thing that is named just before a claim, with no more than two words between them but
    for small ones and those of measures."""
    before, tongue = at.sentence.text[: at.claim.start], at.lexicon.tongue
    near = [
        n for n in at.named if n.end <= at.claim.start and not n.start <= at.claim.start < n.end
    ]
    if not near:
        return None
    between = [w.lower() for w in WORD.findall(before[near[-1].end :])]
    told = [w for w in between if w not in tongue.articles | tongue.has and w not in tongue.facts]
    return near[-1] if len(told) <= 2 and len(between) <= 4 else None


def _is_shapeless(at: Statement) -> bool:
    """Whether a measure is said of an adhesive, an oil or a tool, of which no measure is known."""
    named, kit = _named_before(at), at.scope.design.kit
    if named is None:
        return False
    beside = at.sentence.text[named.end : at.claim.start].strip() == ","
    if not beside and not set(at.words(named.end)) & at.lexicon.tongue.says:
        return False
    parts = [kit.part(r.id) for r in named.referents if r.what == "part"]
    return bool(parts) and all(isinstance(part, (Supply, Tool)) for part in parts)


def _unity(at: Statement, known: list[Known], facts: frozenset[str]) -> Backing | None:
    """`one turn of the crank gives 0.29 turns`: the one to which something else is told."""
    claim = at.claim
    if facts and claim.what == "mm" and _named_before(at) is not None:
        return None
    if claim.digits or claim.about or not claim.low == claim.high == claim.step * 2:
        return None
    if len(at.others) > 1 or at.sentence.backed or {*at.words()} & at.lexicon.tongue.each:
        return Backing("fact", "one, to which something else is told")
    asked = any(k.fact == "turn" for k in known)
    return None if asked else Backing("fact", "one, as a measure")


def _named_by_size(at: Statement) -> Backing | Against | None:
    """`a 6 mm washer`: a size before a noun, where names of parts have sizes in them."""
    claim, lexicon = at.claim, at.lexicon
    if claim.what != "mm" or claim.low != claim.high:
        return None
    after = WORD.match(at.sentence.text, claim.end + 1)
    before = [*at.words()][: len([*at.words()]) - len([*at.words(claim.start)])]
    noun, is_of = after[0].lower() if after else "", False
    if not lexicon.is_noun(noun) or noun in lexicon.tongue.facts:
        of = before[-1:] and before[-1] in lexicon.tongue.partitive
        if lexicon.tongue.head_first and before[-1:] and before[-1] not in lexicon.tongue.facts:
            before, of = [*before, ""], True  # "podkładka 6 mm"
        noun = before[-2] if of and len(before) > 1 and lexicon.is_noun(before[-2]) else ""
        is_of = bool(noun) and not lexicon.tongue.head_first
    sized: dict[str, str] = {}
    thick: list[Known] = []
    for part in sorted({i for ids in lexicon.parts_called(noun) for i in ids}) if noun else ():
        name = lexicon.names.one(at.scope.design.kit.parts[part])
        if (size := _SIZE.search(name)) and part in at.scope.parts:
            sized[size[1].replace(",", ".")] = name
            thick += [k for k in of_referent(at.scope.design, Referent("part", part))
                      if is_of and k.fact in _OF_ITSELF]  # fmt: skip
    if not sized:
        return None
    for size, name in sized.items():
        if abs(float(size) - claim.high) <= TINY:
            return Backing("name", name)
    for own in thick:  # "a washer of 0.5 mm"
        if as_written(claim, own.value):
            return Backing("fact", own.label)
    return Against(" or ".join(sized.values()), "Name the part.")


#: Measures that a thing named by the size of another is told of after its noun.
_OF_ITSELF = frozenset({"thickness", "outside", "length"})
_SIZE = re.compile(r"(\d+(?:[.,]\d+)?)[ \u00a0\u2011-]?mm")


def _of_driver(at: Statement) -> Backing | Against | None:
    """`the 1.5 mm key`: a driver by its size and one more word of its name."""
    words = WORD.findall(at.sentence.text[at.claim.end :].lower())[:2]
    words += WORD.findall(at.sentence.text[: at.claim.start].lower())[-1:]
    if not any(at.lexicon.tongue.driver.search(word) for word in words):
        return None
    sized = {d: float(m[1]) for d in sorted(at.scope.drivers)
             if (m := re.match(r"([\d.]+) mm ", d))}  # fmt: skip
    if at.claim.what != "mm" or not sized:
        return None
    called = at.lexicon.names.driver
    for driver, size in sized.items():
        if size == at.claim.high:
            return Backing("name", called(driver))
    return Against(" or ".join(map(called, sized)), "Name the tool.")


def _in_proportion(at: Statement) -> Backing | None:
    """`43 turns of the one are 29 of the other`: two counts of turns whose ratio is known."""
    if at.claim.what != "turn":
        return None
    turns = [c.high for c in at.others if c.what == "turn" and c is not at.claim and c.high]
    named = [n for n in at.named if n.start > at.others[0].start]
    if len(turns) == 1 and len(named) == 2:
        return _between_named(at, turns[0], named)
    if turns == [1] and at.named:
        return None  # one of the crank, it may be
    ratios = [k for circle in circles(at) for k in circle if k.what == "ratio"]
    if speeds := _named_speeds(at):  # how fast it turns, not what meshes with it
        ratios = [Known(s, "ratio", "ratio", "how fast it turns") for s in speeds]
    for other in turns:
        for known in ratios:
            if abs(at.claim.high / other - known.value) <= TINY * max(1.0, known.value):
                return Backing("fact", known.label)
    return None


def _named_speeds(at: Statement) -> list[float]:
    """The speeds of the parts that a sentence names, for one turn of the crank, and the turns of
    the crank for one of each."""
    design = at.scope.design
    parts = (r for n in at.named for r in n.referents if r.what in ("item", "part"))
    arbors = {arbor for part in parts for arbor in arbors_of(design, part)}
    speeds = sorted({float(abs(s)) for a in arbors if (s := design.motion.speeds.get(a))})
    return [*speeds, *(1 / speed for speed in speeds)]


def _between_named(at: Statement, other: float, named: list[Named]) -> Backing | None:
    """The same where each count is that of a thing named after it."""
    design, first = at.scope.design, at.others[0] is at.claim
    speeds = [
        {abs(design.motion.speeds.get(a, 0)) for r in n.referents for a in arbors_of(design, r)}
        for n in named
    ]
    mine, theirs = speeds if first else reversed(speeds)
    for speed in mine - {0} if len(mine) == len(theirs) == 1 else ():
        if speed * other == min(theirs) * at.claim.high:
            return Backing("fact", "how fast both turn")
    return None


def circles(at: Statement) -> Iterator[list[Known]]:
    """What is known, from what the sentence names outwards."""
    design, scope = at.scope.design, at.scope
    near = [n for n in at.named if not n.start <= at.claim.start < n.end or n.source]
    referents = [r for n in near for r in n.referents]
    asked = list(of_actions(scope))
    arbors = frozenset(a for r in referents for a in arbors_of(design, r))
    seen = [] if _is_for_one(at) else list(of_proof(scope, arbors))
    yield [k for r in referents for k in of_referent(design, r)] and [
        *(k for r in referents for k in of_referent(design, r)),
        *of_axes(design, referents),
        *asked,
        *seen,
    ]
    parts = scope.parts
    nouns = {word for word in at.words() if at.lexicon.is_noun(word)}
    called = {p for noun in nouns for ids in at.lexicon.parts_called(noun) for p in ids & parts}
    meant = [k for i in sorted(called) for k in of_referent(design, Referent("part", i))]
    yield meant and [*meant, *asked]
    yield [*asked, *seen]
    yield [*of_scope(scope), *of_time_base(design)]
    if scope.step is not None:
        yield list(of_scope(scope.whole_stage))


def _is_for_one(at: Statement) -> bool:
    """Whether a sentence tells what one turn does, and not what the proof does."""
    turn = at.lexicon.tongue.units
    words = [*at.words()]
    return any(
        turn.get(b, ("", 0))[0] in ("turn", "times")
        and (a in at.lexicon.tongue.each or _is_one(at, a))
        for a, b in pairwise(words)
    )


def _is_one(at: Statement, word: str) -> bool:
    tongue = at.lexicon.tongue
    return word in tongue.articles or (tongue.spoken([word]) or (0,))[0] == 1
