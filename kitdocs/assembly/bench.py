"""The bench that the steps are carried out on: the draft of the state, and what is known of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Set
from dataclasses import dataclass

from kitdocs.assembly.access import Access
from kitdocs.assembly.contacts import Contacts
from kitdocs.assembly.state import MACHINE, Draft, Hold, Pair
from kitdocs.finding import Finding, Place
from kitdocs.kit.model import Kit
from kitdocs.kit.parts import Washer
from kitdocs.kit.stage import PLACING, Action, Stage, Step
from kitdocs.mechanism.heights import Heights


@dataclass(frozen=True)
class Job:
    """One action as it is done to one of its items."""

    stage: Stage
    step: Step
    action: Action
    item: str
    place: Place

    @property
    def verb(self) -> str:
        return self.action.verb


class Bench:
    """A build under way. `told` are the items whose mistake has been told of."""

    def __init__(self, kit: Kit, contacts: Contacts, access: Access, heights: Heights):
        self.kit, self.contacts, self.access = kit, contacts, access
        self._heights = heights
        self.draft = Draft()
        self.told: set[str] = set()
        self._has_oil = any(part.kind == "oil" for part in kit.parts.values())
        self._moved: dict[str, Place] = {}  # where each item was last put
        self._held: dict[str, Place] = {}  # where each fastening was last driven
        self._joined: dict[Pair, tuple[int, Place]] = {}
        self._met: dict[Pair, Place] = {}
        self._now = 0  # the number of the action under way
        self._other = 0  # that of the last action that brought no teeth together
        self._builders: dict[str, tuple[Stage, Step, Place]] = {}
        for stage, step, action in kit.actions():
            if action.verb in PLACING:
                for item, place in zip(action.items, action.item_places, strict=True):
                    self._builders.setdefault(item, (stage, step, place))

    def begin(self, action: Action) -> None:
        """The next action is under way."""
        self._now += 1
        if action.verb != "mesh":
            self._other = self._now

    def fault(
        self,
        job: Job,
        rule: str,
        found: str,
        expected: str,
        mend: str = "",
        about: Iterable[str] = (),
        facts: Iterable[Place] = (),
    ) -> Iterator[Finding]:
        """Tell of a mistake, unless one about the same items has been told."""
        items = {*about} or {job.item}
        if not items & self.told:
            self.told |= items
            found = f"{job.verb} {job.item}: {found}"
            yield Finding(job.place, rule, found, expected, mend, facts=tuple(facts))

    def not_built(self, job: Job, item: str) -> Iterator[Finding]:
        """An action is done to an item, or needs one, that is not built."""
        facts = [self.kit.items[item].place]
        expected, mend = "it built by then", ""
        if item in self._builders:
            stage, step, place = self._builders[item]
            where = "" if stage is job.stage else f" of stage {stage.id}"
            expected, facts = (
                f"it built by then; step {step.number}{where} builds it",
                [place, *facts],
            )
        if item in self.kit.held:
            facts.append(self.kit.held[item].place())
        found = f"{item} is not built yet"
        yield from self.fault(job, "step-order", found, expected, mend, (item,), facts)

    def members(self, assembly: str) -> Set[str]:
        """The items of an assembly as it is now, none where there is none."""
        return self.draft.members.get(assembly, frozenset())

    def laid_together(self, job: Job) -> tuple[str, ...]:
        """The items of an action that come before the one that it is being done to."""
        return job.action.items[: job.action.item_places.index(job.place)]

    def seats_there(self, item: str) -> list[str]:
        """What is built of what an item sits on, the one that gives it its place first."""
        seats: Iterable[str] = self.contacts.seats(item)
        if self.contacts.in_frame(item) or not seats:
            seats = (*seats, *self.contacts.mates(item))
        return [seat for seat in seats if seat in self.draft.at]

    def begins(self, item: str) -> bool:
        """Whether an item needs no seat: the first of the frame, or one on an axis of its own."""
        if self.contacts.in_frame(item):
            return not self.draft.members.get(MACHINE)
        return not self.contacts.seats(item)

    def hangs(self, item: str, there: Set[str]) -> bool:
        """Whether an item comes from below: it is of the frame, or lies below its seat."""
        if self.contacts.in_frame(item):
            return True
        span = self._heights.of(item)
        for seat in self.contacts.seats(item):
            above = self._heights.of(seat)
            if seat in there and span and above and span.top <= above.bottom:
                return True
        return False

    def join(self, job: Job, moved: frozenset[str], assembly: str) -> None:
        """Items come to their place in an assembly, and their teeth to those that are there."""
        for item in sorted(moved):
            for mesh in self.kit.meshes_of.get(item, ()):
                other = mesh.other(self.kit.items[item]).id
                if other not in moved and self.draft.at.get(other) == assembly:
                    self._joined[frozenset((item, other))] = self._now, job.place
        for item in sorted(moved):
            self.draft.put("at", item, assembly)
            self._moved[item] = job.place

    def part(self, job: Job, moved: frozenset[str]) -> None:
        """Items come off the machine and lie on the bench, until they are refitted."""
        for item in sorted(moved):
            self.draft.put("at", item, job.item)
            self._moved[item] = job.place
        self.draft.put("off", job.item, True)

    def bring_together(self, job: Job, a: str, b: str) -> None:
        """Carry out what was left out: put the assembly of one on that of the other."""
        at = self.draft.at
        mine, other = (a, b) if at[a] != MACHINE else (b, a)
        assembly = at[mine]
        if assembly in self.draft.off:
            self.draft.put("off", assembly, None)
        self.join(job, frozenset(self.draft.members[assembly]), at[other])

    def hold(self, job: Job, hold: Hold) -> None:
        self.draft.put("holds", job.item, hold)
        self._held[job.item] = job.place

    def meet(self, job: Job, pair: Pair) -> None:
        self.draft.put("met", pair, True)
        self._met[pair] = job.place

    def is_late(self, pair: Pair) -> bool:
        """Whether other work was done since two items that mesh came together."""
        joined = self._joined.get(pair)
        return joined is not None and joined[0] < self._other

    def joined_at(self, pair: Pair) -> tuple[Place, ...]:
        return (self._joined[pair][1],) if pair in self._joined else ()

    def met_at(self, pair: Pair) -> tuple[Place, ...]:
        return (self._met[pair],) if pair in self._met else ()

    def mesh_place(self, pair: Pair) -> tuple[Place, ...]:
        mesh = self.kit.mesh(*pair)
        return (mesh.place,) if mesh else ()

    def history(self, item: str) -> tuple[Place, ...]:
        """Where the step is that put an item where it lies."""
        return (self._moved[item],) if item in self._moved else ()

    def held_at(self, item: str) -> tuple[Place, ...]:
        """Where the step is that made its fastening what it is, and what holds it."""
        done = (self._held[item],) if item in self._held else ()
        held = (self.kit.held[item].place(),) if item in self.kit.held else ()
        return (*done, *held)

    def oil_wanted(self, job: Job, moved: frozenset[str], there: Set[str]) -> Iterator[Finding]:
        """What turns on a post or pipe, and is put on it dry."""
        if not self._has_oil or not there:
            return
        for item in sorted(moved):
            on = self._runs_on(item)
            if on in there and not {item, on} & self.draft.oiled.keys():
                yield from self.fault(
                    job,
                    "step-oil",
                    f"{item} is put on {on} dry",
                    f"`oil: {item}` or `oil: {on}` before it",
                    about=(f"oil {item}",),
                    facts=(self.kit.arbors[self.kit.items[item].arbor].place("runs_on"),),
                )

    def _runs_on(self, item: str) -> str | None:
        placed = self.kit.items[item]
        arbor = self.kit.arbors[placed.arbor]
        shaft = self.contacts.shaft(placed.arbor)
        if arbor.runs_on is None or (shaft or item) != item or isinstance(placed.part, Washer):
            return None
        return self.contacts.shaft(arbor.runs_on)

    def loose(self) -> Iterator[tuple[str, frozenset[str]]]:
        """What nothing holds on the machine: a name for it, and all that would come off."""
        draft, seen = self.draft, set[str]()
        machine = self.members(MACHINE)
        for item in sorted(machine):
            if item in seen:
                continue
            cluster = self.contacts.cluster(draft, item)
            seen |= cluster
            if any(self.contacts.in_frame(other) for other in cluster):
                continue
            lifted = self.contacts.lifted(draft, item)
            if self.access.bars(lifted, machine, False) is None:
                yield item, cluster

    def rattling(self, assembly: str) -> frozenset[str]:
        """What nothing holds in an assembly on the bench: it may come off either way."""
        draft = self.draft
        members = frozenset(draft.members[assembly])
        clusters: list[frozenset[str]] = []
        for item in sorted(members):
            if not any(item in cluster for cluster in clusters):
                clusters.append(self.contacts.cluster(draft, item))
        largest = max(clusters, key=len)
        return frozenset(
            item
            for cluster in clusters
            if cluster is not largest and self.access.bars(cluster, members, True) is None
            for item in cluster
        )


def finished(kit: Kit, holds: Mapping[str, Hold]) -> Draft:
    """The machine as the design has it: all in place, every fastening made."""
    draft = Draft()
    for item in kit.items:
        draft.put("at", item, MACHINE)
    for item, hold in holds.items():
        draft.put("holds", item, hold)
    return draft
