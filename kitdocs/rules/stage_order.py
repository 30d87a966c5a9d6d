"""stage-order: stages follow one another as the parcels and the work allow."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from itertools import pairwise

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding, Place
from kitdocs.mechanism.trains import links_to
from kitdocs.rules.rule import rule


@rule(
    "stage-order",
    group="Steps",
    demand="parcels come month by month and stages in the order of their parcels, none later than "
    "need be; a body is added once, by a stage that ends with its train in place; no page with "
    "steps is left out of the list of stages",
    source="our own: instructions must be possible in every step",
    example="stage 4 adds Mars, and stage 5 puts its wheel in place",
    after=("step-facts",),
    follows=("step-item", "build-complete", "step-order", "step-captive"),
)
def stage_order(design: Design) -> Iterator[Finding]:
    yield from _months(design)
    disordered = list(_parcels(design))
    yield from disordered or _idle_parcels(design)
    yield from _bodies(design)
    for page in design.kit.pages:
        block = re.search(r"^ {0,3}```(step|use)\b", page.text.text, re.MULTILINE)
        if block:
            place = page.text.place.within(page.text.text, block.start())
            mend = "Name the page under `stages` in kit.yml."
            yield Finding(place, "stage-order", "steps on a page that is no stage", "a stage", mend)


def _months(design: Design) -> Iterator[Finding]:
    deliveries = list(design.kit.deliveries.values())
    for former, delivery in pairwise(deliveries):
        if delivery.month <= former.month:
            yield Finding(
                delivery.place("month"),
                "stage-order",
                f"parcel {delivery.id} comes in month {delivery.month}, after {former.id} in "
                f"month {former.month}",
                "a later month",
                facts=(former.place("month"),),
            )


def _parcels(design: Design) -> Iterator[Finding]:
    order = {name: number for number, name in enumerate(design.kit.deliveries, start=1)}
    last = None
    for stage in design.kit.stages:
        if last and order[stage.front.delivery] < order[last.front.delivery]:
            yield Finding(
                stage.front.place("delivery"),
                "stage-order",
                f"stage {stage.id} is built with parcel {order[stage.front.delivery]}, after "
                f"stage {last.id} with parcel {order[last.front.delivery]}",
                "stages in the order of their parcels",
                facts=(last.front.place("delivery"), design.kit.about.place("stages")),
            )
        last = stage


def _idle_parcels(design: Design) -> Iterator[Finding]:
    """Stages that wait for a parcel, when all that they take came before it."""
    kit, takings = design.kit, design.takings
    order = list(kit.deliveries)
    taken: Counter[str] = Counter()
    for stage in kit.stages:
        takes = takings.stages[stage.id]
        taken.update(takes)
        number = order.index(stage.front.delivery)
        stock = takings.stock_after(order[:number])
        also = {*stage.front.tools, *takings.stage_taking(stage).supplies}
        brought = takings.delivered[stage.front.delivery]
        if takes and all(taken[p] <= stock[p] for p in takes) and not also & brought.keys():
            yield Finding(
                stage.front.place("delivery"),
                "stage-order",
                f"stage {stage.id} waits for parcel {number + 1} and takes nothing of it",
                "the parcel that brings what it takes",
                severity="warning",
            )


def _bodies(design: Design) -> Iterator[Finding]:
    kit = design.kit
    added: dict[str, Place] = {}
    for stage in kit.stages:
        placed = design.dry_build.end_of(stage.id).machine
        for i, body in enumerate(stage.front.adds):
            place = stage.front.place("adds", i)
            if body in added:
                found, expected = f"{body} added a second time", "one stage that adds it"
                yield Finding(place, "stage-order", found, expected, facts=(added[body],))
                continue
            added[body] = place
            # From the crank: a planet turns with it before the arbor of the time base is built.
            links = links_to(kit, design.motion, kit.bodies[body].arbor)
            missing = [
                item.id
                for link in links
                for item in (link.driver, link.driven)
                if item.id not in placed
            ]
            if missing:
                yield Finding(
                    place,
                    "stage-order",
                    f"{body} is added while {', '.join(dict.fromkeys(missing))} of its train "
                    "is not in place at the stage's end",
                    "the whole train",
                    facts=tuple(kit.items[name].place for name in missing),
                )
    for name, body in kit.bodies.items():
        if name not in added and kit.stages:
            yield Finding(
                body.place(),
                "stage-order",
                f"{name} is added by no stage",
                "one stage",
                "Name it under `adds` of the stage that makes it turn.",
            )
