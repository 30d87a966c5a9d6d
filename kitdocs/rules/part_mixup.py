"""part-mixup: parts of one size in one parcel are marked."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.assembly.look_alikes import look_alikes
from kitdocs.finding import Finding
from kitdocs.kit.parts import Fastener
from kitdocs.rules.rule import rule


@rule(
    "part-mixup",
    group="Supply",
    demand="two parts of one parcel with equal sizes have marks that tell them apart (warning); "
    "those that are only near in size are pointed out on the pages",
    formula="sizes within 0.25 mm of each other, teeth equal",
    source="our own: what a builder can take for another thing",
    follows=("part-name",),
    example="a driving and a loose wheel of 40 teeth, of which only one has the holes",
)
def part_mixup(design: Design) -> Iterator[Finding]:
    told: set[frozenset[str]] = set()
    for delivery in design.kit.deliveries:
        for alike in look_alikes(design.kit, delivery):
            pair = frozenset((alike.a.id, alike.b.id))
            if alike.why != "size" or alike.marked or pair in told:
                continue
            if isinstance(alike.a, Fastener):
                continue
            told.add(pair)
            yield Finding(
                alike.a.place(),
                "part-mixup",
                f"{alike.a.id} and {alike.b.id} of parcel {delivery} have the same size",
                "a `mark` on one of them that tells them apart",
                severity="warning",
                facts=(alike.b.place(),),
            )
