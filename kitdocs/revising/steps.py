"""Which steps a builder of an earlier revision has to look at again, and why."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping

from kitdocs.assembly.design import Design
from kitdocs.assembly.hazards import stage_hazards
from kitdocs.assembly.takings import action_taking
from kitdocs.kit.errata import Before, Change, ChangedStage, ChangedStep
from kitdocs.kit.stage import FASTENING, PLACING, Step
from kitdocs.revising.matching import (
    LOOKS,
    Act,
    Match,
    StageMatch,
    acts,
    matched,
    out_of_order,
    single_actions,
)
from kitdocs.revising.telling import Telling
from kitdocs.words.cautions import cautions_for

#: What is not undone when a step is dropped.
_LEAVES_NOTHING = {*LOOKS, "oil"}


class Revisions:
    """Two designs of one kit, the earlier and the later, compared as a builder meets them."""

    def __init__(self, old: Design, new: Design, telling: Telling | None = None):
        self.old, self.new = old, new
        self.telling = telling or Telling(old, new)
        self._rearranged = _rearranged(old, new)

    def stages(self) -> tuple[ChangedStage, ...]:
        """The stages in which something has changed; those that are gone stand at the end."""
        found = (self._stage(pair) for pair in matched(self.old.kit, self.new.kit))
        return tuple(one for one in found
                     if one.steps or one.parcel or one.number or one.cautions)  # fmt: skip

    def _stage(self, pair: StageMatch) -> ChangedStage:
        old, new = pair.old, pair.new
        side = 1 if new else 0
        stage = new or old
        assert stage
        title, others = self.telling.title(lambda c: self.telling.names(c, side).stage(stage))
        steps = (self._step(match) for match in pair.steps)
        return ChangedStage(
            stage=stage.id,
            title=title,
            parcel=self._parcel(pair),
            number=Before(before=str(old.number), now=str(new.number))
            if pair.moved and old and new
            else None,
            cautions=self._cautions(pair),
            steps=tuple(step for step in steps if step),
            translated=others,
        )

    def _parcel(self, pair: StageMatch) -> Before | None:
        """The parcel that a stage is built from, where it is another."""
        if not (pair.old and pair.new):
            return None
        was, is_ = pair.old.front.delivery, pair.new.front.delivery
        if was == is_:
            return None
        names = self.telling.names
        return self.telling.before(
            lambda code: names(code, 0).delivery(was), lambda code: names(code, 1).delivery(is_)
        )

    def _cautions(self, pair: StageMatch) -> tuple:
        """The cautions that are new to a stage that there was."""
        if not (pair.old and pair.new):
            return ()
        new = stage_hazards(self.new, pair.new) - stage_hazards(self.old, pair.old)
        return tuple(caution.hazard for caution in cautions_for(new))

    def _step(self, match: Match) -> ChangedStep | None:
        stage, step, side = match.new_stage, match.new, 1
        if step is None:
            stage, step, side = match.old_stage, match.old, 0
        assert stage and step
        parts = self._parts(match)
        figures: tuple[Before, ...] = ()
        if match.old and match.new:
            assert match.old_stage and match.new_stage
            both = match.old_stage, match.old, match.new_stage, match.new
            figures = self.telling.figures(*both)
            changes = self._changes(match, bool(parts))
            if figures and not {*changes} & {"parts", "actions", "looks", "order"}:
                changes = (*changes, "figures")
        else:
            changes = self._whole(match, step, "new" if side else "dropped")
        if not changes:
            return None
        title, others = self.telling.title(
            lambda code: self.telling.step_title(code, side, stage, step)
        )
        return ChangedStep(
            step=step.id,
            title=title,
            changes=changes,
            parts=parts,
            figures=figures if "figures" in changes else (),
            translated=others,
        )

    def _whole(self, match: Match, step: Step, change: Change) -> tuple[Change, ...]:
        """Of a step that there was not, or is no more."""
        own = Counter(acts(step))
        own -= Counter(match.come_from_elsewhere if change == "new" else match.gone_elsewhere)
        verbs = {verb for verb, _, _ in own}
        if not verbs - {*LOOKS} and (match.come_from_elsewhere or match.gone_elsewhere):
            return change, "regrouped"
        idle = verbs <= ({*LOOKS} if change == "new" else _LEAVES_NOTHING)
        return (change, "looks") if idle else (change,)

    def _changes(self, match: Match, has_parts: bool) -> tuple[Change, ...]:
        """Of a step that there was and is."""
        before, now = acts(match.old), acts(match.new)
        gone = Counter(before) - Counter(now) - Counter(match.gone_elsewhere)
        come = Counter(now) - Counter(before) - Counter(match.come_from_elsewhere)
        idle = {verb for verb, _, _ in gone} <= _LEAVES_NOTHING
        idle = idle and {verb for verb, _, _ in come} <= {*LOOKS}
        shared = Counter(before) & Counter(now)
        changes: list[Change] = ["moved"] if match.moved else []
        if match.gone_elsewhere or match.come_from_elsewhere:
            changes.append("regrouped")
        if has_parts:
            changes.append("parts")
        if not idle or self._done_otherwise(shared, has_parts):
            changes.append("actions")
        elif gone or come:
            changes.append("looks")
        elif _among(before, shared) != _among(now, shared):
            changes.append("order")
        return tuple(changes)

    def _done_otherwise(self, shared: Iterable[Act], has_parts: bool) -> bool:
        """Whether the same action now holds an item otherwise, or puts it in another place."""
        old, new = self.old.kit.held, self.new.kit.held
        for verb, items, _ in shared:
            item = items[0]
            if verb in (*PLACING, "place") and item in self._rearranged:
                return True
            if verb in FASTENING and not has_parts and item in old and item in new:
                was, is_ = old[item], new[item]
                if (was.to, was.holes) != (is_.to, is_.holes):
                    return True
        return False

    def _parts(self, match: Match) -> tuple[Before, ...]:
        """What a step takes otherwise, but for what other steps took before or take now."""
        before = _taken(self.old, match.old, match.gone_elsewhere)
        now = _taken(self.new, match.new, match.come_from_elsewhere)
        return self.telling.parts(self.telling.changes(before, now))


def _taken(design: Design, step: Step | None, but: Iterable[Act]) -> Mapping[str, int]:
    """What a step takes by its actions; supplies count once."""
    left = Counter(but)
    parts: Counter[str] = Counter()
    supplies: dict[str, int] = {}
    for action in single_actions(step):
        act = action.verb, action.items, action.value
        if left[act]:
            left[act] -= 1
            continue
        if action.verb == "oil":  # oil is nobody's to change
            continue
        taking = action_taking(design.kit, design.fastenings, action)
        parts += taking.parts
        supplies |= dict.fromkeys(taking.supplies, 1)
    return parts | Counter(supplies)


def _among(done: list[Act], wanted: Mapping[Act, int]) -> list[Act]:
    return [act for act in done if act in wanted]


def _rearranged(old: Design, new: Design) -> frozenset[str]:
    """The items that stand on another arbor, in another order, or upon another thing."""
    found: set[str] = set()
    before, now = old.kit, new.kit
    for name, item in now.items.items():
        was = before.items.get(name)
        if was and (was.arbor, was.where) != (item.arbor, item.where):
            found.add(name)
    for arbor, items in now.on_arbor.items():
        if arbor not in before.arbors:
            continue
        order = [item.id for item in before.on_arbor[arbor]]
        found |= out_of_order(order, [item.id for item in items])
        was, is_ = before.arbors[arbor], now.arbors[arbor]
        if (was.runs_on, was.stands_on, was.axis) != (is_.runs_on, is_.stands_on, is_.axis):
            found.add(arbor)
    return frozenset(found)
