"""Which earlier step an action goes back to: what it undoes, does again or takes up."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kitdocs.assembly.dry_build import DryBuild, Moment
from kitdocs.kit.stage import FASTENING, Stage, Step


@dataclass(frozen=True, eq=False)
class Done:
    """A step that did something, on its stage. There is one of each step."""

    stage: Stage
    step: Step


class History:
    """What was done before, and by which step.

    `slacken` and `tighten` go back to the step that last drove the fasteners, `remove` to the one
    that put the item in its place, `refit` to the one that took it off, and `place` to the one
    that last worked at what lies on the bench.
    """

    def __init__(self, build: DryBuild):
        self._build = build
        self._found: dict[tuple[str, str, str, str], Done] = {}
        self._fastens: dict[str, Done] = {}
        self._at: dict[str, str] = {}
        self._moved: dict[str, Done] = {}
        self._held: dict[str, Done] = {}
        self._worked: dict[str, Done] = {}
        done: Done | None = None
        for moment in build.moments:
            if done is None or done.step is not moment.step:
                done = Done(moment.stage, moment.step)
            self._carry(moment, done)

    def before(self, stage: Stage, step: Step, verb: str, item: str) -> Done | None:
        """The step that an action of this step goes back to; None where there is none."""
        return self._found.get((stage.id, step.id, verb, item))

    @property
    def fastens(self) -> Mapping[str, Done]:
        """By item: the step that first makes its fastening."""
        return self._fastens

    def _carry(self, moment: Moment, done: Done) -> None:
        verb = moment.action.verb
        for item in moment.action.items:
            if earlier := self._earlier(verb, item):
                self._found.setdefault((done.stage.id, done.step.id, verb, item), earlier)
            if verb in FASTENING:
                self._fastens.setdefault(item, done)
        for table, key, value in self._build.changes(moment):
            if table == "at":
                self._at[key] = value
                self._moved[key] = self._worked[value] = done
            elif table == "holds":
                self._held[key] = done
                self._worked[self._at.get(key, "")] = done

    def _earlier(self, verb: str, item: str) -> Done | None:
        if verb in ("slacken", "tighten"):
            return self._held.get(item)
        if verb in ("remove", "refit"):
            return self._moved.get(item)
        if verb == "place":
            return self._worked.get(self._at.get(item, ""))
        return None
