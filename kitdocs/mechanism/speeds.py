"""Speeds out of couplings: from the crank outwards, then by naming what is not yet known.

Speeds spread from the crank from mesh to mesh. Where that stops short (a differential whose
outputs are geared together), one unknown speed is given a name and speeds spread on in terms of
it, until a mesh whose speeds are all found says what it is.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from kitdocs.kit.model import Kit, Mesh
from kitdocs.mechanism.couplings import Coupling


@dataclass(frozen=True)
class Lock:
    """A mesh that cannot turn with the rest: it would give `arbor` the second of two speeds.

    `loop` is the ring of meshes that disagree, the offending one among them; where a driven
    train meets a fixed wheel, it runs from the crank. `speeds` are per turn of the crank, or,
    in a loop that the crank does not drive, per turn of the arbor the loop begins at. `mesh`
    is None for a crank that is itself fixed.
    """

    mesh: Mesh | None
    loop: tuple[Mesh, ...]
    arbor: str
    speeds: tuple[Fraction, Fraction]


# A speed in terms of speeds not yet known, by arbor; the known share is under "".
_Terms = dict[str, Fraction]
_KNOWN = ""


class SpeedSolver:
    """Solves the couplings of a kit once, when made.

    `contradictions` are the couplings, by number, that the rest leaves no room for, each with
    its loop; the first speeds found stand.
    """

    def __init__(self, kit: Kit, couplings: list[Coupling]):
        self._kit = kit
        self._couplings = couplings
        self._of: dict[str, list[int]] = {arbor: [] for arbor in kit.arbors}
        for number, coupling in enumerate(couplings):
            for arbor in coupling.terms:
                self._of[arbor].append(number)
        self._found: dict[str, _Terms] = {a: {} for a, fact in kit.arbors.items() if fact.fixed}
        self._given_by: dict[str, tuple[int, str]] = {}  # arbor -> coupling, other end
        self._order: dict[str, int] = {}  # of arbors as they were found
        self._named: dict[str, _Terms] = {}  # what a named speed turned out to be
        self._used = [False] * len(couplings)
        self.contradictions: dict[int, tuple[Mesh, ...]] = {}
        self._solve(kit.mechanism.crank)

    def speeds(self) -> dict[str, Fraction]:
        """The speeds that are determined, in turns per turn of the crank."""
        speeds: dict[str, Fraction] = {}
        for arbor in self._kit.arbors:
            if arbor in self._found:
                terms = self._resolved(dict(self._found[arbor]))
                if terms.keys() <= {_KNOWN}:
                    speeds[arbor] = terms.get(_KNOWN, Fraction(0))
        return speeds

    def locks(self) -> tuple[Lock, ...]:
        """One for each contradiction, and one for a crank that is fixed."""
        crank = self._kit.mechanism.crank
        locks = [self._lock(*contradiction) for contradiction in self.contradictions.items()]
        if self._kit.arbors[crank].fixed:
            locks.append(Lock(None, (), crank, (Fraction(1), Fraction(0))))
        # A loop that stands still for another reason is not locked by its own teeth.
        return tuple(lock for lock in locks if lock.speeds[0] != lock.speeds[1])

    def _solve(self, crank: str) -> None:
        self._found[crank] = {_KNOWN: Fraction(1)}
        self._missing = [
            sum(a not in self._found or a == crank for a in c.terms) for c in self._couplings
        ]
        # The crank goes first, so that a train that runs into a fixed wheel is told as such.
        self._spread(crank)
        for number in range(len(self._couplings)):
            if self._missing[number] == 1:
                for arbor in self._take(number):
                    self._spread(arbor)
        for arbor in self._kit.arbors:
            if arbor not in self._found and self._of[arbor]:
                self._found[arbor] = {arbor: Fraction(1)}
                self._spread(arbor)

    def _spread(self, arbor: str) -> None:
        queue = deque([arbor])
        while queue:
            arbor = queue.popleft()
            self._order[arbor] = len(self._order)
            for number in self._of[arbor]:
                self._missing[number] -= 1
                if self._missing[number] == 1:
                    queue.extend(self._take(number))
                elif self._missing[number] == 0 and not self._used[number]:
                    self._close(number)

    def _take(self, number: int) -> list[str]:
        """Find the one speed that a coupling lacks; none when another has just found it."""
        coupling = self._couplings[number]
        arbor = next((a for a in coupling.terms if a not in self._found), None)
        if arbor is None:
            return []
        self._used[number] = True
        self._found[arbor] = self._speed_by(coupling, arbor)
        a, b = coupling.ends
        if arbor != coupling.carrier and a != b:
            self._given_by[arbor] = number, a if arbor == b else b
        return [arbor]

    def _speed_by(self, coupling: Coupling, arbor: str) -> _Terms:
        """What one mesh makes of an arbor's speed, the others' being what they are."""
        factor = -coupling.terms[arbor]
        return self._sum({a: f / factor for a, f in coupling.terms.items() if a != arbor})

    def _sum(self, factors: Mapping[str, Fraction]) -> _Terms:
        total: _Terms = {}
        for arbor, factor in factors.items():
            for name, share in self._found[arbor].items():
                total[name] = total[name] + factor * share if name in total else factor * share
        return self._resolved(total)

    def _resolved(self, terms: _Terms) -> _Terms:
        """The same speed in terms of those names only that are still open. Consumes `terms`."""
        while name := next((n for n in terms if n in self._named), None):
            factor = terms.pop(name)
            for other, share in self._named[name].items():
                terms[other] = terms.get(other, 0) + factor * share
        return {name: share for name, share in terms.items() if share}

    def _close(self, number: int) -> None:
        """All speeds of this coupling are found: see whether they agree with it."""
        rest = self._sum(self._couplings[number].terms)
        if not rest:
            return
        loop, on_one_carrier = self._loop(number)
        open_names = [name for name in rest if name != _KNOWN]
        # A loop that closes on one carrier agrees only at a standstill: that is no answer.
        if on_one_carrier or not open_names:
            self.contradictions[number] = loop
            return
        name = open_names[-1]
        factor = -rest.pop(name)
        self._named[name] = {other: share / factor for other, share in rest.items()}

    def _loop(self, number: int) -> tuple[tuple[Mesh, ...], bool]:
        """The meshes of the loop that a coupling closes, and whether one carrier bears all."""
        coupling = self._couplings[number]
        (path_a, root_a), (path_b, root_b) = (self._path(end) for end in coupling.ends)
        shared = set(path_a) & set(path_b)
        around = [n for n in (*path_a, *path_b) if n not in shared]
        carriers = {self._couplings[n].carrier for n in around}
        on_one_carrier = root_a == root_b and carriers <= {coupling.carrier}
        path_c: list[int] = []
        if coupling.carrier in coupling.terms and not on_one_carrier:
            path_c, _ = self._path(coupling.carrier)
            shared &= set(path_c)
        ring = dict.fromkeys([*reversed(path_a), number, *path_b, *reversed(path_c)])
        return tuple(self._couplings[n].mesh for n in ring if n not in shared), on_one_carrier

    def _path(self, arbor: str) -> tuple[list[int], str]:
        """The couplings from an arbor back to where its motion comes from, and that arbor."""
        path: list[int] = []
        while arbor in self._given_by:
            number, arbor = self._given_by[arbor]
            path.append(number)
        return path, arbor

    def _lock(self, number: int, loop: tuple[Mesh, ...]) -> Lock:
        coupling = self._couplings[number]

        def rank(arbor: str) -> tuple[bool, bool, int]:
            # The fixed wheel that a train runs into, or else what was driven last.
            end = arbor in coupling.ends
            return end, self._kit.arbors[arbor].fixed, self._order.get(arbor, -1)

        def turns(terms: _Terms) -> Fraction:
            # A loop that nothing drives: its first arbor turns once, its carrier stands.
            return sum((s for n, s in terms.items() if n != coupling.carrier), Fraction(0))

        arbor = max(coupling.terms, key=rank)
        found = self._resolved(dict(self._found[arbor]))
        return Lock(
            coupling.mesh, loop, arbor, (turns(found), turns(self._speed_by(coupling, arbor)))
        )
