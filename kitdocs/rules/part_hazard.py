"""part-hazard: what calls for a caution by its kind brings it."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.rules.rule import rule

#: The hazards of which a part of a kind has at least one.
_WANTED = {"adhesive": ("adhesive", "solvent"), "oil": ("oil", "solvent")}


@rule(
    "part-hazard",
    group="Words",
    demand="an adhesive and an oil name their hazard, so that their caution stands before the "
    "work that uses them",
    source="IEC/IEEE 82079-1 (warnings stand before the act), from memory",
    example="an epoxy without `hazards: [adhesive]`",
)
def part_hazard(design: Design) -> Iterator[Finding]:
    for name, part in design.kit.parts.items():
        wanted = _WANTED.get(part.kind, ())
        if wanted and not set(wanted) & set(part.hazards):
            yield Finding(
                part.place("hazards"),
                "part-hazard",
                f"{name} is {'an' if part.kind[0] in 'ao' else 'a'} {part.kind} without its hazard",
                " or ".join(f"hazards: [{hazard}]" for hazard in wanted),
                facts=(part.place("kind"),),
            )
