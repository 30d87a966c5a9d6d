"""How a pair of wheels runs where its axes really stand: contact and backlash.

Lengths in mm. Both are the geometry of parallel involute pairs. Of clock forms only the pitch
circles are known: they have no contact ratio here, and backlash as if their flanks leaned by the
pressure angle. Of crossing axes, belts and chains neither figure follows from the facts.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import radians, tan

from kitdocs.kit.model import Kit, Mesh
from kitdocs.kit.parts import Toothed
from kitdocs.mechanism.gears import GearPair, gear_of, wanted_distance
from kitdocs.mechanism.meshes import mesh_kind
from kitdocs.mechanism.positions import Point, axis_distance

Places = Mapping[str, Point]  # of axes, as `positions` gives them


def toothed_pair(mesh: Mesh) -> tuple[Toothed, Toothed] | None:
    """The parts of a parallel pair, the internal or else the larger one second."""
    a, b = mesh.a.part, mesh.b.part
    if mesh_kind(mesh) not in ("external", "internal"):
        return None
    assert isinstance(a, Toothed) and isinstance(b, Toothed)
    return (a, b) if (gear_of(a).internal, a.teeth) <= (gear_of(b).internal, b.teeth) else (b, a)


def spare_distance(kit: Kit, mesh: Mesh, places: Places) -> float | None:
    """How much further apart than needed the axes stand, in the sense that gives backlash.

    None where either distance is not known.
    """
    wanted = wanted_distance(mesh.a.part, mesh.b.part)
    actual = axis_distance(kit, mesh.a.arbor, mesh.b.arbor, places)
    if wanted is None or actual is None:
        return None
    return wanted - actual if mesh_kind(mesh) == "internal" else actual - wanted


def contact_ratio(kit: Kit, mesh: Mesh, places: Places) -> float | None:
    """Contact ratio where the axes stand, of teeth cut for the distance that they need.

    None for pairs that are not involute, and where they are too far apart to run at all or
    their distance is not known.
    """
    pair = toothed_pair(mesh)
    actual = axis_distance(kit, mesh.a.arbor, mesh.b.arbor, places)
    if pair is None or actual is None or pair[0].form != "involute":
        return None
    if wanted_distance(*pair) is None:
        return None
    return GearPair(gear_of(pair[0]), gear_of(pair[1])).contact_ratio_at(actual)


def mesh_backlash(kit: Kit, mesh: Mesh, places: Places) -> float | None:
    """Circumferential backlash along the pitch circles: 2 Δa tan α + thinning of both.

    None where the distance that the pair needs, or has, is not known. It is negative where the
    axes stand too near.
    """
    pair, spare = toothed_pair(mesh), spare_distance(kit, mesh, places)
    if pair is None or spare is None:
        return None
    first, second = pair
    alpha = radians(_working_angle(first, second))
    return 2 * spare * tan(alpha) + first.thinning + second.thinning


def _working_angle(first: Toothed, second: Toothed) -> float:
    if first.form == "cycloidal":
        return first.pressure_angle
    return GearPair(gear_of(first), gear_of(second)).working_angle


def overlap_share(low: tuple[float, float], high: tuple[float, float]) -> float:
    """Shared length of two spans, as a share of the shorter one; negative where they part."""
    shared = min(low[1], high[1]) - max(low[0], high[0])
    return shared / min(low[1] - low[0], high[1] - high[0])
