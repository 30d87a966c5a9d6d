"""Teeth held against the wheel that they are told of, or against a pair of wheels together."""

from __future__ import annotations

from kitdocs.kit.parts import Toothed
from kitdocs.words.audit.judging.known_relations import of_differences
from kitdocs.words.audit.judging.mentions import Mention, mentions
from kitdocs.words.audit.judging.owners import owners
from kitdocs.words.audit.judging.statement import Against, Backing, Statement, agrees
from kitdocs.words.audit.tongues.grammar import Grammar


def judge_teeth_of(at: Statement, grammar: Grammar) -> Backing | Against | None:
    """What backs a number of teeth, or stands against it; None where no wheel owns them."""
    text, claim = at.sentence.text.lower(), at.claim
    if grammar.toothed.search(claim.text.lower()):
        return None  # of a name: "the 29-tooth wheel"
    if grammar.together.search(text):
        return _together(at)
    if grammar.passing.search(text):
        if len({c.high for c in at.others if c.kind == "teeth"}) > 1:
            return Against("as many teeth of one wheel as of the other", "")
        return None
    if grammar.differs.match(text, claim.end) or grammar.differs_by.search(text[: claim.start]):
        return _differ(at)
    whose, kit = owners(at), at.scope.design.kit
    things = whose.things if whose else ()
    for thing in things:
        if teeth := _teeth_of(at, thing):
            if grammar.drives.search(text) and thing.end <= claim.start:
                teeth |= _mates(at, thing)
            return _held(at, teeth)
    handled = {i.part.id: i.part.teeth for i in at.scope.handled if isinstance(i.part, Toothed)}
    if things or at.scope.step is None:
        return None
    if grammar.drives.search(text) and whose is None:
        meshes = [m for item in at.scope.acted for m in kit.meshes_of.get(item.id, ())]
        parts = {end.part.id: end.part for m in meshes for end in (m.a, m.b)}
        handled = {p: part.teeth for p, part in parts.items() if isinstance(part, Toothed)}
    if handled and not claim.noun and not any(c.kind == "count" for c in at.others):
        return _held(at, handled)
    return None


def _teeth_of(at: Statement, thing: Mention) -> dict[str, int]:
    parts = at.scope.design.kit.parts
    return {p: part.teeth for p in sorted(thing.parts) if isinstance(part := parts[p], Toothed)}


def _mates(at: Statement, thing: Mention) -> dict[str, int]:
    """The teeth of what meshes with a wheel: `its 25 teeth drive 20 teeth`."""
    kit = at.scope.design.kit
    mates = (
        m.other(kit.items[i]).part for i in sorted(thing.items) for m in kit.meshes_of.get(i, ())
    )
    return {part.id: part.teeth for part in mates if isinstance(part, Toothed)}


def _differ(at: Statement) -> Backing | Against:
    """`nine teeth fewer`: than those of another wheel that is told of, or of any."""
    kit = at.scope.design.kit
    told = {p for m in mentions(at) for p in m.parts if isinstance(kit.parts[p], Toothed)}
    handled = {i.part.id for i in at.scope.handled if isinstance(i.part, Toothed)}
    known = [k for k in of_differences(at.scope.design, told or handled) if k.what == "teeth"]
    label = next((k.label for k in known if agrees(at.claim, k.value)), "")
    if label:
        return Backing("fact", label)
    return Against(" or ".join(f"{k.value:g} teeth ({k.label})" for k in known[:3]), "")


def _held(at: Statement, teeth: dict[str, int]) -> Backing | Against:
    items = at.scope.design.kit.items.values()
    said = sum(c.kind == "teeth" and c.high == at.claim.high for c in at.others)
    for name, count in teeth.items():
        if (
            agrees(at.claim, count)
            and _is_listed(at)
            and said > sum(item.part.id == name for item in items)
        ):
            return Against("as many wheels with so many teeth as there are", "")
        if agrees(at.claim, count):
            return Backing("fact", f"the teeth of {name}")
    return Against(" or ".join(f"{count} teeth ({name})" for name, count in teeth.items()), "")


def _is_listed(at: Statement) -> bool:
    """Whether a number is one of a list: `29, 43 and 19 teeth`."""
    return at.claim.kind == "teeth" and any(
        c.kind == "teeth" and c.text.isdigit() for c in at.others
    )


def _together(at: Statement) -> Backing | Against:
    """`72 teeth between them`: those of a pair that meshes here."""
    kit = at.scope.design.kit
    pairs = {m for item in at.scope.acted for m in kit.meshes_of.get(item.id, ())}
    sums = {f"{m.a.id} and {m.b.id}": getattr(m.a.part, "teeth", 0) + getattr(m.b.part, "teeth", 0)
            for m in sorted(pairs, key=lambda m: (m.a.id, m.b.id))}  # fmt: skip
    return _held(at, sums)
