"""What other teeth, on the axes as they stand, would do for a body's train."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations
from typing import Literal, Protocol

from kitdocs.kit.model import Kit
from kitdocs.mechanism.meshes import mesh_kind
from kitdocs.mechanism.motion import Motion
from kitdocs.mechanism.tooth_choice.train_teeth import BetterTrain, OtherTeeth, teeth_of
from kitdocs.mechanism.trains import Train


class Computed(Protocol):
    """A kit with its motion and its trains."""

    @property
    def kit(self) -> Kit: ...
    @property
    def motion(self) -> Motion: ...
    @property
    def trains(self) -> Mapping[str, Train]: ...


@dataclass(frozen=True)
class Better:
    """The best that other teeth of one pair would do; `teeth` are those it has, driver first.

    `one`: this pair alone changed; `two`: this pair and another of the train, where that is
    better still. None: nothing on these axes is better. `bound` says why the pair was not
    looked at: a wheel of it meshes with others too (`shared`), or it also moves what the body
    is carried by or seen from (`carries`). `also`: other bodies whose trains have this pair.
    """

    driver: str
    driven: str
    teeth: tuple[int, int]
    one: BetterTrain | None
    two: BetterTrain | None
    bound: Literal["shared", "carries"] | None
    also: tuple[str, ...]


def better_choices(design: Computed, body: str) -> tuple[Better, ...]:
    """For each external pair of a body's train, in order, what would come nearer to the sky.

    Tooth sums and modules stay, so that every axis stays where it is; no wheel gets fewer teeth
    than the kit's smallest. Empty for a body without a train.
    """
    train = design.trains.get(body)
    if train is None:
        return ()
    others = OtherTeeth(design.kit, design.motion, train)
    links = [(n, link) for n, link in enumerate(train.chain) if mesh_kind(link.mesh) == "external"]
    free = [n for n, link in links if others.bound(n, link) is None]
    ones = {n: others.best(others.single(n)) for n in free}
    twos = {pair: others.best(others.double(*pair)) for pair in combinations(free, 2)}
    found = []
    for n, link in links:
        one = ones.get(n)
        two = min(
            (both for pair, both in twos.items() if n in pair and both),
            key=lambda both: abs(both.error),
            default=None,
        )
        if one and two and abs(two.error) >= abs(one.error):
            two = None
        found.append(
            Better(
                link.driver.id,
                link.driven.id,
                teeth_of(link),
                one,
                two,
                others.bound(n, link),
                tuple(
                    other
                    for other, its in design.trains.items()
                    if other != body and any(link.mesh is other.mesh for other in its.chain)
                ),
            )
        )
    return tuple(found)
