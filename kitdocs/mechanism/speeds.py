"""Speeds out of couplings: from the crank outwards, then by naming what is not yet known.

Speeds spread from the crank from mesh to mesh. Where that stops short (a differential whose
outputs are geared together), one unknown speed is given a name and speeds spread on in terms of
it, until a mesh whose speeds are all found says what it is.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping
from fractions import Fraction

from kitdocs.kit.model import Kit, Mesh
from kitdocs.mechanism.couplings import Coupling
from kitdocs.mechanism.loops import Lock

# A speed in terms of speeds not yet known, by arbor; the known share is under "".
_Terms = dict[str, Fraction]
_KNOWN = ""


class SpeedSolver:
    """Solves the couplings of a kit once, when made.

    `contradictions` are the numbers of the couplings that the rest leaves no room for; the
    speeds found before them stand.
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
        self.contradictions: list[int] = []
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

    def locks(self) -> list[Lock]:
        """One for each contradiction, in the order in which they came up."""
        return [self._lock(number) for number in self.contradictions]

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
        self._found[arbor] = self._sum(coupling.others(arbor))
        a, b = coupling.ends
        if arbor != coupling.carrier and a != b:
            self._given_by[arbor] = number, a if arbor == b else b
        return [arbor]

    def _close(self, number: int) -> None:
        """All speeds of this coupling are found: see whether they agree with it."""
        rest = self._sum(self._couplings[number].terms)
        open_names = [name for name in rest if name != _KNOWN]
        if open_names:
            name = open_names[-1]
            factor = -rest.pop(name)
            self._named[name] = {other: share / factor for other, share in rest.items()}
        elif rest:
            self.contradictions.append(number)

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

    def _lock(self, number: int) -> Lock:
        coupling = self._couplings[number]

        def rank(arbor: str) -> tuple[bool, bool, int]:
            # The fixed wheel that a train runs into, or else what was driven last.
            end = arbor in coupling.ends
            return end, self._kit.arbors[arbor].fixed, self._order.get(arbor, -1)

        arbor = max(coupling.terms, key=rank)
        found = self._resolved(dict(self._found[arbor]))
        by_mesh = self._sum(coupling.others(arbor))
        speeds = sum(found.values(), Fraction(0)), sum(by_mesh.values(), Fraction(0))
        return Lock(coupling.mesh, self._loop(number), arbor, speeds)

    def _loop(self, number: int) -> tuple[Mesh, ...]:
        """The meshes of the ring that a coupling closes."""
        coupling = self._couplings[number]
        a, b = coupling.ends
        there, back = self._path(a), self._path(b)
        shared = set(there) & set(back)
        around = (*there, number, *back)
        if any(self._couplings[n].carrier != coupling.carrier for n in around if n not in shared):
            # How fast the carrier goes has a say in it too.
            arm = self._path(coupling.carrier) if coupling.carrier else []
            shared &= set(arm)
            back += reversed(arm)
        ring = dict.fromkeys([*reversed(there), number, *back])
        return tuple(self._couplings[n].mesh for n in ring if n not in shared)

    def _path(self, arbor: str) -> list[int]:
        """The couplings from an arbor back to where its motion comes from."""
        path: list[int] = []
        while arbor in self._given_by:
            number, arbor = self._given_by[arbor]
            path.append(number)
        return path
