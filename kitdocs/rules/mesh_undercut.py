"""mesh-undercut: a small wheel's teeth are not weakened at the root."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.parts import Toothed, Wheel
from kitdocs.mechanism.gears import least_shift, least_teeth
from kitdocs.rules.rule import rule
from kitdocs.words.numbers import plain

#: Shifts are written to four decimals.
WRITTEN_TO = 1e-4


@rule(
    "mesh-undercut",
    group="Gearing",
    demand="an involute wheel has enough teeth, or enough profile shift, not to be undercut "
    "(warning)",
    formula="z ≥ 2 / sin² α, or x ≥ 1 − z sin² α / 2",
    source="ISO 21771:2007 on the rack of ISO 53:1998",
    example="10 teeth at 20° without shift; the limit is 17.1",
    follows=("mesh-pair",),
)
def mesh_undercut(design: Design) -> Iterator[Finding]:
    meshing = {item.part.id: item.part for m in design.kit.meshes for item in (m.a, m.b)}
    for part in meshing.values():
        if not isinstance(part, Wheel) or part.form != "involute":
            continue
        if not 0 < part.pressure_angle < 45:
            continue
        needed = least_shift(part.teeth, part.pressure_angle)
        if part.shift < needed - WRITTEN_TO:
            yield _finding(part, needed)


def _finding(part: Toothed, needed: float) -> Finding:
    teeth = least_teeth(part.pressure_angle)
    return Finding(
        part.place("teeth"),
        "mesh-undercut",
        f"{part.id}, {part.teeth} teeth at {part.pressure_angle:g}° with a shift of "
        f"{plain(part.shift)}, is undercut",
        f"a shift of at least {plain(needed, 4)}, or {plain(teeth, 1)} teeth",
        "Give it a shift, or more teeth.",
        severity="warning",
        facts=(part.place("form"), part.place("pressure_angle")),
    )
