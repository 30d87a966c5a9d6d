"""Where a sentence stands: its stage and step, and what the work there has to do with."""

from __future__ import annotations

from collections.abc import Container, Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache

from kitdocs.assembly.design import Design
from kitdocs.assembly.takings import DRIVING, Taking
from kitdocs.kit.model import Item
from kitdocs.kit.parts import Part
from kitdocs.kit.stage import FASTENING, Action, Stage, Step

#: Actions that change nothing about where their items are.
LOOKED_AT = frozenset({"mesh", "check", "turn", "aim", "oil"})


@dataclass(frozen=True)
class Scope:
    """A stage, and a step of it; without a step, the whole stage; without either, the kit.

    `part` is set for words that belong to a part, such as its name, which speak of it alone;
    `delivery` for the title of a parcel.
    """

    design: Design
    stage: Stage | None = None
    step: Step | None = None
    part: Part | None = None
    delivery: str | None = None

    @property
    def steps(self) -> tuple[Step, ...]:
        if self.step is not None:
            return (self.step,)
        return self.stage.steps if self.stage else ()

    @cached_property
    def whole_stage(self) -> Scope:
        """The same without the step."""
        return scope_of(self.design, self.stage)

    @cached_property
    def actions(self) -> tuple[Action, ...]:
        return tuple(action for step in self.steps for action in step.actions)

    @cached_property
    def acted(self) -> tuple[Item, ...]:
        """The items of its actions, each once."""
        items = self.design.kit.items
        names = (name for action in self.actions for name in action.items)
        return tuple(items[name] for name in dict.fromkeys(names) if name in items)

    @cached_property
    def acted_ids(self) -> frozenset[str]:
        return frozenset(item.id for item in self.acted)

    @cached_property
    def handled(self) -> tuple[Item, ...]:
        """The items that are put somewhere or driven, not only looked at, turned or meshed."""
        items = self.design.kit.items
        names = (n for a in self.actions if a.verb not in LOOKED_AT for n in a.items)
        return tuple(items[name] for name in dict.fromkeys(names) if name in items)

    @cached_property
    def driven(self) -> tuple[Item, ...]:
        """The items whose fasteners are driven, glued or pressed here."""
        items = self.design.kit.items
        verbs = {*FASTENING, *DRIVING}
        names = (n for a in self.actions if a.verb in verbs for n in a.items if n in items)
        return tuple(items[name] for name in dict.fromkeys(names))

    @cached_property
    def taking(self) -> Taking:
        takings = self.design.takings
        if self.stage is None:
            return Taking()
        if self.step is not None:
            return takings.steps[self.stage.id, self.step.id]
        return takings.stage_taking(self.stage)

    @cached_property
    def near(self) -> frozenset[str]:
        """The items that the work has to do with: acted on, beside those, or what they run on,
        hold, mesh with or stand on. Of the kit as a whole, all."""
        kit = self.design.kit
        if self.stage is None:
            return frozenset(kit.items)
        found: dict[str, None] = {}
        for item in self.acted:
            found.update(dict.fromkeys(beside(self.design, item)))
        return frozenset(found)

    @cached_property
    def reach(self) -> tuple[frozenset[str], frozenset[str]]:
        """The items that are near or built when its work is done, and the parts that it may then
        speak of."""
        return self._reach(stage_only=False)

    @cached_property
    def stage_reach(self) -> tuple[frozenset[str], frozenset[str]]:
        """The same without what earlier stages built."""
        return self._reach(stage_only=True)

    def _reach(self, stage_only: bool) -> tuple[frozenset[str], frozenset[str]]:
        kit, stage = self.design.kit, self.stage
        assert stage is not None
        items = self.near | (self._placed(stage) if stage_only else self.built)
        return items, frozenset({kit.items[i].part.id for i in items} | self.parts)

    @cached_property
    def built(self) -> frozenset[str]:
        """The items that are put somewhere by the end of its work."""
        assert self.stage is not None
        here = self._placed(self.stage)
        if self.stage.number == 1:
            return here
        earlier = scope_of(self.design, self.design.kit.stages[self.stage.number - 2])
        return here | earlier.built

    def _placed(self, stage: Stage) -> frozenset[str]:
        """The items that a stage puts somewhere; of its own stage only up to its step."""
        found: set[str] = set()
        for step in stage.steps:
            found.update(self.design.takings.steps[stage.id, step.id].placed)
            if self.step is not None and stage is self.stage and step.id == self.step.id:
                break
        return frozenset(found)

    @cached_property
    def parts(self) -> frozenset[str]:
        """The ids of the parts that it may speak of: of those items, of what it takes, and of
        its tools and supplies."""
        kit = self.design.kit
        if self.stage is None:
            return frozenset(kit.parts)
        found = {kit.items[name].part.id for name in self.near}
        found |= {*self.taking.parts, *self.taking.supplies, *self.stage.front.tools}
        found |= self.fastener_ids
        return frozenset(found)

    @cached_property
    def fastener_ids(self) -> frozenset[str]:
        """Parts that hold the items of its actions."""
        fastenings = self.design.fastenings
        held = (fastenings[item.id] for item in self.driven if item.id in fastenings)
        parts = [part for f in held for part in (f.part, f.washer) if part is not None]
        return frozenset({part.id for part in parts} | set(self.taking.parts))

    @cached_property
    def drivers(self) -> frozenset[str]:
        """Drivers of the fasteners that hold its items."""
        fastenings = self.design.fastenings
        held = (fastenings[item.id] for item in self.acted if item.id in fastenings)
        found = {f.driver for f in held if f.driver} | set(self.taking.drivers)
        return frozenset(found)


def scope_of(design: Design, stage: Stage | None = None, step: Step | None = None) -> Scope:
    """A place of a design, the same for each of its languages, so that what the work there has to
    do with is worked out once."""
    known = _scopes(design)
    key = stage.id if stage else "", step.id if step else ""
    if key not in known:
        known[key] = Scope(design, stage, step)
    return known[key]


@lru_cache(maxsize=4)
def _scopes(design: Design) -> dict[tuple[str, str], Scope]:
    return {}


def beside(design: Design, item: Item) -> tuple[str, ...]:
    """The items that one has to do with: itself, what holds it, meshes with it, lies next to it,
    and the shafts that it runs on; each once."""
    known = _known_beside(design)
    if item.id not in known:
        known[item.id] = tuple(dict.fromkeys(_beside(design, item)))
    return known[item.id]


@lru_cache(maxsize=4)
def _known_beside(design: Design) -> dict[str, tuple[str, ...]]:
    return {}


def _beside(design: Design, item: Item) -> Iterator[str]:
    kit, fixed = design.kit, _beside_of(design)
    yield item.id
    if held := kit.held.get(item.id):
        yield held.to
    yield from fixed.get(item.id, ())
    yield from (mesh.other(item).id for mesh in kit.meshes_of.get(item.id, ()))
    arbor = kit.arbors[item.arbor]
    row = kit.on_arbor[item.arbor]
    at = row.index(item)
    yield from (near.id for near in row[max(0, at - 2) : at + 3])
    yield from _shafts(kit.items, item.arbor, arbor.runs_on, arbor.stands_on)
    carrier = kit.carrier(item.arbor)
    if carrier:
        yield from _shafts(kit.items, carrier)


@lru_cache(maxsize=4)
def _beside_of(design: Design) -> dict[str, list[str]]:
    """What is held to each item, runs on it or stands on it."""
    kit = design.kit
    found: dict[str, list[str]] = {}
    for name, held in kit.held.items():
        found.setdefault(held.to, []).append(name)
    for name, arbor in kit.arbors.items():
        for below in (arbor.runs_on, arbor.stands_on):
            if below is not None and name in kit.items:
                found.setdefault(below, []).append(name)
    return found


def _shafts(items: Container[str], *names: str | None) -> Iterator[str]:
    yield from (name for name in names if name is not None and name in items)
