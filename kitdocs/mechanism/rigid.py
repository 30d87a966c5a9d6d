"""What moves with what: rigid bodies, and how near two axes come to each other.

A fixed arbor belongs to the arm that carries its axis, or to the frame; every other arbor is a
rigid body of its own, called by its name. The frame is called "".
"""

from __future__ import annotations

from collections.abc import Mapping
from math import dist

from kitdocs.kit.model import Kit
from kitdocs.mechanism.positions import Point

FRAME = ""


class Rigid:
    """Rigid bodies of a kit and the distances between their axes. `places` are the axes' plan."""

    def __init__(self, kit: Kit, places: Mapping[str, Point]):
        self._kit = kit
        self._places = places
        self._bodies: dict[str, str] = {}
        self._chains: dict[str, tuple[tuple[Point, str], ...]] = {}
        for name in kit.arbors:
            self.body(name)

    def body(self, arbor: str) -> str:
        """The rigid body that an arbor is part of."""
        path: list[str] = []
        at: str | None = arbor
        while at is not None and at not in self._bodies and at not in path:
            path.append(at)
            if not self._kit.arbors[at].fixed:
                break
            at = self._kit.carrier(at)
        found = FRAME if at is None else self._bodies.get(at, at)
        for name in path:
            self._bodies[name] = found
        return found

    def chain(self, arbor: str) -> tuple[tuple[Point, str], ...]:
        """An arbor's axis and those it goes round, outwards: each point, and what holds it.

        The last is held by the frame. Empty for an arbor without a place in plan.
        """
        if arbor not in self._chains:
            self._chains[arbor] = self._chain(arbor)
        return self._chains[arbor]

    def _chain(self, arbor: str) -> tuple[tuple[Point, str], ...]:
        chain: list[tuple[Point, str]] = []
        at = arbor
        while len(chain) <= len(self._kit.arbors):
            axis = self._kit.arbors[at].axis
            if axis is None or axis not in self._places or self._kit.axes[axis].lies == "level":
                return ()
            carrier = self._kit.carrier(at)
            holder = self.body(carrier) if carrier is not None else FRAME
            chain.append((self._places[axis], holder))
            if holder == FRAME:
                return tuple(chain)
            at = holder
        return ()

    def envelope(self, arbor: str) -> tuple[Point, float] | None:
        """The circle that an arbor's axis stays on or in as everything turns: centre, radius."""
        chain = self.chain(arbor)
        if not chain:
            return None
        return chain[-1][0], _reach(chain)

    def distances(self, a: str, b: str) -> tuple[float, float]:
        """The least and greatest distance between two arbors' axes, mm.

        Carriers are taken to stand at any angle to each other. Both have a place in plan.
        """
        chain_a, chain_b = self.chain(a), self.chain(b)
        holders = {holder: i for i, (_, holder) in reversed(list(enumerate(chain_b)))}
        i = next(i for i, (_, holder) in enumerate(chain_a) if holder in holders)
        j = holders[chain_a[i][1]]
        rigid = dist(chain_a[i][0], chain_b[j][0])
        lengths = [rigid, *_arms(chain_a[: i + 1]), *_arms(chain_b[: j + 1])]
        total = sum(lengths)
        if len(lengths) == 1:
            return rigid, rigid
        return max(0.0, 2 * max(lengths) - total), total


def _arms(chain: tuple[tuple[Point, str], ...]) -> list[float]:
    return [dist(chain[k][0], chain[k + 1][0]) for k in range(len(chain) - 1)]


def _reach(chain: tuple[tuple[Point, str], ...]) -> float:
    return sum(_arms(chain))
