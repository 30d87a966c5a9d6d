"""Meshes as equations between speeds.

Seen from the carrier c that takes both axes of a mesh round (or from the frame), a pair is a
plain pair: (w_b - w_c) = s (z_a / z_b) (w_a - w_c), with s = -1 for external and +1 for internal
teeth. Every mesh is thus one linear equation between two or three speeds (R. Willis, Principles
of Mechanism, 1841).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from kitdocs.kit.machine import Arbor
from kitdocs.kit.model import Kit, Mesh
from kitdocs.mechanism.meshes import mesh_kind, speed_ratio


@dataclass(frozen=True)
class Coupling:
    """A mesh as an equation: each arbor's factor in `terms` times its speed, summed, is 0.

    `ratio` is (w_b - w_c) / (w_a - w_c); `carrier` is c, None for the frame.
    """

    mesh: Mesh
    ratio: Fraction
    carrier: str | None
    terms: Mapping[str, Fraction]

    @property
    def ends(self) -> tuple[str, str]:
        """The arbors of the two wheels."""
        return self.mesh.a.arbor, self.mesh.b.arbor

    def others(self, arbor: str) -> dict[str, Fraction]:
        """The factors that give this arbor's speed from those of the others."""
        factor = -self.terms[arbor]
        return {a: f / factor for a, f in self.terms.items() if a != arbor}


def couplings(kit: Kit) -> tuple[list[Coupling], tuple[Mesh, ...]]:
    """The machine's meshes as equations, and those whose axes have no common carrier.

    A pair that cannot run together (`mesh_kind` is None) is in neither.
    """
    found: list[Coupling] = []
    uncoupled: list[Mesh] = []
    for mesh in kit.meshes:
        if mesh_kind(mesh) is None:
            continue
        coupled, carrier = _common_carrier(kit, mesh)
        if not coupled:
            uncoupled.append(mesh)
            continue
        ratio = speed_ratio(mesh)
        terms: dict[str, Fraction] = {}
        for arbor, factor in ((mesh.b.arbor, Fraction(1)), (mesh.a.arbor, -ratio)):
            terms[arbor] = terms.get(arbor, 0) + factor
            if carrier and _swept(kit, arbor, carrier):
                terms[carrier] = terms.get(carrier, 0) - factor
        terms = {arbor: factor for arbor, factor in terms.items() if factor}
        found.append(Coupling(mesh, ratio, carrier, terms))
    return found, tuple(uncoupled)


def _common_carrier(kit: Kit, mesh: Mesh) -> tuple[bool, str | None]:
    """Whether the pair's axes keep their distance, and the carrier that both are at rest on."""

    def carrier(arbor: str) -> str | None:
        found = kit.carrier(arbor)
        stands = found is not None and kit.arbors[found].fixed and kit.carrier(found) is None
        return None if stands else found

    a, b = mesh.a.arbor, mesh.b.arbor
    axis_a, axis_b = kit.arbors[a].axis, kit.arbors[b].axis
    if axis_a is None or axis_b is None:
        return False, None
    on_a, on_b = carrier(a), carrier(b)
    if on_a == on_b:
        return True, on_a
    if on_b and kit.arbors[on_b].axis == axis_a:
        return True, on_b
    if on_a and kit.arbors[on_a].axis == axis_b:
        return True, on_a
    return False, None


def _swept(kit: Kit, arbor: str, carrier: str) -> bool:
    """Whether a turn of the carrier is a turn about the arbor's own axis too."""

    def lies(fact: Arbor) -> str:
        return kit.axes[fact.axis].lies if fact.axis else "upright"

    return lies(kit.arbors[arbor]) == lies(kit.arbors[carrier])
