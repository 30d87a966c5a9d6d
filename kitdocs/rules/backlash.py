"""backlash: every mesh turns free, and no body can be moved far with the crank held."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding, Place
from kitdocs.kit.parts import Toothed
from kitdocs.mechanism.contact import mesh_backlash
from kitdocs.rules.mesh_facts import mesh_facts
from kitdocs.rules.rule import rule
from kitdocs.words.numbers import degrees, millimetres


@rule(
    "backlash",
    group="Gearing",
    demand="each mesh of parallel axes has backlash and not much of it; the free play of each "
    "shown body, its train's backlash summed up to its arm, is small",
    formula="j ≈ 2 Δa tan α + thinning of both wheels: {backlash}; free play = "
    "Σ factor · j/r: {free-play}",
    source="common practice for fine-pitch clockwork; free play summed through the train",
    example="33 and 61 teeth at exactly m(z₁ + z₂)/2 and cut to full thickness: they bind",
    follows=("mesh-pair", "mesh-distance"),
)
def backlash(design: Design) -> Iterator[Finding]:
    limit = design.limit("backlash")
    told: set[Place] = set()
    for mesh in design.kit.meshes:
        give = mesh_backlash(design.kit, mesh, design.positions)
        a = mesh.a.part
        if give is None or not isinstance(a, Toothed) or limit.holds(give / a.module):
            continue
        told.add(mesh.place)
        low, high = ((x or 0.0) * a.module for x in (limit.least, limit.most))
        yield Finding(
            mesh.place,
            "backlash",
            f"{mesh.a.id} and {mesh.b.id} have {millimetres(give)} of backlash",
            f"{low:g} … {millimetres(high)}",
            "Move the axes, or write the `thinning` that the teeth are cut with.",
            facts=mesh_facts(design, mesh),
        )
    yield from _free_play(design, told)


def _free_play(design: Design, told: set[Place]) -> Iterator[Finding]:
    """Bodies that are too loose although each mesh of theirs, by itself, is not."""
    limit = design.limit("free-play")
    for name, play in design.free_plays.items():
        if limit.holds(play.degrees) or any(share.mesh.place in told for share in play.shares):
            continue
        body = design.kit.bodies[name]
        worst = max(play.shares, key=lambda share: share.play)
        yield Finding(
            body.place(),
            "backlash",
            f"{body.name} has {degrees(play.degrees)} of free play, most of it from "
            f"{worst.mesh.a.id} and {worst.mesh.b.id}",
            limit.text,
            "Bring those axes nearer, or drive it from a wheel that turns more slowly.",
            facts=tuple(share.mesh.place for share in play.shares),
        )
