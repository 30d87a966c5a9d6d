"""Figures of a machine built wrong: how screws end, what overlaps, how teeth meet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kitdocs.assembly.design import Design
from kitdocs.assembly.misbuild_sight import FELT, Sight
from kitdocs.kit.model import Item, Mesh
from kitdocs.kit.parts import Toothed
from kitdocs.mechanism.clashes import CLASH_LIMITS, Judge
from kitdocs.mechanism.contact import contact_ratio, overlap_share
from kitdocs.mechanism.gears import ADDENDUM
from kitdocs.mechanism.screws import Fastening, thread_over
from kitdocs.mechanism.solids import SCREWS, Solid, proud_of, stand_out


def screw_sights(now: Fastening, was: Fastening) -> Iterator[Sight]:
    """What another screw shows at the item that it holds."""
    name = (now.item.id,)
    out, before = stand_out(now), stand_out(was)
    if out is not None and before is not None:
        if out > max(before, 0.0) + FELT:
            yield Sight("proud", name, "", out)
        elif out < min(before, 0.0) - FELT:
            yield Sight("sunk", name, "", -out)
    if (over := thread_over(now)) is not None and over > 0:
        yield Sight("bottoms", name, "", over)
    if proud_of(now) > proud_of(was) + FELT:
        yield Sight("proud", name, "", proud_of(now))
    if now.engagement is not None and now.needed and now.engagement < now.needed - FELT:
        yield Sight("thread", name, "", now.needed - now.engagement)


def overlaps(
    machine: Design, solids: Iterable[Solid], moved: set[str]
) -> Iterator[tuple[frozenset[str], float, bool]]:
    """Pairs of solids that overlap, one of them of these items, their gap, whether at a screw."""
    judge = Judge(machine.kit, machine.rigid, dict.fromkeys(CLASH_LIMITS, 0.0))
    placed = [s for s in solids if s.kind == "plate" or machine.rigid.chain(s.arbor)]
    for a in placed:
        for b in placed if a.item.id in moved else ():
            if a is b or (b.item.id in moved and id(b) < id(a)):
                continue
            if a.bottom >= b.top or b.bottom >= a.top:
                continue
            if clash := judge.clash(a, b):
                screws = a.kind in SCREWS or b.kind in SCREWS
                yield frozenset((a.item.id, b.item.id)), clash.gap, screws


def shared_face(machine: Design, a: Item, b: Item) -> float | None:
    """How much of their faces two wheels share in height, mm; negative where they miss."""
    low, high = machine.heights.spans.get(a.id), machine.heights.spans.get(b.id)
    if low is None or high is None:
        return None
    share = overlap_share((low.bottom, low.top), (high.bottom, high.top))
    return share * min(low.height, high.height)


def carries(machine: Design, mesh: Mesh, spare: float) -> bool:
    """Whether teeth that have so much room between them still pass on motion."""
    part = mesh.a.part
    assert isinstance(part, Toothed)
    if part.form != "involute":
        return spare < ADDENDUM * part.module
    return (contact_ratio(machine.kit, mesh, machine.positions) or 0.0) >= 1
