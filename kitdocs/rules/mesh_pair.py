"""mesh-pair: two wheels that mesh are cut alike."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.model import Kit, Mesh
from kitdocs.kit.parts import Pulley, Toothed
from kitdocs.mechanism.meshes import CROSSING, MeshKind, mesh_kind
from kitdocs.rules.rule import rule


@rule(
    "mesh-pair",
    group="Gearing",
    demand="both wheels of a mesh share module, pressure angle and tooth form, and are of kinds "
    "that can run together; the sense is written where the axes cross and only there",
    formula="m₁ = m₂, α₁ = α₂",
    source="ISO 21771:2007 (geometry of a pair); cycloidal pairs by module (common practice)",
    example="a wheel of module 0.8 with one of module 0.5",
)
def mesh_pair(design: Design) -> Iterator[Finding]:
    for mesh in design.kit.meshes:
        kind = mesh_kind(mesh)
        if kind is None:
            yield Finding(
                mesh.place,
                "mesh-pair",
                f"{mesh.a.id}, a {mesh.a.part.kind}, with {mesh.b.id}, a {mesh.b.part.kind}",
                "two parts that can run together",
                facts=(mesh.a.part.place("kind"), mesh.b.part.place("kind")),
            )
            continue
        yield from _unlike(mesh)
        yield from _sense(mesh, kind)
        yield from _placed(design.kit, mesh, kind)


def _unlike(mesh: Mesh) -> Iterator[Finding]:
    a, b = mesh.a.part, mesh.b.part
    if isinstance(a, Pulley):
        keys = [("pitch", "a pitch", " mm")]
    else:
        keys = [("module", "a module", " mm")]
        if isinstance(a, Toothed) and isinstance(b, Toothed):
            keys.append(("form", "a tooth form", ""))
            if "cycloidal" not in (a.form, b.form):
                keys.append(("pressure_angle", "a pressure angle", "°"))
    for key, words, unit in keys:
        first, second = getattr(a, key), getattr(b, key)
        if first != second:
            one, other = (v if isinstance(v, str) else f"{v:g}{unit}" for v in (first, second))
            yield Finding(
                mesh.place,
                "mesh-pair",
                f"{mesh.a.id} has {words} of {one}, {mesh.b.id} of {other}",
                "the same for both",
                facts=(a.place(key), b.place(key)),
            )


def _sense(mesh: Mesh, kind: MeshKind) -> Iterator[Finding]:
    pair = f"{mesh.a.id} and {mesh.b.id}"
    if kind in CROSSING and mesh.turns is None:
        yield Finding(
            mesh.place,
            "mesh-pair",
            f"no sense for {pair}, whose axes cross",
            "turns: same or turns: opposite",
            f"Write {{pair: [{mesh.a.id}, {mesh.b.id}], turns: opposite}}.",
        )
    elif kind in ("external", "internal") and mesh.turns is not None:
        yield Finding(
            mesh.place,
            "mesh-pair",
            f"a sense for {pair}, which follows from their kinds",
            "no `turns` here",
            "Delete it.",
        )


def _placed(kit: Kit, mesh: Mesh, kind: MeshKind) -> Iterator[Finding]:
    """What parallel pairs need of their axes, and an internal pair of its sizes."""
    if kind in CROSSING:
        return
    axes = [kit.axes[name] for m in (mesh.a, mesh.b) if (name := kit.arbors[m.arbor].axis)]
    if len({axis.lies for axis in axes}) > 1:
        yield Finding(
            mesh.place,
            "mesh-pair",
            f"{mesh.a.id} and {mesh.b.id} on an upright and a level axis",
            "parallel axes for wheels of these kinds",
            facts=tuple(axis.place("lies") for axis in axes),
        )
    if kind == "internal":
        ring, wheel = sorted((mesh.a.part, mesh.b.part), key=lambda p: p.kind != "ring-wheel")
        assert isinstance(ring, Toothed) and isinstance(wheel, Toothed)
        if ring.teeth <= wheel.teeth:
            yield Finding(
                mesh.place,
                "mesh-pair",
                f"a wheel of {wheel.teeth} teeth in a ring wheel of {ring.teeth}",
                "a ring wheel with more teeth",
                facts=(ring.place("teeth"), wheel.place("teeth")),
            )
