"""screw-grip: a screw has enough thread in its host."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.rules.rule import rule
from kitdocs.words.numbers import millimetres


@rule(
    "screw-grip",
    group="Fasteners",
    demand="enough of each screw is engaged in the host's thread",
    formula="length − grip: {screw-grip} in steel or brass, {screw-grip-aluminium} in aluminium, "
    "{screw-grip-soft} in wood or plastics; the grip is what lies between head "
    "and host in the stack",
    source="common practice (no standard sets it); lengths by ISO 4762, 7045, 7046, 10642",
    example="M2.5 × 6 through a 4 mm wheel leaves 2 mm in the hub, 2.5 are needed",
    follows=("screw-thread",),
)
def screw_grip(design: Design) -> Iterator[Finding]:
    for name, fastening in design.fastenings.items():
        held = design.kit.held[name]
        if fastening.kind != "screw" or fastening.part is None:
            continue
        if any(design.heights.of(i.id) is None for i in (fastening.item, fastening.host)):
            continue  # stack-seat tells of it
        facts = (held.place("by"), fastening.part.place(), fastening.item.place)
        if fastening.grip is None:
            yield Finding(
                held.place("to"),
                "screw-grip",
                f"{name} does not lie on {held.to}, so the screw's grip cannot be told",
                "two items next to each other",
                facts=(*facts, fastening.host.place),
            )
        elif (
            fastening.engagement is not None
            and fastening.needed is not None
            and fastening.engagement < fastening.needed - 1e-9
        ):
            yield Finding(
                held.place("by"),
                "screw-grip",
                f"{fastening.part.id} has {millimetres(fastening.engagement)} in {held.to}, after "
                f"passing {millimetres(fastening.grip)}",
                f"at least {millimetres(fastening.needed)}",
                "Take a longer screw, or a thinner item.",
                facts=facts,
            )
