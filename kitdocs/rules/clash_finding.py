"""Findings about clashes, as the rules on gaps word them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding, Place
from kitdocs.kit.parts import Toothed
from kitdocs.mechanism.clashes import Clash
from kitdocs.mechanism.solids import Solid
from kitdocs.words.language import ENGLISH, Language, marked
from kitdocs.words.numbers import millimetres

_SOLIDS = {
    "head": marked("the screw heads of %(item)s"),
    "end": marked("the screw ends of %(item)s"),
    "set-screw": marked("the set screw of %(item)s"),
}


def clash_findings(design: Design, rule: str, limits: Iterable[str]) -> Iterator[Finding]:
    """The worst clash between any two arbors, of those that the named limits decide."""
    worst: dict[tuple[str, str], Clash] = {}
    count: dict[tuple[str, str], int] = {}
    for clash in design.clashes:
        if clash.limit in limits:
            first, second = sorted((clash.a.arbor, clash.b.arbor))
            key = (first, second)
            count[key] = count.get(key, 0) + 1
            if key not in worst or clash.gap < worst[key].gap:
                worst[key] = clash
    for key, clash in worst.items():
        yield _finding(design, rule, clash, count[key] - 1)


def _finding(design: Design, rule: str, clash: Clash, others: int) -> Finding:
    a, b = solid_name(clash.a), solid_name(clash.b)
    if clash.gap < 0:
        found = f"{a} and {b} overlap by {millimetres(-clash.gap)}"
    else:
        found = f"{a} and {b} come within {millimetres(clash.gap)} of each other"
    found += f" at a height of {millimetres(clash.height)}"
    if others:
        found += f" (and {others} more between these arbors)"
    wanted = f"a gap of {millimetres(clash.wanted)}" if clash.wanted else "no overlap"
    facts = (*_facts(design, clash.a), *_facts(design, clash.b))
    mend = "Write them under `meshes`, if they are to mesh." if _like_mates(clash) else ""
    place = clash.a.item.place
    return Finding(place, rule, found, wanted, mend, facts=tuple(dict.fromkeys(facts)))


def _like_mates(clash: Clash) -> bool:
    """Whether these are two wheels whose tips overlap as those of a pair do."""
    a, b = clash.a.item.part, clash.b.item.part
    if not (isinstance(a, Toothed) and isinstance(b, Toothed)) or a.module != b.module:
        return False
    return clash.a.kind == clash.b.kind == "item" and 1.5 * a.module < -clash.gap < 2.25 * a.module


def solid_name(solid: Solid, language: Language = ENGLISH) -> str:
    """What a solid is, by its item's id: `the screw heads of earth-wheel`."""
    message = _SOLIDS.get(solid.kind)
    return language.text(message, item=solid.item.id) if message else solid.item.id


def _facts(design: Design, solid: Solid) -> list[Place]:
    kit = design.kit
    places = [solid.item.place, solid.item.part.place(), kit.arbors[solid.arbor].place()]
    if solid.apart and solid.item.id in kit.held:
        places.append(kit.held[solid.item.id].place("by"))
    arbor = kit.arbors[solid.arbor]
    if arbor.axis is not None:
        axis = kit.axes[arbor.axis]
        places.append(axis.place("distance" if axis.distance is not None else "at"))
    if arbor.stands_on is not None:
        places.append(arbor.place("stands_on"))
    return places
