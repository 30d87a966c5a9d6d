"""Findings on steps that come from a procedure: told at the line to mend, with the uses.

What is wrong with a line of a procedure is wrong in every use of it, and is told once, at that
line. What is wrong in fewer than most of the uses is told at those: at what fills the slot, where
the finding is about a slot. What no step does to the items of one slot, in most of the uses, is
told at that slot.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace

from kitdocs.finding import Finding, Place
from kitdocs.kit.model import Kit
from kitdocs.kit.procedures import Slot, Use


@dataclass(frozen=True)
class _Told:
    """A finding on a step of a use: the line of the procedure, and the slot there."""

    finding: Finding
    use: Use
    line: Place
    slot: str | None


def at_their_uses(
    findings: Iterable[Finding],
    uses: Sequence[Use],
    kit: Kit | None = None,
    of_steps: Collection[str] = (),
) -> list[Finding]:
    """The findings with every place in a procedure completed by the use that it was read for.

    `of_steps` are the rules on steps: what they find at an item of the `kit` may be what is
    missing in a procedure.
    """
    by_place = {use.place: use for use in uses}
    slots = _slots(uses, kit) if uses and kit else {}
    out: list[Finding] = []
    groups: dict[tuple, list[_Told]] = {}
    met: Counter[tuple] = Counter()
    for finding in findings:
        place = finding.place
        facts = tuple(p for fact in finding.facts for p in _both(fact, by_place))
        finding = replace(finding, facts=facts)
        if place.used_at:
            use = by_place[place.used_at[0]]
            line, slot = use.written(place)
        elif finding.rule in of_steps and place in slots:
            use, missed = slots[place]
            line, slot = missed.place, None
        else:
            out.append(finding)
            continue
        same = (line, finding.rule, finding.severity)
        met[same, use.place] += 1  # one line of one use may have several findings of a rule
        groups.setdefault((*same, met[same, use.place]), []).append(_Told(finding, use, line, slot))
    used = Counter(use.procedure.name for use in uses)
    for told in groups.values():
        if 2 * len(told) > used[told[0].use.procedure.name]:
            out.append(_at_procedure(told))
        else:
            out += [_at_use(one) if one.finding.place.used_at else one.finding for one in told]
    return out


def _slots(uses: Iterable[Use], kit: Kit) -> dict[Place, tuple[Use, Slot]]:
    """By where an item, or what holds it, is written: the slot that it fills."""
    found = {}
    for use in uses:
        for slot in use.procedure.slots:
            item = use.items[slot.name]
            found[kit.items[item].place] = use, slot
            if item in kit.held:
                found[kit.held[item].place()] = use, slot
    return found


def _both(fact: Place, uses: dict[Place, Use]) -> tuple[Place, ...]:
    """A fact, and where it stands in a procedure its use too."""
    if not fact.used_at:
        return (fact,)
    return uses[fact.used_at[0]].written(fact)[0], fact.used_at[0]


def _at_procedure(told: Sequence[_Told]) -> Finding:
    first = told[0].finding
    alike = [one for one in told if one.finding.found == first.found]
    others = [one for one in told if one.finding.found != first.found]
    found = f"{first.found}, in {_stages(alike)}"
    if others:
        found += f", and likewise in {_stages(others)}"
    facts = (*(one.use.place for one in told), *(p for one in told for p in one.finding.facts))
    return replace(first, place=told[0].line, found=found, facts=tuple(dict.fromkeys(facts)))


def _at_use(told: _Told) -> Finding:
    use, finding = told.use, told.finding
    place = use.item_places[told.slot] if told.slot else use.place
    found = f"{finding.found}, by the procedure {use.procedure.name}"
    facts = dict.fromkeys((told.line, use.place, *finding.facts))
    return replace(finding, place=place, found=found, facts=tuple(facts))


def _stages(told: Sequence[_Told]) -> str:
    """`stage venus`, `stages venus, earth (2 uses) and mars`."""
    counts = Counter(one.use.stage for one in told)
    names = [f"{stage} ({n} uses)" if n > 1 else stage for stage, n in counts.items()]
    last = names.pop()
    return f"stages {', '.join(names)} and {last}" if names else f"stage {last}"
