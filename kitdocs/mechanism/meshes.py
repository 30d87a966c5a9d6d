"""Kinds of mesh: which parts can run together, and how fast one drives the other."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from kitdocs.kit.model import Mesh
from kitdocs.kit.parts import (
    BevelWheel,
    ContrateWheel,
    Part,
    Pulley,
    RingWheel,
    Toothed,
    Wheel,
    Worm,
)

MeshKind = Literal["external", "internal", "worm", "bevel", "contrate", "belt", "chain"]

#: Pairs whose axes cross: their sense cannot be told from the parts, so the kit says it.
CROSSING: frozenset[MeshKind] = frozenset({"worm", "bevel", "contrate"})

_KINDS: dict[frozenset[type[Part]], MeshKind] = {
    frozenset({Wheel}): "external",
    frozenset({Wheel, RingWheel}): "internal",
    frozenset({Wheel, Worm}): "worm",
    frozenset({BevelWheel}): "bevel",
    frozenset({Wheel, ContrateWheel}): "contrate",
}


def pair_kind(a: Part, b: Part) -> MeshKind | None:
    """The kind of mesh that two parts make; None when two such parts cannot run together."""
    if isinstance(a, Pulley) and isinstance(b, Pulley):
        if a.kind != b.kind:
            return None
        return "belt" if a.kind == "pulley" else "chain"
    return _KINDS.get(frozenset({type(a), type(b)}))


def mesh_kind(mesh: Mesh) -> MeshKind | None:
    """The kind of a mesh; None when its two parts cannot run together."""
    return pair_kind(mesh.a.part, mesh.b.part)


def tooth_count(part: Part) -> int | None:
    """Teeth that pass in one turn: a worm's are its starts. None for a part without any."""
    if isinstance(part, Worm):
        return part.starts
    return part.teeth if isinstance(part, (Toothed, Pulley)) else None


def speed_ratio(mesh: Mesh) -> Fraction:
    """Turns of `mesh.b` per turn of `mesh.a`, both counted against their common carrier.

    Negative when they turn opposite ways. Wheels on parallel axes turn as their kind makes them;
    a belt or chain runs open unless it `turns: opposite`. Where axes cross, the sense is the
    written one, and opposite where none is written. Raises ValueError for a pair that cannot
    mesh (`mesh_kind` is None).
    """
    kind = mesh_kind(mesh)
    a, b = tooth_count(mesh.a.part), tooth_count(mesh.b.part)
    if kind is None or a is None or b is None:
        raise ValueError(f"{mesh.a.id} and {mesh.b.id} cannot mesh")
    if kind in CROSSING:
        same = mesh.turns == "same"
    elif kind in ("belt", "chain"):
        same = mesh.turns != "opposite"
    else:
        same = kind == "internal"
    return Fraction(a, b) if same else -Fraction(a, b)
