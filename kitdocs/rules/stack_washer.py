"""stack-washer: a washer stands between faces that turn against each other."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.model import Item
from kitdocs.kit.parts import Fastener, Washer
from kitdocs.mechanism.standards import washer_size
from kitdocs.rules.rule import rule


@rule(
    "stack-washer",
    group="Stacks",
    demand="of two faces that touch, at rest or at the end of end play, and turn against each "
    "other, one is a washer's or a bush's",
    formula="speeds differ and the gap is within the end play → a washer or a bush",
    source="common practice",
    example="the Venus pipe standing on the Mercury hub itself",
    after=("train-driven", "train-locked"),
    follows=("stack-seat",),
)
def stack_washer(design: Design) -> Iterator[Finding]:
    within = design.limit("stack-height").most or 0.0
    told: set[frozenset[str]] = set()
    for facing in design.facings.facing(within):
        lower, upper = facing.lower, facing.upper
        if _bears(lower) or _bears(upper) or not _turn(design, lower, upper):
            continue
        pair = frozenset((lower.arbor, upper.arbor))
        if pair in told:
            continue
        told.add(pair)
        yield Finding(
            upper.place,
            "stack-washer",
            f"{upper.id} runs on {lower.id}, which does not turn with it",
            "a washer between them",
            facts=(
                lower.place,
                lower.part.place("kind"),
                upper.part.place("kind"),
                design.kit.arbors[upper.arbor].place("stands_on"),
            ),
        )


def _bears(item: Item) -> bool:
    part = item.part
    if isinstance(part, Fastener):
        return washer_size(part.parsed) is not None
    return isinstance(part, Washer) or part.kind == "bush"


def _turn(design: Design, a: Item, b: Item) -> bool:
    """Whether two items turn against each other; what is carried always does."""
    speeds = []
    for item in (a, b):
        body = design.rigid.body(item.arbor)
        speeds.append(design.motion.speeds.get(body, None) if body else 0)
    return None in speeds or speeds[0] != speeds[1]
