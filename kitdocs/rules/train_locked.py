"""train-locked: loops of meshes agree exactly."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.mechanism.loops import Lock
from kitdocs.rules.rule import rule
from kitdocs.words.numbers import fraction


@rule(
    "train-locked",
    group="Motion",
    demand="no arbor is driven at two speeds: where meshes close a loop they agree exactly",
    formula="the product of z_a / z_b round a loop is 1, with its sign",
    source="kinematics of closed trains (exact rational arithmetic)",
    example="two idlers between the same two wheels, one of them turned by a third wheel",
    after=("train-driven",),
    follows=("mesh-distance", "mesh-pair"),
)
def train_locked(design: Design) -> Iterator[Finding]:
    for lock in design.motion.locks:
        yield _finding(lock) if lock.mesh else _fixed_crank(design)


def _fixed_crank(design: Design) -> Finding:
    crank = design.kit.mechanism.crank
    return Finding(
        design.kit.mechanism.place("crank"),
        "train-locked",
        f"the crank {crank} is a fixed arbor",
        "a crank that turns",
        "Name another arbor, or take `fixed` away from this one.",
        facts=(design.kit.arbors[crank].place("fixed"),),
    )


def _finding(lock: Lock) -> Finding:
    loop = ", ".join(f"{mesh.a.id}/{mesh.b.id}" for mesh in lock.loop)
    first, second = (fraction(speed) for speed in lock.speeds)
    facts = [mesh.place for mesh in lock.loop]
    for mesh in lock.loop:
        facts += [mesh.a.part.place("teeth"), mesh.b.part.place("teeth")]
    return Finding(
        lock.mesh.place,
        "train-locked",
        f"the arbor {lock.arbor} is driven at {first} and at {second} turns a turn of the crank, "
        f"by the loop {loop}",
        "one speed",
        "Take one mesh out of the loop, or choose teeth that agree.",
        facts=tuple(facts),
    )
