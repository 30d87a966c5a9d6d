"""part-delivered: nothing is used before it has come."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.assembly.takings import counted
from kitdocs.finding import Finding
from kitdocs.kit.model import Kit
from kitdocs.kit.stage import Stage, Step
from kitdocs.rules.part_accounted import delivery_places
from kitdocs.rules.rule import rule


@rule(
    "part-delivered",
    group="Supply",
    demand="what a step takes has come in the stage's parcel or an earlier one, after all "
    "earlier steps took theirs",
    formula="taken up to this step ≤ delivered up to this stage's parcel",
    source="our own: instructions must be possible in every step",
    example="stage 4 is built with parcel 2, its wheel comes in parcel 3",
    after=("step-facts",),
    follows=("part-accounted", "stage-order"),
)
def part_delivered(design: Design) -> Iterator[Finding]:
    kit, takings = design.kit, design.takings
    order = list(kit.deliveries)
    taken: Counter[str] = Counter()
    short: set[str] = set()
    for stage in kit.stages:
        come = order[: order.index(stage.front.delivery) + 1]
        stock = takings.stock_after(come)
        for step in stage.steps:
            taken.update(takings.steps[stage.id, step.id].parts)
            for part in takings.steps[stage.id, step.id].parts:
                if taken[part] > stock[part] and part not in short:
                    short.add(part)  # later steps are short of it for the same reason
                    yield _finding(design, stage, step, part, taken[part], stock[part])
    yield from _tools(design, order)
    yield from _supplies(design, order)


def _finding(design: Design, stage: Stage, step: Step, part: str, need: int, have: int) -> Finding:
    kit = design.kit
    later = [
        f"parcel {number} ({name})"
        for number, name in enumerate(kit.deliveries, start=1)
        if part in design.takings.delivered[name]
    ]
    return Finding(
        _taker(kit, step, part),
        "part-delivered",
        f"stage {stage.id} has taken {need} of {part} by this step, and {have} have come with "
        f"the parcels up to {stage.front.delivery}",
        f"at least {need}",
        f"It comes in {', '.join(later)}." if later else "No parcel holds it.",
        facts=(stage.front.place("delivery"), *delivery_places(design, part)),
    )


def _taker(kit: Kit, step: Step, part: str):
    """Where the step names the item that takes the part."""
    for action in step.actions:
        for name, place in zip(action.items, action.item_places, strict=True):
            item = kit.items.get(name)
            if item is not None and item.part.id == part:
                return place
    return step.place


def _tools(design: Design, order: list[str]) -> Iterator[Finding]:
    kit = design.kit
    for stage in kit.stages:
        come = order[: order.index(stage.front.delivery) + 1]
        stock = design.takings.stock_after(come)
        for i, tool in enumerate(stage.front.tools):
            part = kit.parts[tool]
            if not counted(part) and not getattr(part, "own", False) and not stock[tool]:
                yield Finding(
                    stage.front.place("tools", i),
                    "part-delivered",
                    f"{tool} has not come by parcel {stage.front.delivery}",
                    "tools that are there",
                    facts=tuple(delivery_places(design, tool)),
                )


def _supplies(design: Design, order: list[str]) -> Iterator[Finding]:
    """Adhesives and oils that a step uses before any parcel has brought them."""
    kit, told = design.kit, set[str]()
    for stage in kit.stages:
        stock = design.takings.stock_after(order[: order.index(stage.front.delivery) + 1])
        for step in stage.steps:
            for name in design.takings.steps[stage.id, step.id].supplies:
                own = getattr(kit.parts[name], "own", False)
                coming = any(held[name] for held in design.takings.delivered.values())
                if own or stock[name] or not coming or name in told:
                    continue  # part-accounted tells of what never comes
                told.add(name)
                yield Finding(
                    step.place,
                    "part-delivered",
                    f"{name} is used, and has not come by parcel {stage.front.delivery}",
                    "supplies that are there",
                    facts=(stage.front.place("delivery"), *delivery_places(design, name)),
                )
