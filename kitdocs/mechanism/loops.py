"""Loops of meshes whose tooth counts do not agree: such a loop cannot turn at all."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from kitdocs.kit.model import Kit, Mesh
from kitdocs.mechanism.couplings import Coupling


@dataclass(frozen=True)
class Lock:
    """A mesh that cannot turn with the rest: it would give `arbor` the second of two speeds.

    `loop` is the ring of meshes that disagree, the offending one among them; where a driven
    train meets a fixed wheel, it is the way there from the crank. `speeds` are per turn of the
    crank, or, in a loop that nothing drives, per turn of the arbor where it begins, against its
    carrier. `mesh` is None for a crank that is itself fixed.
    """

    mesh: Mesh | None
    loop: tuple[Mesh, ...]
    arbor: str
    speeds: tuple[Fraction, Fraction]


@dataclass(frozen=True)
class LockedLoop:
    """A loop that disagrees at `coupling`, whatever drives it.

    `turns` are the two that it would give `arbor`, as in a `Lock` that nothing drives.
    """

    coupling: Coupling
    meshes: tuple[Mesh, ...]
    arbor: str
    turns: tuple[Fraction, Fraction]

    def lock(self, speeds: Mapping[str, Fraction]) -> Lock:
        """This loop as a lock, when these are the speeds of the machine without the mesh."""
        turns = self.turns
        if all(arbor in speeds for arbor in self.coupling.terms):
            others = self.coupling.others(self.arbor).items()
            turns = speeds[self.arbor], sum((f * speeds[a] for a, f in others), Fraction(0))
        return Lock(self.coupling.mesh, self.meshes, self.arbor, turns)


def locked_loops(kit: Kit, couplings: Iterable[Coupling]) -> list[LockedLoop]:
    """Every mesh that closes a loop with a ratio other than 1, all on one carrier.

    Counted against their carrier, the arbors of such a loop could only stand still.
    """
    frames: dict[str | None, _Frame] = {}
    for coupling in couplings:
        if coupling.carrier in coupling.ends:
            continue  # a wheel that is geared to its own arm stands still on it
        if coupling.carrier not in frames:
            frames[coupling.carrier] = _Frame(kit, coupling.carrier)
        frames[coupling.carrier].add(coupling)
    return [loop for frame in frames.values() for loop in frame.locked()]


_FIXED = ""  # all fixed arbors are as one: the frame


class _Frame:
    """The couplings of one carrier, as a graph of arbors."""

    def __init__(self, kit: Kit, carrier: str | None):
        self._kit = kit
        self._stands = carrier is None or kit.arbors[carrier].fixed
        self._at: dict[str, list[Coupling]] = {}
        self._turns: dict[str, Fraction] = {}  # for one of the root
        self._parent: dict[str, tuple[Coupling, str]] = {}

    def _node(self, arbor: str) -> str:
        return _FIXED if self._kit.arbors[arbor].fixed else arbor

    def add(self, coupling: Coupling) -> None:
        nodes = dict.fromkeys(self._node(end) for end in coupling.ends)
        if self._stands and _FIXED in nodes:
            return  # the loop is at rest at a fixed arbor: no turns to compare
        for node in nodes:
            self._at.setdefault(node, []).append(coupling)

    def locked(self) -> list[LockedLoop]:
        """Walk every connected train once, from the crank if it is of this frame."""
        loops: dict[int, LockedLoop] = {}
        for root in (self._kit.mechanism.crank, *self._at):
            if root not in self._at or root in self._turns:
                continue
            self._turns[root] = Fraction(1)
            queue = deque([root])
            while queue:
                node = queue.popleft()
                came_by = self._parent[node][0] if node in self._parent else None
                for coupling in self._at[node]:
                    if coupling is came_by:
                        continue
                    a, b = (self._node(end) for end in coupling.ends)
                    far, near = (b, a) if node == a else (a, b)
                    ratio = coupling.ratio if far == b else 1 / coupling.ratio
                    turns = self._turns[near] * ratio
                    if far not in self._turns:
                        self._turns[far] = turns
                        self._parent[far] = coupling, near
                        queue.append(far)
                    elif turns != self._turns[far] and id(coupling) not in loops:
                        arbor = coupling.ends[1] if far == b else coupling.ends[0]
                        both = self._turns[far], turns
                        loops[id(coupling)] = LockedLoop(
                            coupling, self._loop(coupling, near, far), arbor, both
                        )
        return list(loops.values())

    def _loop(self, coupling: Coupling, near: str, far: str) -> tuple[Mesh, ...]:
        there, back = self._path(near), self._path(far)
        shared = {id(c) for c in there} & {id(c) for c in back}
        ring = [*reversed(there), coupling, *back]
        return tuple(c.mesh for c in ring if id(c) not in shared)

    def _path(self, node: str) -> list[Coupling]:
        path: list[Coupling] = []
        while node in self._parent:
            coupling, node = self._parent[node]
            path.append(coupling)
        return path
