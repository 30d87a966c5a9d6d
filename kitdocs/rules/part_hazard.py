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
    "work that uses them; a kit with fasteners or balls has the caution on small parts",
    source="IEC/IEEE 82079-1 (warnings stand before the act) and ISO 8124-1 (small parts are "
    "those that go into a cylinder of 31.7 mm), from memory",
    example="an epoxy without `hazards: [adhesive]`",
)
def part_hazard(design: Design) -> Iterator[Finding]:
    yield from _small_parts(design)
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


def _small_parts(design: Design) -> Iterator[Finding]:
    kit = design.kit
    small = [p for p in kit.parts.values() if p.kind in ("fastener", "ball", "washer")]
    named = {*kit.about.cautions, *(h for part in kit.parts.values() for h in part.hazards)}
    if small and "small-parts" not in named:
        found = f"no caution on small parts, of which {small[0].id} is one"
        place = kit.about.place("cautions")
        yield Finding(place, "part-hazard", found, "cautions: [small-parts]")
