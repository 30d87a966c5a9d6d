"""screw-length: screws are of lengths that can be bought."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.parts import Fastener
from kitdocs.mechanism.standards import stocked_lengths
from kitdocs.rules.rule import rule


@rule(
    "screw-length",
    group="Fasteners",
    demand="each screw's length is one that its product standard lists (warning)",
    source="ISO 4762, 7045, 7046, 10642 and 4026 length tables, in the series of ISO 888",
    example="ISO 7045 M2.5 x 7",
)
def screw_length(design: Design) -> Iterator[Finding]:
    for part in design.kit.parts.values():
        if not isinstance(part, Fastener) or not part.parsed.length:
            continue
        listed = stocked_lengths(part.parsed)
        length = float(part.parsed.length)
        if listed is None or length in listed:
            continue
        near = sorted(sorted(listed, key=lambda one: abs(one - length))[:2])
        yield Finding(
            part.place(),
            "screw-length",
            f"{part.id}, a length that {part.parsed.standard} does not list",
            " or ".join(f"{one:g} mm" for one in near),
            severity="warning",
        )
