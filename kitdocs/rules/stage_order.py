"""stage-order: stages follow one another as the parcels and the work allow."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding, Place
from kitdocs.kit.stage import FASTENING, PLACING
from kitdocs.mechanism.trains import links_to
from kitdocs.rules.rule import rule


@rule(
    "stage-order",
    group="Steps",
    demand="parcels come month by month and stages in the order of their parcels; nothing is "
    "worked on before it is in place; a body is added once, by a stage that ends with its train "
    "built; no page with steps is left out of the list of stages",
    source="our own: instructions must be possible in every step",
    example="stage 5 fastens a wheel that stage 6 fits",
    after=("step-facts",),
    follows=("step-item", "build-once", "held-host"),
)
def stage_order(design: Design) -> Iterator[Finding]:
    yield from _months(design)
    yield from _parcels(design)
    yield from _before_placed(design)
    yield from _bodies(design)
    for page in design.kit.pages:
        line = page.text.text.find("```step")
        if line >= 0:
            place = page.text.place.shifted(page.text.text[:line].count("\n") + 1)
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


def _before_placed(design: Design) -> Iterator[Finding]:
    """Actions on items that no step up to then has put in place, once per item."""
    kit = design.kit
    placed: set[str] = set()
    told: set[str] = set()
    for stage, step, action in kit.actions():
        if action.verb in PLACING:
            placed.update(action.items)
            if action.verb != "press":
                continue
        for name, place in zip(action.items, action.item_places, strict=True):
            needed = [name]
            if action.verb in FASTENING and name in kit.held:
                needed.append(kit.held[name].to)
            missing = [i for i in needed if i in kit.items and i not in placed | told]
            if missing:
                told.update(missing)
                yield Finding(
                    place,
                    "stage-order",
                    f"step {step.number} of stage {stage.id}: {action.verb} {name}, while "
                    f"{' and '.join(missing)} {'is' if len(missing) == 1 else 'are'} not in place",
                    "what is worked on put in place by then",
                    facts=tuple(
                        fact
                        for item in missing
                        for fact in (kit.items[item].place, *_placings(design, item))
                    ),
                )


def _placings(design: Design, item: str) -> list[Place]:
    return [
        place
        for _, _, action in design.kit.actions()
        if action.verb in PLACING
        for name, place in zip(action.items, action.item_places, strict=True)
        if name == item
    ]


def _bodies(design: Design) -> Iterator[Finding]:
    kit = design.kit
    placed: set[str] = set()
    added: dict[str, Place] = {}
    for stage in kit.stages:
        for step in stage.steps:
            placed.update(design.takings.steps[stage.id, step.id].placed)
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
