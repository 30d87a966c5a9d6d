"""A kit together with everything computed from it, each once and only when asked for."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

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


class Design:
    """The kit and its results. Nothing in it changes once it has been computed."""

    def __init__(self, kit: Kit):
        self.kit = kit

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
