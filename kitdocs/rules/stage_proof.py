"""stage-proof: a stage that adds motion ends by turning the machine and seeing it move."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.assembly.proof import moved_before, moving, turned_in
from kitdocs.finding import Finding
from kitdocs.kit.stage import Stage
from kitdocs.rules.rule import rule

#: How many arbors a finding names.
NAMED = 4


@rule(
    "stage-proof",
    group="Steps",
    demand="the last step of a stage that sets something moving turns the crank, or before there "
    "is one an arbor that moves it, and everything that the stage adds moves with it",
    formula="arbors with a speed in the machine built so far, less those of the stage before",
    source="our own: a mistake is found where it was made, not five parcels later",
    example="the Mars stage ends with putting back the arms, and nobody turns the crank",
    after=("step-facts",),
    follows=("period-error",),
)
def stage_proof(design: Design) -> Iterator[Finding]:
    if design.motion.locks or design.motion.undetermined:
        return  # what does not turn as a whole cannot be proved in part
    before: frozenset[str] = frozenset()
    for stage in design.kit.stages:
        built = design.built[stage.id]
        if stage.steps:
            yield from _stage(design, stage, before, built)
        before = built


def _stage(
    design: Design, stage: Stage, before: frozenset[str], built: frozenset[str]
) -> Iterator[Finding]:
    kit, crank = design.kit, design.kit.mechanism.crank
    there = {kit.items[name].arbor for name in built}
    has_crank = crank in there
    new = _new(design, before, built, has_crank)
    adds = [kit.bodies[name].arbor for name in stage.front.adds if name in kit.bodies]
    adds = [arbor for arbor in adds if arbor in there]  # else `stage-order` tells of it
    needed = list(dict.fromkeys((*adds, *new)))
    if not needed:
        return
    action, last = turned_in(stage), stage.steps[-1]
    by_hand = f"`turn: {crank if crank in kit.items else 'ID'}` in the last step"
    if action is None or not action.items:
        yield Finding(
            last.actions[-1].place if last.actions else last.place,
            "stage-proof",
            f"stage {stage.id} sets {_named(needed)} moving and ends without turning it",
            by_hand,
            "End the stage with a step that turns it, and says what is seen.",
            facts=(stage.place, last.place),
        )
        return
    item = kit.items.get(action.items[0])
    if item is None:
        return
    facts = (stage.place, kit.mechanism.place("crank"))
    if has_crank and item.arbor != crank:
        yield Finding(
            action.item_places[0],
            "stage-proof",
            f"stage {stage.id} is proved by turning {item.id}, which is not on the crank",
            by_hand,
            facts=facts,
        )
        return
    machine = design.of_items(built, item.arbor)
    still = [a for a in needed if a != item.arbor and a not in moving(machine.kit, machine.motion)]
    if still and set(kit.items) <= design.built[kit.stages[-1].id]:
        yield Finding(
            action.item_places[0],
            "stage-proof",
            f"turning {item.id} at the end of stage {stage.id} does not move {_named(still)}",
            "something that moves all that the stage adds",
            facts=(*facts, *(kit.bodies[b].place("arbor") for b in stage.front.adds)),
        )


def _named(arbors: list[str]) -> str:
    more = f" and {len(arbors) - NAMED} more" if len(arbors) > NAMED else ""
    return ", ".join(arbors[:NAMED]) + more


def _new(
    design: Design, before: frozenset[str], built: frozenset[str], has_crank: bool
) -> list[str]:
    """The arbors that the stage sets moving: by the crank, or before that by one another."""
    kit, crank = design.kit, design.kit.mechanism.crank
    if has_crank:
        machine, old = design.of_items(built), moved_before(design, before, crank)
        return [name for name in moving(machine.kit, machine.motion) if name not in old]
    meshes = [m for m in kit.meshes if {m.a.id, m.b.id} <= built and not {m.a.id, m.b.id} <= before]
    ends = [end.arbor for mesh in meshes for end in (mesh.a, mesh.b)]
    return [name for name in dict.fromkeys(ends) if not kit.arbors[name].fixed]
