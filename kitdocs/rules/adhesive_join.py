"""adhesive-join: an adhesive is one for the materials that it holds together."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.parts import Supply
from kitdocs.mechanism.materials import glued_kinds
from kitdocs.rules.rule import rule


@rule(
    "adhesive-join",
    group="Fasteners",
    demand="an adhesive that says what it `joins` holds together nothing else",
    source="common practice: wood glue does not hold metal, nor a retaining compound wood",
    example="a brass pinion held on its brass pipe by wood glue",
)
def adhesive_join(design: Design) -> Iterator[Finding]:
    for name, fastening in design.fastenings.items():
        supply = fastening.part
        if not isinstance(supply, Supply) or not supply.joins:
            continue
        for part in (fastening.item.part, fastening.host.part):
            kinds = glued_kinds(part.material)
            if kinds and not set(kinds) & set(supply.joins):
                held = design.kit.held[name]
                yield Finding(
                    held.place("by"),
                    "adhesive-join",
                    f"{supply.name} between {name} and {held.to}, of which {part.id} is "
                    f"{part.material}",
                    " or ".join(supply.joins),
                    facts=(supply.place("joins"), part.place("material")),
                )
                break
