"""mesh-foul: nothing that turns touches what it has nothing to do with."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.rules.clash_finding import clash_findings
from kitdocs.rules.rule import rule


@rule(
    "mesh-foul",
    group="Gearing",
    demand="no tip circle, hub, set screw, post or plate comes near an item that it does not "
    "mesh with at the same height, wherever its carriers stand",
    formula="distance of axes − r₁ − r₂: {mesh-foul} at the height that both take up; tips at "
    "m(z/2 + 1 + x); a carried item anywhere on its carrier's turn",
    source="our own; tip circles by ISO 53:1998 and ISO 21771:2007",
    example="60 teeth of module 1 (tips at 62 mm) beside a 4 mm post 31 mm away",
    follows=("mesh-pair", "mesh-distance", "train-driven", "stack-height"),
)
def mesh_foul(design: Design) -> Iterator[Finding]:
    yield from clash_findings(design, "mesh-foul", ("mesh-foul",))
