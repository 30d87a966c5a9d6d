"""fit-running: what turns on something turns freely, without shaking."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.parts import bore_of
from kitdocs.rules.fit_finding import fit_finding
from kitdocs.rules.rule import rule


@rule(
    "fit-running",
    group="Stacks",
    demand="a pipe, a loose wheel or a bush has running clearance on the shaft it turns on, so "
    "nested pipes go in order of diameter; or it is made to a clearance fit of ISO 286; and it is "
    "written what it turns on, a shaft of its own axis",
    formula="bore − shaft: {fit-running}; with `fit`, one nominal size, clear at both ends",
    source="common practice; ISO 286-2 for the classes",
    example="a pipe bored 8.00 mm on an 8.00 mm pipe",
    follows=("stack-seat",),
)
def fit_running(design: Design) -> Iterator[Finding]:
    limit = design.limit("fit-running")
    nowhere = list(_turns_on(design))
    yield from nowhere
    told = {finding.place for finding in nowhere}
    for pairing in design.pairings:
        written = design.kit.arbors[pairing.outer.arbor].place("runs_on")
        if pairing.use == "running" and written not in told:
            finding = fit_finding(pairing, "fit-running", limit)
            if finding is not None:
                yield finding


def _turns_on(design: Design) -> Iterator[Finding]:
    """Arbors that turn on nothing, or on what is not there to turn on."""
    kit = design.kit
    in_bushes = {p.inner.arbor for p in design.pairings if p.outer.part.kind == "bush"}
    for name, arbor in kit.arbors.items():
        if arbor.axis is None or arbor.fixed:
            continue
        shaft = kit.items.get(name)
        bored = shaft is None or bool(bore_of(shaft.part))
        facts = (arbor.place("axis"), arbor.place("fixed"))
        if arbor.runs_on is None:
            if bored and kit.on_arbor[name] and name not in in_bushes:
                found, expected = f"{name} turns on nothing", "runs-on: ARBOR"
                yield Finding(arbor.place(), "fit-running", found, expected, facts=facts)
            continue
        inner = kit.arbors[arbor.runs_on]
        if inner.axis != arbor.axis:
            found = f"{name} turns on {arbor.runs_on}, which is on another axis"
        elif inner.part is None or arbor.runs_on == name:
            found = f"{name} turns on {arbor.runs_on}, which has no shaft for it"
        else:
            continue
        facts = (*facts, inner.place("axis"), inner.place("part"))
        expected = "a post or pipe on its axis"
        yield Finding(arbor.place("runs_on"), "fit-running", found, expected, facts=facts)
