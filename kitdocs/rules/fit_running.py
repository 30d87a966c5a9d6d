"""fit-running: what turns on something turns freely, without shaking."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.rules.fit_finding import fit_finding
from kitdocs.rules.rule import rule


@rule(
    "fit-running",
    group="Stacks",
    demand="a pipe, a loose wheel or a bush has running clearance on the shaft it turns on, so "
    "nested pipes go in order of diameter; or it is made to a clearance fit of ISO 286",
    formula="bore − shaft = 0.02 … 0.15 mm; with `fit`, one nominal size, clear at both ends",
    source="common practice; ISO 286-2 for the classes",
    example="a pipe bored 8.00 mm on an 8.00 mm pipe",
)
def fit_running(design: Design) -> Iterator[Finding]:
    limit = design.limit("fit-running")
    for pairing in design.pairings:
        if pairing.use == "running":
            finding = fit_finding(pairing, "fit-running", limit)
            if finding is not None:
                yield finding
