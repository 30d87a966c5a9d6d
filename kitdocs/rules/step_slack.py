"""step-slack: what a stage slackens or removes, it tightens or refits."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding, Place
from kitdocs.kit.stage import FASTENING, PLACING, Action
from kitdocs.rules.rule import rule


@rule(
    "step-slack",
    group="Steps",
    demand="an item is removed before it is refitted and slackened before it is tightened; a "
    "stage ends with everything back in place and tight",
    source="our own: instructions must be possible in every step",
    example="a stage removes the Venus arm and refits the Venus washer only",
    after=("step-facts",),
    follows=("step-item", "stage-order", "build-once"),
)
def step_slack(design: Design) -> Iterator[Finding]:
    bench = _Bench(design)
    for stage in design.kit.stages:
        for step in stage.steps:
            for action in step.actions:
                yield from bench.carry_out(action)
        yield from bench.left_over(stage.id)


@dataclass
class _Bench:
    """Which items are off, and which fastenings are slack, with where that was done."""

    design: Design
    off: dict[str, Place] = field(default_factory=dict)
    slack: dict[str, Place] = field(default_factory=dict)
    in_place: set[str] = field(default_factory=set)
    fastened: set[str] = field(default_factory=set)

    def carry_out(self, action: Action) -> Iterator[Finding]:
        for name, place in zip(action.items, action.item_places, strict=True):
            if name not in self.design.kit.items:
                continue  # step-item tells of it
            if action.verb in PLACING:
                self.in_place.add(name)
            if action.verb in FASTENING:
                self.fastened.add(name)
            if fault := self._fault(action, name):
                before = [done[name] for done in (self.slack, self.off) if name in done]
                yield Finding(
                    place,
                    "step-slack",
                    f"{action.verb} {name}: {fault[0]}",
                    fault[1],
                    facts=tuple(before),
                )
            self._done(action.verb, name, place)

    def _fault(self, action: Action, name: str) -> tuple[str, str] | None:
        """What stands against an action that undoes or redoes, and what was expected."""
        verb, driven = action.verb, self.design.fastenings.get(name)
        screwed = driven is not None and driven.kind in ("screw", "set-screw")
        tight = name in self.fastened and name not in self.slack
        # What is screwed to something that comes off with it may stay screwed.
        as_one = driven is not None and driven.host.id in (*action.items, *self.off)
        if verb == "refit" and name not in self.off:
            return "it was not removed", "`remove` before it"
        if verb == "tighten" and name not in self.slack:
            return "it was not slackened", "`slacken` before it"
        if verb == "tighten" and name in self.off:
            return "it is off the machine", "`refit` before it"
        if verb in ("remove", "slacken") and name in self.off:
            return "it is off the machine already", "an item in its place"
        if verb == "slacken" and not tight:
            return "it is not tight", "`fasten` before it"
        if verb == "remove" and screwed and tight and not as_one:
            return "its fasteners are tight", "`slacken` before it"
        return None

    def _done(self, verb: str, name: str, place: Place) -> None:
        if verb == "remove" and name in self.in_place:
            self.off[name] = place
        elif verb == "refit":
            self.off.pop(name, None)
        elif verb == "slacken":
            self.slack[name] = place
        elif verb == "tighten":
            self.slack.pop(name, None)

    def left_over(self, stage: str) -> Iterator[Finding]:
        for items, state, mend in (
            (self.off, "still off", "refit"),
            (self.slack, "still slack", "tighten"),
        ):
            for name, place in items.items():
                yield Finding(
                    place,
                    "step-slack",
                    f"{name} is {state} at the end of stage {stage}",
                    "everything back in place and tight",
                    f"Add `{mend}: {name}` to a later step of the stage.",
                )
            items.clear()
