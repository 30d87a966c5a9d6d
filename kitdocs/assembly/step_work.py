"""What a step does to each assembly that it works at: what comes, moves, goes and is driven."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from kitdocs.assembly.dry_build import DryBuild, Moment
from kitdocs.assembly.state import MACHINE, Hold, State
from kitdocs.kit.stage import Stage, Step

#: `new` is built from stock; `placed` and `refitted` come from the bench, all as one; `removed`
#: comes off; `driven`, `slackened` and `tightened` are fasteners, `stuck` is glue or a press fit.
Kind = Literal[
    "new", "placed", "refitted", "removed",
    "driven", "slackened", "tightened", "stuck", "oiled", "met",
]  # fmt: skip
#: What is done to the fasteners of an item.
DRIVES: frozenset[Kind] = frozenset({"driven", "slackened", "tightened"})
#: What an item goes to its place by, or comes off.
MOVES: frozenset[Kind] = frozenset({"placed", "refitted", "removed"})


@dataclass(frozen=True)
class Event:
    """One thing that a step does. `items` are all that it is done to, `item` first among them."""

    kind: Kind
    item: str
    items: tuple[str, ...]


@dataclass(frozen=True)
class Work:
    """What a step does to one assembly, in its order.

    `assembly` is its name after the step; `there` are its items then, with those that came off it.
    Assemblies side by side on the bench may be one work.
    """

    assembly: str
    there: frozenset[str]
    events: tuple[Event, ...]

    def of(self, *kinds: Kind) -> Iterator[Event]:
        """The events of these kinds."""
        return (event for event in self.events if event.kind in kinds)


def step_work(build: DryBuild, stage: Stage, step: Step) -> tuple[Work, ...]:
    """A step's work by assembly: what lies on the bench first, the machine last."""
    before, after = build.before_step(stage.id, step.id), build.after_step(stage.id, step.id)
    at, holds = dict(before.at), dict(before.holds)
    found: dict[str, dict[Event, None]] = {}
    for moment in build.moments_of(stage.id, step.id):
        for event in _events(build, moment, at, holds):
            if kept := _kept(event, before, after):
                # What comes off, and the screws that let it, are told of where it was.
                was = kept.kind in ("removed", "slackened")
                assembly = (before if was else after).at[kept.item]
                found.setdefault(assembly, {})[kept] = None
    in_order = sorted(found, key=lambda assembly: assembly == MACHINE)
    return tuple(_work(name, found[name], after) for name in in_order)


def _work(assembly: str, events: Mapping[Event, None], after: State) -> Work:
    gone = {item for event in events if event.kind == "removed" for item in event.items}
    there = after.assemblies.get(assembly, frozenset())
    return Work(assembly, there | gone, tuple(events))


def _kept(event: Event, before: State, after: State) -> Event | None:
    """An event without the items that it leaves as they were, or that another event tells of."""
    if event.kind == "removed":
        items = [i for i in event.items if i in before.at and after.at[i] != before.at[i]]
    elif event.kind in MOVES:
        items = [i for i in event.items if i in before.at]
    else:
        items = list(event.items)
    if not items:
        return None
    first = event.item if event.item in items else items[0]
    return Event(event.kind, first, (first, *(i for i in items if i != first)))


def _events(
    build: DryBuild, moment: Moment, at: dict[str, str], holds: dict[str, Hold]
) -> Iterator[Event]:
    """What an action does, from what it changes; `at` and `holds` are brought up to date."""
    verb = moment.action.verb
    lay = {at[item]: item for item in reversed(moment.action.items) if item in at}
    moved: dict[str, list[str]] = {}
    for table, key, value in build.changes(moment):
        if table == "at":
            if key not in at:
                yield Event("new", key, (key,))
            else:
                # What is taken off lies under the name of the item that it was taken off by.
                name = value if verb == "remove" else lay.get(at[key], key)
                moved.setdefault(name, []).append(key)
            at[key] = value
        elif table == "holds":
            yield Event(_driven(holds.get(key, "out"), value), key, (key,))
            holds[key] = value
        elif table == "oiled":
            yield Event("oiled", key, (key,))
        elif table == "met":
            a, b = (item for item in moment.action.items if item in key)
            yield Event("met", a, (a, b))
    kind = _MOVING.get(verb, "placed")
    for name, items in moved.items():
        yield Event(kind, name if name in items else items[0], tuple(items))


#: What is done by actions that move what is built; by all others it is placed.
_MOVING: Mapping[str, Kind] = {"remove": "removed", "refit": "refitted"}


def _driven(before: Hold, after: Hold) -> Kind:
    if after in ("glued", "pressed"):
        return "stuck"
    if after == "slack":
        return "slackened"
    return "tightened" if before == "slack" else "driven"
