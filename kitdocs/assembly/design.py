"""A kit together with everything computed from it, each once and only when asked for."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from functools import cached_property
from typing import TYPE_CHECKING

from kitdocs.assembly.access import Access
from kitdocs.assembly.dry_build import DryBuild
from kitdocs.assembly.history import History
from kitdocs.assembly.proof import Proof, proofs
from kitdocs.assembly.sub_machine import built_heights, sub_machine
from kitdocs.assembly.takings import Takings, takings
from kitdocs.kit.limits import Limit, kit_limits
from kitdocs.kit.model import Kit
from kitdocs.mechanism.backlash import FreePlay, free_plays
from kitdocs.mechanism.clashes import CLASH_LIMITS, Clash, clashes
from kitdocs.mechanism.endplay import EndPlay, Facings
from kitdocs.mechanism.fits import Pairing, pairings
from kitdocs.mechanism.heights import Heights, heights
from kitdocs.mechanism.motion import Motion, solve
from kitdocs.mechanism.positions import Point, positions
from kitdocs.mechanism.rigid import Rigid
from kitdocs.mechanism.screws import Fastening, fastenings
from kitdocs.mechanism.solids import Solid, solids
from kitdocs.mechanism.trains import Train, trains

if TYPE_CHECKING:
    from kitdocs.assembly.misbuild import Fault


class Design:
    """The kit and its results. Nothing in it changes once it has been computed.

    `heights` are given where they do not follow from the kit: those of a part of a machine.
    """

    def __init__(self, kit: Kit, heights: Heights | None = None):
        self.kit = kit
        self._machines: dict[tuple[frozenset[str], str | None], Design] = {}
        if heights is not None:
            self.heights = heights

    def of_items(self, items: Collection[str], crank: str | None = None) -> Design:
        """The machine as far as these items go, each at its height in the whole machine.

        `crank` is an arbor that is turned in place of the crank.
        """
        key = frozenset(items), crank
        if key not in self._machines:
            kit = sub_machine(self.kit, key[0], crank)
            self._machines[key] = Design(kit, built_heights(self.heights, key[0]))
        return self._machines[key]

    @cached_property
    def built(self) -> Mapping[str, frozenset[str]]:
        """The items that are in their place on the machine at each stage's end, by stage."""
        return {stage.id: self.dry_build.end_of(stage.id).machine for stage in self.kit.stages}

    @cached_property
    def proofs(self) -> Mapping[str, Proof]:
        """By stage; of those whose last step turns something."""
        return proofs(self)

    @cached_property
    def faults(self) -> Mapping[str, tuple[Fault, ...]]:
        """What mistakes show, by stage. Only pages ask for it: it takes a while."""
        from kitdocs.assembly.misbuild import faults  # noqa: PLC0415  (it compares designs)

        return faults(self)

    @cached_property
    def _limits(self) -> Mapping[str, Limit]:
        return kit_limits(self.kit.about.limits)

    def limit(self, name: str) -> Limit:
        """A limit as this kit has it (`kit/limits.py`)."""
        return self._limits[name]

    @cached_property
    def motion(self) -> Motion:
        return solve(self.kit)

    @cached_property
    def trains(self) -> Mapping[str, Train]:
        """By body id; a body whose arbor is not driven has none."""
        return trains(self.kit, self.motion)

    @cached_property
    def positions(self) -> Mapping[str, Point]:
        return positions(self.kit)

    @cached_property
    def heights(self) -> Heights:
        return heights(self.kit)

    @cached_property
    def fastenings(self) -> Mapping[str, Fastening]:
        """By the id of the item that is held."""
        return fastenings(self.kit, self.heights)

    @cached_property
    def free_plays(self) -> Mapping[str, FreePlay]:
        """By body id; of what the crank drives over one chain of meshes."""
        return free_plays(self.kit, self.motion, self.positions)

    @cached_property
    def rigid(self) -> Rigid:
        return Rigid(self.kit, self.positions)

    @cached_property
    def solids(self) -> list[Solid]:
        return solids(self.kit, self.heights, self.fastenings)

    @cached_property
    def facings(self) -> Facings:
        return Facings(self.kit, self.heights, self.solids, self.rigid)

    @cached_property
    def end_plays(self) -> Mapping[str, EndPlay]:
        """By arbor; of those that turn and have something above them."""
        return self.facings.end_plays()

    @cached_property
    def clashes(self) -> list[Clash]:
        """What comes nearer to something else than this kit's limits let it."""
        wanted = {name: self.limit(name).least or 0.0 for name in CLASH_LIMITS}
        return clashes(self.kit, self.solids, self.rigid, wanted)

    @cached_property
    def pairings(self) -> tuple[Pairing, ...]:
        """Every shaft in a hole."""
        return tuple(pairings(self.kit, self.heights, self.positions))

    @cached_property
    def takings(self) -> Takings:
        return takings(self.kit, self.fastenings)

    @cached_property
    def access(self) -> Access:
        """What lies in the way of what."""
        return Access(self.kit, self.heights, self.solids, self.rigid, self.positions)

    @cached_property
    def dry_build(self) -> DryBuild:
        """The steps carried out, from an empty bench."""
        return DryBuild(self.kit, self.fastenings, self.heights, self.access)

    @cached_property
    def history(self) -> History:
        """Which earlier steps the steps go back to."""
        return History(self.dry_build)
