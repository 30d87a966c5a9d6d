"""part-accounted: what is delivered is what is used."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.assembly.takings import counted
from kitdocs.finding import Finding, Place
from kitdocs.kit.parts import Supply, Tool
from kitdocs.rules.rule import rule


@rule(
    "part-accounted",
    group="Supply",
    demand="every part comes exactly as often as the steps use it; what comes beyond is a spare, "
    "of a part that has come to be used",
    formula="delivered = used, part by part; tools and supplies at least once unless the "
    "builder's own",
    source="our own: instructions must be complete in every part",
    example="fourteen M2.5 × 6 screws in the parcels, thirteen in the steps",
    after=("step-facts",),
    follows=(
        "screw-thread",
        "build-complete",
        "step-order",
        "step-item",
        "stage-tools",
        "caution-before",
    ),
)
def part_accounted(design: Design) -> Iterator[Finding]:
    kit, takings = design.kit, design.takings
    delivered = takings.stock_after(kit.deliveries)
    spare = {part for spares in takings.spares.values() for part in spares}
    for name, part in kit.parts.items():
        came, used = delivered[name], takings.used[name]
        if not counted(part):
            yield from _brought(design, name, came + (name in spare))
        elif came != used:
            where = delivery_places(design, name)
            users = [kit.items[i].place for i in kit.items if kit.items[i].part is part]
            holding = (i for i, f in design.fastenings.items() if part in (f.part, f.washer))
            users += [kit.held[i].place() for i in holding]
            yield Finding(
                where[-1] if where else part.place(),
                "part-accounted",
                f"{came} of {name} delivered, {used} used by the steps",
                "as many as are used",
                "Correct the quantity, or name the rest under spares."
                if came > used
                else "Correct the quantity, or take the part out of a step.",
                facts=(*where, part.place(), *users),
            )
        elif not used:
            yield Finding(
                part.place(),
                "part-accounted",
                f"{name} is neither delivered nor used",
                "parts that the kit has",
                "Delete it.",
                severity="warning",
            )
    yield from _spares(design)


def _spares(design: Design) -> Iterator[Finding]:
    """Spares of parts that neither their parcel nor one before it holds."""
    came: Counter[str] = Counter()
    for name, delivery in design.kit.deliveries.items():
        came.update(design.takings.delivered[name])
        for reference in delivery.spares:
            part = design.kit.part(reference)
            if part is not None and not came[part.id]:
                yield Finding(
                    delivery.key_place(reference, "spares"),
                    "part-accounted",
                    f"a spare {part.id} in parcel {name}, when none has come to be used",
                    "spares of what this parcel or an earlier one holds",
                    severity="warning",
                    facts=(part.place(),),
                )


def delivery_places(design: Design, part: str) -> list[Place]:
    """Where the parcels say how many of a part they hold, in their order."""
    places = []
    for delivery in design.kit.deliveries.values():
        for reference in delivery.holds:
            found = design.kit.part(reference)
            if found is not None and found.id == part:
                places.append(delivery.place("holds", reference))
    return places


def _brought(design: Design, name: str, came: int) -> Iterator[Finding]:
    part = design.kit.parts[name]
    assert isinstance(part, (Tool, Supply))
    asked = {tool for stage in design.kit.stages for tool in stage.front.tools}
    needed = name in design.takings.supplies or name in asked
    if needed and not came and not part.own:
        found, expected = f"{name} is used but comes in no parcel", "it in a parcel, or `own: true`"
    elif came and part.own:
        found, expected = f"{name} is the builder's own but comes in a parcel", "one or the other"
    elif not needed:
        found, expected = f"{name} is used by no step", "a stage that needs it"
    else:
        return
    yield Finding(
        part.place(), "part-accounted", found, expected, facts=tuple(delivery_places(design, name))
    )
