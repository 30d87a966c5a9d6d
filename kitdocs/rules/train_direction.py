"""train-direction: each body turns the way it should."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.rules.rule import rule


@rule(
    "train-direction",
    group="Motion",
    demand="each body turns the way it is declared to, seen from north",
    formula="prograde is anticlockwise from above, when the time base's arbor turns so",
    source="IAU convention for the north side of the ecliptic; retrograde only by declaration",
    example="Venus driven through one idler too many turns backwards",
    after=("train-driven", "train-locked"),
    follows=("mesh-pair",),
)
def train_direction(design: Design) -> Iterator[Finding]:
    for name, train in design.trains.items():
        body = design.kit.bodies[name]
        if train.sense != body.turns:
            yield Finding(
                body.place(),
                "train-direction",
                f"{body.name} turns {train.sense}",
                body.turns,
                "Add or take out an idler, or declare `turns`.",
                facts=(body.place("turns"), body.place("arbor"), *_meshes(train)),
            )


def _meshes(train):
    return [link.mesh.place for link in train.chain]
