"""screw-head: a screw's head finds room to sit on, and clears what moves past it."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.parts import Toothed, bore_of
from kitdocs.mechanism.gears import gear_of
from kitdocs.mechanism.heights import part_height
from kitdocs.mechanism.screws import Fastening
from kitdocs.rules.clash_finding import clash_findings
from kitdocs.rules.rule import rule
from kitdocs.words.numbers import millimetres


@rule(
    "screw-head",
    group="Fasteners",
    demand="a screw's head lies on its item with its whole breadth, a countersunk one sinks in "
    "it, and it clears what moves past it",
    formula="circle/2 ± head/2 within the item's bore and outside (a wheel's root circle); sunk "
    "head ≤ thickness; gap: {screw-head}",
    source="heads by ISO 4762, 7045, 7046, 10642; the gap is our own",
    example="a 5 mm head on a 14 mm circle of a wheel bored 10 mm",
    follows=("screw-thread", "mesh-pair", "stack-height"),
)
def screw_head(design: Design) -> Iterator[Finding]:
    for name, fastening in design.fastenings.items():
        held = design.kit.held[name]
        found, expected = _seat(fastening)
        if found and fastening.part is not None:
            yield Finding(
                held.place("by"),
                "screw-head",
                f"the head of {fastening.part.id} {found} {name}",
                expected,
                facts=(
                    fastening.part.place(),
                    fastening.item.part.place(),
                    fastening.item.part.place("module"),
                    *dict.fromkeys(h.place("circle") for h in fastening.host_holes if h),
                ),
            )
    yield from clash_findings(design, "screw-head", ("screw-head",))


def _seat(fastening: Fastening) -> tuple[str, str]:
    """What is wrong with a head's seat, and what there should be; empty where nothing is."""
    head, part = fastening.head, fastening.item.part
    circles = [hole.circle for hole in fastening.host_holes if hole and hole.circle]
    if fastening.kind != "screw" or head is None or not head.diameter:
        return "", ""
    if head.kind == "countersunk":
        thick = part_height(part)
        if head.height and head.height > thick + 1e-9:
            return f"is {millimetres(head.height)} high and does not sink in", (
                f"at most {millimetres(thick)}"
            )
        return "", ""
    if fastening.washer is not None or not circles:
        return "", ""  # a washer carries it; in the centre it lies on the edge of the bore
    outer = max(circles) / 2 + head.diameter / 2
    inner = min(circles) / 2 - head.diameter / 2
    edge, bore = _edge(fastening), bore_of(part) / 2
    if edge is not None and outer > edge + 1e-9:
        return f"reaches {millimetres(outer)} from the axis, over the edge of", (
            f"at most {millimetres(edge)}"
        )
    if inner < bore - 1e-9:
        return f"reaches to {millimetres(inner)} from the axis, over the bore of", (
            f"at least {millimetres(bore)}"
        )
    return "", ""


def _edge(fastening: Fastening) -> float | None:
    part = fastening.item.part
    if isinstance(part, Toothed):
        return gear_of(part).root_diameter / 2
    outside = getattr(part, "outside", None)
    return outside / 2 if outside else None
