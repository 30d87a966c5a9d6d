"""How fast every arbor turns, exactly, and which mesh drives it."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from kitdocs.kit.model import Item, Kit, Mesh
from kitdocs.mechanism.couplings import Coupling, couplings
from kitdocs.mechanism.loops import Lock, locked_loops
from kitdocs.mechanism.speeds import SpeedSolver


@dataclass(frozen=True)
class Link:
    """One mesh as a link of a train, in the sense in which motion goes through it.

    `ratio` is turns of the driven for one turn of the driver, positive when both go the same
    way, both counted against `carrier` (None: against the frame).
    """

    mesh: Mesh
    driver: Item
    driven: Item
    ratio: Fraction
    carrier: str | None


@dataclass(frozen=True)
class Motion:
    """The machine's motion for one turn of the crank.

    `speeds`: turns of each determined arbor, positive anticlockwise seen from above (for an
    axis that lies level, seen from its outer end). An arbor whose axis lies level on an upright
    carrier is counted about its own axis only. `links`: the mesh that drives each arbor, as
    trees from the crank, then from what is fixed; an arbor that only several meshes together
    determine has none. `undetermined`: arbors that nothing drives. `uncoupled`: meshes whose
    axes have no common carrier; they carry no motion.
    """

    speeds: Mapping[str, Fraction]
    links: Mapping[str, Link]
    undetermined: tuple[str, ...]
    locks: tuple[Lock, ...]
    uncoupled: tuple[Mesh, ...]


def solve(kit: Kit) -> Motion:
    """Every speed that the machine's meshes determine, and where they contradict.

    Two wheels that cannot run together carry no motion.
    """
    found, uncoupled = couplings(kit)
    loops = locked_loops(kit, found)
    locked = {id(loop.coupling) for loop in loops}
    agreeing = [coupling for coupling in found if id(coupling) not in locked]
    solver = SpeedSolver(kit, agreeing)
    speeds = solver.speeds()
    locks = [*(loop.lock(speeds) for loop in loops), *solver.locks()]
    crank = kit.mechanism.crank
    if kit.arbors[crank].fixed:
        locks.append(Lock(None, (), crank, (Fraction(1), Fraction(0))))
    at_odds = set(solver.contradictions)
    return Motion(
        speeds,
        _links(kit, speeds, (c for n, c in enumerate(agreeing) if n not in at_odds)),
        tuple(arbor for arbor in kit.arbors if arbor not in speeds),
        # What stands still for another reason is not locked by its own teeth.
        tuple(lock for lock in locks if lock.speeds[0] != lock.speeds[1]),
        uncoupled,
    )


def _links(
    kit: Kit, speeds: Mapping[str, Fraction], agreeing: Iterable[Coupling]
) -> dict[str, Link]:
    """Which mesh drives which arbor: the shortest way from the crank, then from what is fixed."""
    at: dict[str, list[Coupling]] = {arbor: [] for arbor in kit.arbors}
    for coupling in agreeing:
        if coupling.carrier is None or coupling.carrier in speeds:
            for end in dict.fromkeys(coupling.ends):
                at[end].append(coupling)
    fixed = [arbor for arbor, fact in kit.arbors.items() if fact.fixed]
    # A carrier that has no mesh of its own begins a train of its own.
    carriers = [axis.carried_by for axis in kit.axes.values() if axis.carried_by]
    links: dict[str, Link] = {}
    reached: set[str] = set()
    for root in (kit.mechanism.crank, *fixed, *carriers, *kit.arbors):
        if root in reached or root not in speeds:
            continue
        reached.add(root)
        queue = deque([root])
        while queue:
            arbor = queue.popleft()
            for coupling in at[arbor]:
                link = _link(coupling, arbor)
                driven = link.driven.arbor
                if driven in reached or driven not in speeds or driven == link.carrier:
                    continue
                if not kit.arbors[driven].fixed:
                    reached.add(driven)
                    links[driven] = link
                    queue.append(driven)
    return links


def _link(coupling: Coupling, driver: str) -> Link:
    mesh = coupling.mesh
    if driver == mesh.a.arbor:
        return Link(mesh, mesh.a, mesh.b, coupling.ratio, coupling.carrier)
    return Link(mesh, mesh.b, mesh.a, 1 / coupling.ratio, coupling.carrier)
