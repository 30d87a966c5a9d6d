"""Counts that the words round them tell more of: shares of a number, so many for each, spares,
holes that stay empty, what is on one arbor, what a parcel holds.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from kitdocs.kit.parts import Part
from kitdocs.words.audit.claims import Claim
from kitdocs.words.audit.counts import numbers
from kitdocs.words.audit.grammar import Grammar
from kitdocs.words.audit.lexicon import words_in
from kitdocs.words.audit.mentions import mentions
from kitdocs.words.audit.owners import owners
from kitdocs.words.audit.statement import Against, Backing, Statement

_NOUN_WITHIN = 40  # characters after a number in which its own noun stands


def judge_share(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """What backs a count or stands against it by the words round it; None where they say
    nothing of it."""
    for rule in _RULES:
        if (found := rule(at, grammar)) is not None:
            return found
    return None


def _number_and_noun(at: Statement, grammar: Grammar) -> Against | None:
    """`one wheels`, `two wheel`: a slip of one of the two words."""
    claim = at.claim
    if claim.high == 1 and grammar.ones.match(at.sentence.text, claim.end):
        return Against("more than one, or one of them", "")
    if claim.low != claim.high or claim.one_of or not _has_noun(at, claim):
        return None
    if claim.high == 1 and claim.noun in grammar.plural:
        return Against(f"more than one, or '{claim.noun}' as one", "")
    if claim.high != 1 and claim.noun in grammar.singular:
        return Against(f"one, or '{claim.noun}' as several", "")
    return None


def _holes(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """Holes of the thing that they are in, and how many of them stay empty."""
    kit, claim = at.scope.design.kit, at.claim
    if at.lexicon.tongue.noun(claim.noun) != "hole":
        return None
    whose = owners(at)
    known: dict[int, str] = {}
    things = whose.things if whose else ()
    if not things and claim.one_of and grammar.used.search(_after(at)):
        used = {len(kit.held[i].holes): f"the holes of {i}" for i in sorted(at.scope.acted_ids)
                if i in kit.held and kit.held[i].holes}  # fmt: skip
        return _one_of(used, claim) if used else None
    for thing in things:
        for part in (kit.parts[p] for p in sorted(thing.parts)):
            known |= _holes_of(part)
        if not known:
            continue
        used = {h for held in kit.held.values() if held.to in thing.items for h in held.holes}
        if used and claim.one_of and grammar.used.search(_after(at)):
            known = {len(used): "the holes of the fastening schedule"}
        elif grammar.left.search(_after(at)):
            known = {len(kit.parts[p].hole_patterns) - len(used): f"the holes of {p} that are left"
                     for p in sorted(thing.parts)}  # fmt: skip
        return _one_of(known, claim)
    return None


def _holes_of(part: Part) -> dict[int, str]:
    known = {pattern.count: f"the holes of {part.id}" for pattern in part.holes}
    if part.holes:
        known.setdefault(len(part.hole_patterns), f"all holes of {part.id}")
    elif part.set_screw:
        known[part.set_screw.count] = f"the cross holes of {part.id}"
    return known


def _on_arbor(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """`the finished arbor carries six parts`."""
    if at.claim.noun not in grammar.parts:
        return None
    kit = at.scope.design.kit
    whose = owners(at)
    shafts = [i for thing in (whose.things if whose else ()) for i in thing.items
              if i in kit.arbors]  # fmt: skip
    known = {len(kit.on_arbor[name]) - 1: f"what is on {name}" for name in sorted(set(shafts))}
    return _one_of(known, at.claim) if known else Backing("fact", "parts of no one sort")


def _article_ends(at: Statement) -> Iterator[int]:
    """Where articles end that may stand for one: `und eine als Ersatz`."""
    tongue = at.lexicon.tongue
    for start, end, word in words_in(at.sentence.text):
        if start > at.claim.end and word in tongue.articles and not tongue.begins(word):
            yield end


def _in_parcel(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """What a parcel holds, with its spares."""
    claim, tongue = at.claim, at.lexicon.tongue
    before = [w for start, _, w in words_in(at.sentence.text) if start < claim.start]
    stage = at.scope.stage
    if stage is None or not _has_noun(at, claim) or "parcel" not in map(tongue.noun, before[-5:]):
        return None
    takings = at.scope.design.takings
    parcel, spares = (by[stage.front.delivery] for by in (takings.delivered, takings.spares))
    known: dict[int, str] = {}
    for parts in _parts(at):
        if any(parcel[p] + spares[p] for p in parts):
            known[sum(parcel[p] for p in parts)] = "what the parcel holds"
            known[sum(parcel[p] + spares[p] for p in parts)] = "what the parcel holds, with spares"
    return _one_of(known, claim) if known else None


def _of_them(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """`the less exact of the two`: as many bodies as the stage, or the kit, has."""
    if at.claim.noun:
        return None
    kit, stage = at.scope.design.kit, at.scope.stage
    if stage is None or not any(m.body for m in mentions(at)):
        return Backing("fact", "some that the words tell of")
    known = {len(kit.bodies): "the bodies of the kit"}
    known[len(stage.front.adds)] = "the bodies that the stage adds"
    return _one_of(known, at.claim)


def _of_all(at: Statement, grammar: Grammar) -> Backing | None:
    """`the first of the two washers`: all of the stage, or of the machine."""
    if not is_of_all(at, grammar):
        return None
    takings, stage = at.scope.design.takings, at.scope.stage
    circles = [takings.used, at.scope.whole_stage.taking.parts]
    if stage is not None and "parcel" in map(at.lexicon.tongue.noun, at.words()):
        circles = [takings.delivered[stage.front.delivery]]
    sums = {sum(some[p] for p in parts) for parts in _parts(at) for some in circles}
    return Backing("fact", "all that there are") if at.claim.high in sums else None


def _too_few(at: Statement, grammar: Grammar) -> Backing | None:
    """`one screw is not enough`."""
    claim = at.claim
    most = _most(at) if grammar.too_few.search(_after(at)) else 0
    return Backing("fact", f"fewer than {most}") if claim.high < most else None


def _sum(at: Statement, grammar: Grammar) -> Against | None:
    """`four screws: three for the wheel and one spare`: as many as its shares."""
    claim, text = at.claim, at.sentence.text
    shares = [c for c in at.others if c.start > claim.end and c.kind == "count"
              and c.noun == claim.noun and not _has_noun(at, c)]  # fmt: skip
    if not shares or ":" not in text[claim.end : shares[0].start] or not _has_noun(at, claim):
        return None
    total = sum(c.high for c in shares)
    total += any(grammar.spare.match(text.lower(), end) for end in _article_ends(at))
    return None if total == claim.high else Against(f"{total:g}, as many as the shares of it", "")


def _per_each(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """`two set screws, one in each hub`: as many as hold each."""
    if _has_noun(at, at.claim) or not grammar.per.match(_after(at)):
        return None
    known = {count: f"what holds {name}" for name, count in _held_by(at, at.scope.acted_ids)}
    return _one_of(known, at.claim) if known else None


def _spare(at: Statement, grammar: Grammar) -> Backing | Against | None:
    stage = at.scope.stage
    if stage is None or not grammar.spare.match(_after(at)):
        return None
    spares = at.scope.design.takings.spares[stage.front.delivery]
    known = {sum(spares[p] for p in parts): "the spares of the parcel" for parts in _parts(at)}
    return _one_of(known, at.claim) if known else None


def _all(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """`all three`: no fewer than there are."""
    claim = at.claim
    before = [w for start, _, w in words_in(at.sentence.text) if start < claim.start]
    if not before or before[-1] not in grammar.all:
        return None
    told = [c for c in at.others if c.start < claim.start and c.noun == claim.noun]
    if told and not _has_noun(at, claim):
        return _one_of({int(told[-1].high): "as many as the sentence has told"}, claim)
    most = _most(at)
    return Against(f"{most}, which are all", "") if claim.high < most else None


def _listed(at: Statement, grammar: Grammar) -> Backing | None:
    """`two washers: one under the arbor, one on the post`: a share after a mark."""
    claim = at.claim
    marked = at.sentence.text[: claim.start].rstrip()[-1:] in (":", ",")
    if _has_noun(at, claim) or not marked or not claim.high < _most(at):
        return None
    return Backing("fact", f"a share of {_most(at)}")


def _others(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """`the other two feet`: fewer than all."""
    before = [w for start, _, w in words_in(at.sentence.text) if start < at.claim.start]
    most = _most(at) if before and before[-1] in grammar.other else 0
    if not most:
        return None
    if 0 < at.claim.high < most:
        return Backing("fact", f"some of {most}")
    return Against(f"fewer than {most}", "")


def _more(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """`one washer goes over it; three more are needed later`."""
    if not grammar.more.match(_after(at)) or at.scope.step is None:
        return None
    here, stage = at.scope.taking.parts, at.scope.whole_stage.taking.parts
    known = {sum(stage[p] - here[p] for p in parts): "what the rest of the stage takes"
             for parts in _parts(at)}  # fmt: skip
    return _one_of(known, at.claim)


def _broken_down(at: Statement, grammar: Grammar) -> Backing | None:
    """`three wheels, two plain ones and one bevel wheel`: all sorts together."""
    if not _is_broken_down(at, at.claim):
        return None
    claim = at.claim
    shares = [c for c in at.others if c.start > claim.end and c.kind == "count"]
    if shares and at.sentence.text[claim.end : shares[0].start].rstrip()[-1:] in (",", ":"):
        every = frozenset().union(*at.lexicon.parts_called(claim.noun, claim.others))
        told = [c.high for c in shares if every & frozenset().union(*_parts(at, c))]
        told += [1.0] * _articles(at, [every])
        if len(told) > 1 and sum(told) == claim.high:
            return Backing("fact", "as many as its shares")
    known = numbers(claim, at.named, at.scope, at.lexicon, "")
    label = next((n.label for n in known if n.value == claim.high), None)
    return Backing("fact", label) if label else None


def _is_broken_down(at: Statement, claim: Claim) -> bool:
    """Whether sorts of what is counted come after a mark: one number next, or a word of a sort."""
    text, sorts = at.sentence.text, at.lexicon.tongue.sorts_in
    later = [c.start for c in at.others if c.start > claim.end]
    if later and text[claim.end : min(later)].rstrip()[-1:] in (",", ":"):
        return True
    if (mark := re.search("[,;:]", text[claim.end :])) is None:
        return False
    end = claim.end + mark.end()
    tongue, rest = at.lexicon.tongue, text[end:].lower().split()
    is_more = (tongue.joins & {*rest[:1]}) or tongue.articles & {*rest[:3]}
    return bool(sorts(text[end:].lower())) and not sorts(text[:end].lower()) and not is_more


def _of_named(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """`three for the 136-tooth wheel`: as many as hold what is named."""
    if _has_noun(at, at.claim) or not grammar.share.match(_after(at)):
        return None
    named = next((m for m in mentions(at) if m.start > at.claim.end), None)
    known = {count: f"what holds {name}" for name, count in _held_by(at, named.items)} \
        if named else {}  # fmt: skip
    return _one_of(known, at.claim) if known else None


def is_of_all(at: Statement, grammar: Grammar) -> bool:
    """Whether a number is that of all: `of the three screws`."""
    before = [w for start, _, w in words_in(at.sentence.text) if start < at.claim.start][-2:]
    partitive = at.lexicon.tongue.partitive
    return len(before) == 2 and before[0] in partitive and before[1] in grammar.definite


def _too_many(at: Statement, grammar: Grammar) -> Against | None:
    """`three feet in front and one foot at the back`: more than there are."""
    claim = at.claim
    if not _is_new(at, claim, grammar):
        return None
    mine = _parts(at)
    shares = [c.high for c in at.others if _is_new(at, c, grammar) and c.noun and
              any(a & b for a in mine for b in _parts(at, c))]  # fmt: skip
    shares += [1.0] * _articles(at, mine)
    most = _most(at)
    total = sum(shares)
    if any(_is_broken_down(at, c) for c in at.others if c.kind == "count"):
        return None
    if len(shares) < 2 or not most or total <= most or max(shares) * 2 == total:
        return None
    return Against(f"{most} in all, not {total:g}", "")


def _is_new(at: Statement, claim: Claim, grammar: Grammar) -> bool:
    """Whether so many are told of for the first time: `two feet`, not `the two feet`."""
    if claim.kind != "count" or claim.one_of or not _has_noun(at, claim):
        return False
    before = [w for start, _, w in words_in(at.sentence.text) if start < claim.start]
    return not before or before[-1] not in grammar.all | grammar.definite


def _articles(at: Statement, mine: list[frozenset[str]]) -> int:
    """How many more an article stands for: `two feet in front and a foot at the back`."""
    lexicon = at.lexicon
    words = words_in(at.sentence.text)
    found = 0
    for n, (_, end, word) in enumerate(words[:-2]):
        if word not in lexicon.tongue.articles or lexicon.tongue.begins(word):
            continue
        noun = next((w for _, _, w in words[n + 1 : n + 3] if lexicon.is_noun(w)), "")
        joined = n > 0 and words[n - 1][2] in lexicon.tongue.joins
        if noun and joined and end > at.claim.end:
            found += any(a & b for a in mine for b in lexicon.parts_called(noun))
    return found


def _has_noun(at: Statement, claim: Claim) -> bool:
    """Whether the noun of a count stands after it, and is not that of a count before."""
    near = at.sentence.text[claim.end : claim.end + _NOUN_WITHIN].lower()
    word = re.search(rf"\b{re.escape(claim.noun)}\b", near) if claim.noun else None
    return word is not None and not near.startswith("-")


def _most(at: Statement) -> int:
    """The most that there may be of what is counted."""
    known = numbers(at.claim, at.named, at.scope, at.lexicon, at.sentence.text)
    return max((n.value for n in known), default=0)


def _after(at: Statement) -> str:
    return at.sentence.text[at.claim.end :].lower()


def _parts(at: Statement, claim: Claim | None = None) -> list[frozenset[str]]:
    one = claim or at.claim
    return list(at.lexicon.parts_called(one.noun, one.others, at.sentence.text))


def _held_by(at: Statement, items: frozenset[str]) -> Iterator[tuple[str, int]]:
    """The items that parts of the counted sort hold, and how many of them hold each."""
    parts = frozenset().union(*_parts(at))
    for name in sorted(items):
        fastening = at.scope.design.fastenings.get(name)
        for part, count in fastening.takes if fastening else ():
            if part.id in parts:
                yield name, count


def _one_of(known: dict[int, str], claim: Claim) -> Backing | Against:
    label = known.get(int(claim.high)) if claim.high == int(claim.high) else None
    if label:
        return Backing("fact", label)
    return Against(" or ".join(f"{n} ({label})" for n, label in known.items()), "")


_Rule = Callable[[Statement, Grammar], Backing | Against | None]
_RULES: tuple[_Rule, ...] = (
    _of_them, _number_and_noun, _holes, _on_arbor, _of_all, _too_few, _sum, _in_parcel, _per_each,
    _spare, _all, _others, _more, _broken_down, _of_named, _listed, _too_many,
)  # fmt: skip
