"""mesh-distance: the axes stand as far apart as each pair of wheels needs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding, Place
from kitdocs.kit.model import Mesh
from kitdocs.kit.parts import Toothed
from kitdocs.mechanism.gears import wanted_distance
from kitdocs.mechanism.meshes import mesh_kind
from kitdocs.mechanism.positions import axis_distance
from kitdocs.rules.rule import rule

#: Axis positions are written to 0.001 mm, so a distance may be short by that much.
WRITTEN_TO = 0.001


@dataclass(frozen=True)
class _Gap:
    """A mesh with the distance it has and the distances it may have, mm."""

    mesh: Mesh
    actual: float
    low: float
    high: float
    facts: tuple[Place, ...]

    @property
    def holds(self) -> bool:
        return self.low - WRITTEN_TO <= self.actual <= self.high + WRITTEN_TO


@rule(
    "mesh-distance",
    group="Gearing",
    demand="the axes of a mesh are as far apart as its wheels need, with room for backlash",
    formula="external a = m(z₁ + z₂)/2, internal a = m(z₂ − z₁)/2; with profile shift "
    "inv α_w = inv α + 2 tan α (x₁ + x₂)/(z₁ + z₂) and a · cos α/cos α_w; "
    "beyond that: {mesh-distance} (less than that in an internal pair)",
    source="ISO 21771:2007 on the basic rack of ISO 53:1998; the allowance is common practice",
    example="33 and 61 teeth of module 1 mm on axes 46.5 mm apart need 47.0 … 47.1 mm",
    follows=("mesh-pair", "arm-reach"),
)
def mesh_distance(design: Design) -> Iterator[Finding]:
    kit = design.kit
    gaps = [gap for mesh in kit.meshes if (gap := _gap(design, mesh)) is not None]
    failing = [gap for gap in gaps if not gap.holds]
    sound = {fact for gap in gaps if gap.holds for fact in gap.facts}
    suspects = Counter(fact for gap in failing for fact in gap.facts if fact not in sound)
    told: set[str] = set()
    for gap in failing:
        shared = [fact for fact in gap.facts if suspects[fact] > 1]
        root = max(shared, key=lambda fact: suspects[fact], default=None)
        if root is None:
            yield _finding(gap, gap.mesh.place, "")
        elif str(root) not in told:
            told.add(str(root))
            more = suspects[root] - 1
            others = f" (and {more} more mesh{'es' if more > 1 else ''} that this fact decides)"
            yield _finding(gap, root, others)


def _gap(design: Design, mesh: Mesh) -> _Gap | None:
    kit = design.kit
    wanted = wanted_distance(mesh.a.part, mesh.b.part)
    actual = axis_distance(kit, mesh.a.arbor, mesh.b.arbor, design.positions)
    if wanted is None or actual is None:
        return None
    a, b = mesh.a.part, mesh.b.part
    assert isinstance(a, Toothed) and isinstance(b, Toothed)
    allowed = design.limit("mesh-distance")
    least, most = (allowed.least or 0.0) * a.module, (allowed.most or 0.0) * a.module
    internal = mesh_kind(mesh) == "internal"
    low, high = (wanted - most, wanted - least) if internal else (wanted + least, wanted + most)
    facts = [a.place("teeth"), b.place("teeth")]
    for arbor in (mesh.a.arbor, mesh.b.arbor):
        name = kit.arbors[arbor].axis
        if name is not None:
            axis = kit.axes[name]
            facts.append(axis.place("distance" if axis.distance is not None else "at"))
    for part in (a, b):
        if part.shift:
            facts.append(part.place("shift"))
    return _Gap(mesh, actual, low, high, tuple(dict.fromkeys(facts)))


def _finding(gap: _Gap, place: Place, others: str) -> Finding:
    a, b = gap.mesh.a, gap.mesh.b
    teeth = [part.teeth for part in (a.part, b.part) if isinstance(part, Toothed)]
    return Finding(
        place,
        "mesh-distance",
        f"{a.id} ({teeth[0]} teeth) and {b.id} ({teeth[1]} teeth) stand {gap.actual:.3f} mm "
        f"apart{others}",
        f"{gap.low:.3f} … {gap.high:.3f} mm",
        "Move the axis, or choose teeth that suit it.",
        facts=gap.facts,
    )
