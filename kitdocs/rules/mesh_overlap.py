"""mesh-overlap: two wheels in mesh stand at one height."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.model import Item, Mesh
from kitdocs.mechanism.contact import overlap_share
from kitdocs.mechanism.meshes import CROSSING, mesh_kind
from kitdocs.rules.rule import rule
from kitdocs.words.numbers import plain


@rule(
    "mesh-overlap",
    group="Gearing",
    demand="the faces of two wheels in mesh overlap along the axis, with either wheel at either "
    "end of its end play; does not apply where axes cross",
    formula="shared face, of the narrower face: {mesh-overlap}",
    source="common practice",
    example="two 2 mm wheels, one of them 0.5 mm higher: 75 %",
    follows=("mesh-pair", "train-driven", "stack-seat", "stack-height"),
)
def mesh_overlap(design: Design) -> Iterator[Finding]:
    limit = design.limit("mesh-overlap")
    for mesh in design.kit.meshes:
        share = least_share(design, mesh)
        if share is None or limit.holds(share * 100):
            continue
        shown = f"{plain(max(0.0, share) * 100, 1)}\u00a0% of the narrower face"
        yield Finding(
            mesh.place,
            "mesh-overlap",
            f"{mesh.a.id} and {mesh.b.id} share {shown} at one end of their end play",
            limit.text,
            "Change what stands below one of them.",
            facts=tuple(dict.fromkeys((*_facts(design, mesh.a), *_facts(design, mesh.b)))),
        )


def least_share(design: Design, mesh: Mesh) -> float | None:
    """The share of the narrower face that a pair has in common, least over their end plays.

    Negative where they pass each other by; None where axes cross or a height is not known.
    """
    if mesh_kind(mesh) is None or mesh_kind(mesh) in CROSSING:
        return None
    a, b = design.heights.spans.get(mesh.a.id), design.heights.spans.get(mesh.b.id)
    if a is None or b is None or not a.height or not b.height:
        return None
    ups_a, ups_b = ((0.0, _rise(design, item)) for item in (mesh.a, mesh.b))
    rises = [(u, v) for u in ups_a for v in ups_b]
    return min(
        overlap_share((a.bottom + u, a.top + u), (b.bottom + v, b.top + v)) for u, v in rises
    )


def _rise(design: Design, item: Item) -> float:
    play = design.end_plays.get(item.arbor)
    # What nothing keeps down from near above is kept down by its own weight.
    most = design.limit("stack-height").most or 0.0
    return min(max(0.0, play.worst[1]), most) if play else 0.0


def _facts(design: Design, item: Item) -> list:
    """The item, its part, what it stands on, and all that lies below it in its stack."""
    arbor = design.kit.arbors[item.arbor]
    below = [
        other
        for other in design.kit.on_arbor[item.arbor]
        if other.where == item.where
        and (other.level < item.level if item.where == "stack" else other.level > item.level)
    ]
    places = [item.place, item.part.place(), arbor.place("stands_on")]
    for other in below:
        places += [other.place, other.part.place()]
    return places
