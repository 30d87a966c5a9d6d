"""Counts of what is in a thing: its holes, what is on an arbor, what a parcel holds."""

from __future__ import annotations

from collections import Counter

from kitdocs.kit.parts import Part
from kitdocs.words.audit.judging.counting import (
    has_noun,
    is_of_all,
    one_of_known,
    parts_counted,
    text_after,
    the_most,
)
from kitdocs.words.audit.judging.mentions import mentions
from kitdocs.words.audit.judging.owners import owners
from kitdocs.words.audit.judging.statement import Against, Backing, Statement, as_written
from kitdocs.words.audit.lexicon import words_in
from kitdocs.words.audit.tongues.grammar import Grammar


def holes(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """Holes of the thing that they are in, and how many of them stay empty."""
    kit, claim = at.scope.design.kit, at.claim
    if at.lexicon.tongue.noun(claim.noun) != "hole":
        return None
    whose = owners(at)
    known: dict[int, str] = {}
    things = whose.things if whose and not whose.guessed else ()
    if not things and claim.one_of and grammar.used.search(text_after(at)):
        used = {len(kit.held[i].holes): f"the holes of {i}" for i in sorted(at.scope.acted_ids)
                if i in kit.held and kit.held[i].holes}  # fmt: skip
        return one_of_known(used, claim) if used else None
    for thing in things:
        for part in (kit.parts[p] for p in sorted(thing.parts)):
            known |= _holes_of(part)
        if not known:
            continue
        used = {h for held in kit.held.values() if held.to in thing.items for h in held.holes}
        if used and claim.one_of and grammar.used.search(text_after(at)):
            known = {len(used): "the holes of the fastening schedule"}
        elif grammar.left.search(text_after(at).partition(",")[0]):
            known = {len(kit.parts[p].hole_patterns) - len(used): f"the holes of {p} that are left"
                     for p in sorted(thing.parts)}  # fmt: skip
        return one_of_known(known, claim)
    return _bores(at)


def _bores(at: Statement) -> Backing | Against | None:
    """Bores, as many as the things that have them: of what a step puts somewhere, those of one
    kind, and of the bore that is told."""
    if "bore" not in at.lexicon.tongue.facts_of(at.claim.noun) or the_most(at):
        return None
    bores = [(i.part.kind, bore) for i in at.scope.handled if (bore := getattr(i.part, "bore", 0))]
    told = [c for c in at.others if c.what == "mm" and c.start > at.claim.end][:1]
    found = [one for one in bores if any(as_written(c, one[1]) for c in told)] or bores
    sizes = Counter(bore for _, bore in found)
    kinds = Counter(kind for kind, _ in found) if not told else Counter[str]()
    known = {count: "the bores of the step" for count in (*sizes.values(), *kinds.values())}
    return one_of_known(known, at.claim) if known else None


def _holes_of(part: Part) -> dict[int, str]:
    known = {pattern.count: f"the holes of {part.id}" for pattern in part.holes}
    if part.holes:
        known.setdefault(len(part.hole_patterns), f"all holes of {part.id}")
    elif part.set_screw:
        known[part.set_screw.count] = f"the cross holes of {part.id}"
    return known


def on_arbor(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """`the finished arbor carries six parts`."""
    if at.claim.noun not in grammar.parts:
        return None
    if (total := _in_list(at)) is not None:
        return one_of_known({total: "as many as are listed"}, at.claim)
    if at.claim.others:
        return Backing("fact", "parts that the words tell apart")
    kit = at.scope.design.kit
    whose = owners(at)
    shafts = [i for thing in (whose.things if whose else ()) for i in thing.items
              if i in kit.arbors]  # fmt: skip
    known = {len(kit.on_arbor[name]) - 1: f"what is on {name}" for name in sorted(set(shafts))}
    return one_of_known(known, at.claim) if known else Backing("fact", "parts of no one sort")


def _in_list(at: Statement) -> int | None:
    """How many `three toothed parts …: two wheels and a bevel wheel` lists; None for no list."""
    lexicon, text = at.lexicon, at.sentence.text
    mark = text.find(":", at.claim.end)
    shares = [c for c in at.others if c.kind == "count" and c.start > mark]
    if mark < 0 or not shares or text[mark + 1 : shares[0].start].strip():
        return None
    words = [w for w in words_in(text) if w[0] > mark]
    total = sum(c.high for c in shares)
    for n, (start, _, word) in enumerate(words):
        is_one = word in lexicon.tongue.articles and not lexicon.tongue.begins(word)
        is_next = text[:start].endswith(", ") or (n and words[n - 1][2] in lexicon.tongue.joins)
        total += is_one and is_next and any(lexicon.is_noun(w) for _, _, w in words[n + 1 : n + 3])
    return int(total)


def in_parcel(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """What a parcel holds, with its spares."""
    claim, tongue = at.claim, at.lexicon.tongue
    before = [w for start, _, w in words_in(at.sentence.text) if start < claim.start]
    stage = at.scope.stage
    if stage is None or not has_noun(at, claim) or "parcel" not in map(tongue.noun, before[-5:]):
        return None
    takings = at.scope.design.takings
    parcel, spares = (by[stage.front.delivery] for by in (takings.delivered, takings.spares))
    among = grammar.among.search(text_after(at))
    of_them = among and grammar.spare.search(text_after(at))  # "four, of which one is a spare"
    known: dict[int, str] = {}
    for parts in parts_counted(at):
        if any(parcel[p] + spares[p] for p in parts):
            if not of_them:
                known[sum(parcel[p] for p in parts)] = "what the parcel holds"
            known[sum(parcel[p] + spares[p] for p in parts)] = "what the parcel holds, with spares"
    return one_of_known(known, claim) if known else None


def spare(at: Statement, grammar: Grammar) -> Backing | Against | None:
    stage = at.scope.stage
    if stage is None or not grammar.spare.match(text_after(at)):
        return None
    spares = at.scope.design.takings.spares[stage.front.delivery]
    known = {
        sum(spares[p] for p in parts): "the spares of the parcel" for parts in parts_counted(at)
    }
    return one_of_known(known, at.claim) if known else None


def of_them(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """`the less exact of the two`: as many bodies as the stage, or the kit, has."""
    if at.claim.noun:
        return None
    kit, stage = at.scope.design.kit, at.scope.stage
    if stage is None or not any(m.body for m in mentions(at)):
        return Backing("fact", "some that the words tell of")
    known = {len(kit.bodies): "the bodies of the kit"}
    known[len(stage.front.adds)] = "the bodies that the stage adds"
    return one_of_known(known, at.claim)


def of_all(at: Statement, grammar: Grammar) -> Backing | None:
    """`the first of the two washers`: all of the stage, or of the machine."""
    if not is_of_all(at, grammar):
        return None
    takings, stage = at.scope.design.takings, at.scope.stage
    circles = [takings.used, at.scope.whole_stage.taking.parts]
    if stage is not None and "parcel" in map(at.lexicon.tongue.noun, at.words()):
        circles = [takings.delivered[stage.front.delivery]]
    sums = {sum(some[p] for p in parts) for parts in parts_counted(at) for some in circles}
    return Backing("fact", "all that there are") if at.claim.high in sums else None
