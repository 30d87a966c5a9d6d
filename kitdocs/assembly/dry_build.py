"""The dry build: the steps carried out from an empty bench, and the machine that comes of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from kitdocs.assembly.access import Access
from kitdocs.assembly.actions import carry_out
from kitdocs.assembly.bench import Bench, Job, finished
from kitdocs.assembly.contacts import Contacts
from kitdocs.assembly.ends import Ends
from kitdocs.assembly.state import Change, Draft, Hold, State
from kitdocs.assembly.takings import Taking, action_taking
from kitdocs.finding import Finding
from kitdocs.kit.model import Kit
from kitdocs.kit.stage import Action, Stage, Step
from kitdocs.mechanism.heights import Heights
from kitdocs.mechanism.screws import Fastening


@dataclass(frozen=True)
class Moment:
    """One action of the build. `number` counts from 0, `faults` are what stood against it."""

    number: int
    stage: Stage
    step: Step
    action: Action
    takes: Taking
    faults: tuple[Finding, ...]
    _build: DryBuild = field(repr=False, compare=False)

    @property
    def before(self) -> State:
        return self._build.after(self.number)

    @property
    def after(self) -> State:
        return self._build.after(self.number + 1)


class DryBuild:
    """The steps of a kit, carried out in their order.

    `moments` has every action; `faults` what went wrong in any of them, at the end of a stage,
    and at the end of the build. An item that no kit has is left out: `step-item` tells of it.
    """

    def __init__(
        self,
        kit: Kit,
        fastenings: Mapping[str, Fastening],
        heights: Heights,
        access: Access,
    ):
        self._kit = kit
        self._states: dict[int, State] = {}
        self._begins: dict[tuple[str, str], int] = {}
        self._counts: dict[tuple[str, str], int] = {}
        self._ends: dict[str, int] = {}
        contacts = Contacts(kit)
        bench = Bench(kit, contacts, access, heights)
        moments: list[Moment] = []
        self._marks = [0]  # how many changes had been made after so many actions
        faults: list[Finding] = []
        design = finished(kit, {name: _made(f) for name, f in fastenings.items()})
        ends = Ends(bench, design)
        for stage in kit.stages:
            for step in stage.steps:
                self._begins[stage.id, step.id] = len(moments)
                self._counts[stage.id, step.id] = len(step.actions)
                for action in step.actions:
                    takes = action_taking(kit, fastenings, action)
                    found = tuple(_done(bench, stage, step, action, takes))
                    moments.append(Moment(len(moments), stage, step, action, takes, found, self))
                    self._marks.append(len(bench.draft.changes))
                    faults += found
            self._ends[stage.id] = len(moments)
            faults += ends.of_stage(stage)
        faults += ends.of_build()
        self.moments = tuple(moments)
        self.faults = tuple(faults)
        self._changes = tuple(bench.draft.changes)

    def after(self, actions: int) -> State:
        """The state after so many actions of the whole build."""
        if actions not in self._states:
            done, draft = self._cursor
            if done > actions:
                done, draft = 0, Draft()
            for change in self._changes[self._marks[done] : self._marks[actions]]:
                draft.redo(change)
            self._cursor = actions, draft
            self._states[actions] = draft.frozen()
        return self._states[actions]

    def moments_of(self, stage: str, step: str) -> tuple[Moment, ...]:
        """The actions of a step."""
        begin = self._begins[stage, step]
        return self.moments[begin : begin + self._counts[stage, step]]

    def changes(self, moment: Moment) -> tuple[Change, ...]:
        """What an action changed."""
        return self._changes[self._marks[moment.number] : self._marks[moment.number + 1]]

    @cached_property
    def _cursor(self) -> tuple[int, Draft]:
        return 0, Draft()

    def before_step(self, stage: str, step: str) -> State:
        """The state that a step finds, by the ids of its stage and itself."""
        return self.after(self._begins[stage, step])

    def after_step(self, stage: str, step: str) -> State:
        """The state that a step leaves."""
        return self.after(self._begins[stage, step] + self._counts[stage, step])

    def end_of(self, stage: str) -> State:
        """The state at the end of a stage."""
        return self.after(self._ends[stage])

    @property
    def last(self) -> State:
        """The state at the end of the build."""
        return self.after(len(self.moments))


def _made(fastening: Fastening) -> Hold:
    """What a fastening is in the finished machine."""
    kinds: dict[str, Hold] = {"adhesive": "glued", "press": "pressed"}
    return kinds.get(fastening.kind, "tight")


def _done(
    bench: Bench, stage: Stage, step: Step, action: Action, takes: Taking
) -> Iterator[Finding]:
    bench.begin(action)
    if action.verb == "mesh":
        if all(item in bench.kit.items for item in action.items):
            yield from carry_out(bench, Job(stage, step, action, action.items[0], action.place))
        return
    for item, place in zip(action.items, action.item_places, strict=True):
        if item in bench.kit.items:
            yield from carry_out(bench, Job(stage, step, action, item, place))
    for part, count in takes.parts.items():
        bench.draft.put("taken", part, bench.draft.taken.get(part, 0) + count)
