"""Lengths held against the design: those of the thing that they are told of, and no other's."""

from __future__ import annotations

from collections.abc import Iterable

from kitdocs.words.audit.judging.facts_meant import column, facts_meant, feature_meant
from kitdocs.words.audit.judging.known import Known, of_part, of_referent
from kitdocs.words.audit.judging.known_relations import of_hosts
from kitdocs.words.audit.judging.mentions import Mention, mentions
from kitdocs.words.audit.judging.owners import owners
from kitdocs.words.audit.judging.relations import judge_relation
from kitdocs.words.audit.judging.statement import Against, Backing, Statement, agrees, as_written
from kitdocs.words.audit.judging.telling import known_told, write_one
from kitdocs.words.audit.tongues.grammar import Grammar

#: Facts of a hole, which a thing may be put into.
_OF_HOLE = frozenset({"size", "bore"})
#: Sizes by which a thing is called that has them: `the 8 mm pipe`.
_CALLED_BY = ("diameter", "length", "thickness", "face", "width", "size")


def judge_length(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """What backs a length, or stands against it; None where nothing tells whose it is."""
    whose = owners(at)
    facts = column(at) if at.sentence.head else facts_meant(at)
    if whose is not None and whose.attributed:
        facts = facts_meant(at, after_only=True)
    is_apart = whose is None or not whose.attributed
    if is_apart and (related := judge_relation(at, grammar, whose)) is not None:
        return related
    things = [thing for thing in whose.things if thing.parts] if whose else []
    things += _with_hub(at) if whose else []
    is_of_hole = bool(facts) and facts <= _OF_HOLE
    if whose is None or not things:
        if is_of_hole or (whose is not None and not whose.things):
            own = _of_items(at, is_of_hole)
            return _judged(at, own, feature_meant(at, frozenset(k.fact for k in own)) or facts)
        return None
    told: list[Known] = []
    of_feature: list[Known] = []
    for thing in things:
        known = [*_own(at, thing, grammar), *_of_holes(at, thing, facts)]
        if not facts:
            known = _called_by(known) if whose.attributed else _whole(known)
        its = feature_meant(at, frozenset(k.fact for k in known))
        found = _judged(at, known, its or _shaped(known, facts))
        if isinstance(found, Backing):
            return found
        told += known
        of_feature += [k for k in known if k.fact in its]
    if whose.guessed:  # "the hole for it is 1.98 mm wide"
        of_items = _judged(at, _of_items(at, is_of_hole), facts) if is_of_hole else None
        return of_items if isinstance(of_items, Backing) else None
    if not told:
        return Against("a part that has measures", "Name what is meant.")
    wanted = of_feature or [k for k in told if not facts or k.fact in facts] or told
    return Against(known_told(wanted, at.claim), write_one(wanted))


def _with_hub(at: Statement) -> list[Mention]:
    """What the sentence has named that has a hub of its own, where a hub's size is told."""
    parts = at.scope.design.kit.parts
    before = [m for m in mentions(at) if m.end <= at.claim.start]
    is_hub = feature_meant(at, frozenset({"hub"}))
    return [m for m in before if is_hub and any(hasattr(parts[p], "hub") for p in m.parts)]


def _judged(at: Statement, known: Iterable[Known], facts: frozenset[str]) -> Backing | Against:
    """Whether one of what is known agrees; of a range, whether all do."""
    claim = at.claim
    wanted = [k for k in known if not facts or k.fact in facts]
    if claim.low != claim.high and facts and not all(agrees(claim, k.value) for k in wanted):
        return Against(known_told(wanted, claim), write_one(wanted))
    for one in wanted:
        if as_written(claim, one.value):
            return Backing("fact", one.label)
    return Against(known_told(wanted, claim), write_one(wanted))


def _own(at: Statement, thing: Mention, grammar: Grammar) -> list[Known]:
    design = at.scope.design
    known = [k for r in thing.referents for k in of_referent(design, r) if k.what == "mm"]
    if grammar.radius.search(at.sentence.text[: at.claim.start].lower()[-20:]):
        across = [k for k in known if k.fact in ("outside", "diameter", "circle")]
        return [Known(k.value / 2, "mm", "radius", f"half of {k.label}") for k in across]
    return known


def _shaped(known: list[Known], facts: frozenset[str]) -> frozenset[str]:
    """The facts that words mean of a thing: how thick one is that has but a length, such as a
    hub, is its length; one that is longer than wide, such as a pillar, is as thick as wide."""
    has = {k.fact: k.value for k in known}
    if not facts or has.keys() & facts or "thickness" not in facts:
        return facts
    is_slim = 0.0 < has.get("outside", 0.0) < has.get("length", 0.0)
    return frozenset({"outside" if is_slim else "length"})


def _whole(known: list[Known]) -> list[Known]:
    """Measures of a thing itself, not of its holes, of which a word must tell."""
    return [k for k in known if k.fact not in ("size", "circle", "bore")] or known


def _called_by(known: list[Known]) -> list[Known]:
    """What a thing may be called by, where a size stands right before it: of a shaft not its bore,
    which is the size of another."""
    found = [k for k in known if k.fact in _CALLED_BY]
    return found or known


def _of_holes(at: Statement, thing: Mention, facts: frozenset[str]) -> list[Known]:
    """The holes that a thing is put into; of a screw, those of what it holds."""
    if not facts or not facts <= _OF_HOLE:
        return []
    into = list(of_hosts(at.scope.design, thing.items))
    is_screw = not into and not thing.parts.isdisjoint(at.scope.fastener_ids)
    held = at.scope.handled if is_screw else ()
    holes = (k for item in held for k in of_part(item.part, f"item('{item.id}')", item.id))
    return [*into, *(k for k in holes if k.fact == "size")]


def _of_items(at: Statement, is_of_hole: bool) -> list[Known]:
    """Of what a step puts somewhere: what a pronoun stands for that nothing before tells; of a
    hole, of what it is put into too."""
    into = [*of_hosts(at.scope.design, at.scope.acted_ids)] if is_of_hole else []
    if into:
        return into
    own = (k for i in at.scope.handled for k in of_part(i.part, f"item('{i.id}')", i.id))
    return [k for k in own if k.what == "mm"]
