"""What the steps take from stock: parts by placing, fasteners by fastening.

Parts, screws and tools of a step follow from its actions; nobody types a quantity.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from kitdocs.kit.model import Kit
from kitdocs.kit.parts import Part, Supply, Tool
from kitdocs.kit.stage import FASTENING, PLACING, Action, Stage, Step
from kitdocs.mechanism.screws import Fastening

#: Actions that need the driver of the fasteners that hold their items.
DRIVING = ("fasten", "slacken", "tighten")


@dataclass(frozen=True)
class Taking:
    """What one step takes. `parts` counts part ids; `fastened` and `placed` are item ids."""

    parts: Counter[str] = field(default_factory=Counter)
    placed: tuple[str, ...] = ()
    fastened: tuple[str, ...] = ()
    drivers: tuple[str, ...] = ()
    supplies: tuple[str, ...] = ()


@dataclass(frozen=True)
class Takings:
    """Takings of the whole build and what the parcels bring, all by part id."""

    steps: Mapping[tuple[str, str], Taking]  # by stage id and step id
    stages: Mapping[str, Counter[str]]
    delivered: Mapping[str, Counter[str]]  # by delivery, without spares
    spares: Mapping[str, Counter[str]]
    used: Counter[str]
    supplies: frozenset[str]  # adhesives and oils that some step uses

    def stage_taking(self, stage: Stage) -> Taking:
        """The takings of a stage's steps together."""
        return together(self.steps[stage.id, step.id] for step in stage.steps)

    def stock_after(self, deliveries: Iterable[str]) -> Counter[str]:
        """What these parcels bring in all, without spares."""
        stock: Counter[str] = Counter()
        for delivery in deliveries:
            stock.update(self.delivered[delivery])
        return stock


def counted(part: Part) -> bool:
    """Whether a part is used up piece by piece: tools and supplies are not."""
    return not isinstance(part, (Tool, Supply))


def together(takings: Iterable[Taking]) -> Taking:
    """Several takings as one; drivers and supplies each once, in the order of their first use."""
    parts: Counter[str] = Counter()
    placed: list[str] = []
    fastened: list[str] = []
    drivers: dict[str, None] = {}
    supplies: dict[str, None] = {}
    for taking in takings:
        parts.update(taking.parts)
        placed += taking.placed
        fastened += taking.fastened
        drivers.update(dict.fromkeys(taking.drivers))
        supplies.update(dict.fromkeys(taking.supplies))
    return Taking(parts, tuple(placed), tuple(fastened), tuple(drivers), tuple(supplies))


def takings(kit: Kit, fastenings: Mapping[str, Fastening]) -> Takings:
    """What each step takes, and each parcel brings. Unknown items take nothing."""
    steps = {
        (stage.id, step.id): _step(kit, fastenings, step)
        for stage in kit.stages
        for step in stage.steps
    }
    stages: dict[str, Counter[str]] = {stage.id: Counter() for stage in kit.stages}
    for (stage, _), taking in steps.items():
        stages[stage].update(taking.parts)
    used: Counter[str] = Counter()
    for parts in stages.values():
        used.update(parts)
    return Takings(
        steps=steps,
        stages=stages,
        delivered={d: _by_part(kit, delivery.holds) for d, delivery in kit.deliveries.items()},
        spares={d: _by_part(kit, delivery.spares) for d, delivery in kit.deliveries.items()},
        used=used,
        supplies=frozenset(s for taking in steps.values() for s in taking.supplies),
    )


def _by_part(kit: Kit, written: Mapping[str, int]) -> Counter[str]:
    counts: Counter[str] = Counter()
    for reference, count in written.items():
        part = kit.part(reference)
        if part is not None:
            counts[part.id] += count
    return counts


def _step(kit: Kit, fastenings: Mapping[str, Fastening], step: Step) -> Taking:
    return together(action_taking(kit, fastenings, action) for action in step.actions)


def action_taking(kit: Kit, fastenings: Mapping[str, Fastening], action: Action) -> Taking:
    """What one action takes. Unknown items take nothing."""
    parts: Counter[str] = Counter()
    placed: list[str] = []
    fastened: list[str] = []
    drivers: dict[str, None] = {}
    supplies: dict[str, None] = {}
    if action.verb == "oil":
        supplies.update({part.id: None for part in kit.parts.values() if part.kind == "oil"})
    for name in action.items:
        item = kit.items.get(name)
        if item is None:
            continue
        fastening = fastenings.get(name)
        if action.verb in PLACING:
            placed.append(name)
            if counted(item.part):
                parts[item.part.id] += 1
        if fastening is None:
            continue
        if action.verb in FASTENING:
            fastened.append(name)
            for part, count in fastening.takes:
                if counted(part):
                    parts[part.id] += count
                else:
                    supplies[part.id] = None
        if action.verb in DRIVING and fastening.driver:
            drivers[fastening.driver] = None
    return Taking(parts, tuple(placed), tuple(fastened), tuple(drivers), tuple(supplies))
