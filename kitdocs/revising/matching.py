"""Which stage and which step of an earlier revision is which of a later one, and which of their
actions are the same.

A step's id follows from its first action, so a step whose actions come in another order has
another id; and the same actions may be shared out among other steps. Neither changes what a
builder has to do.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from difflib import SequenceMatcher

from kitdocs.kit.model import Kit
from kitdocs.kit.stage import FASTENING, PLACING, Action, Stage, Step

#: Verbs after which a build is what it was before.
LOOKS = ("turn", "check", "aim")
#: Verbs that are done to an item once in a whole build.
_ONCE = {*PLACING, *FASTENING, "place"}
#: What two steps must have in common, of the longer one, to be taken for one.
_ALIKE = 0.5

#: An action on one item (of a `mesh`, on both): its verb, its items and its value.
Act = tuple[str, tuple[str, ...], object]


@dataclass(frozen=True)
class Match:
    """A step before and now; None where there is none. `kept` are the actions that are done in
    other steps before or now, by the side that has them here."""

    old_stage: Stage | None
    old: Step | None
    new_stage: Stage | None
    new: Step | None
    moved: bool = False
    gone_elsewhere: tuple[Act, ...] = ()
    come_from_elsewhere: tuple[Act, ...] = ()


@dataclass(frozen=True)
class StageMatch:
    """A stage before and now, and its steps in the order of now, those that are gone last."""

    old: Stage | None
    new: Stage | None
    moved: bool
    steps: tuple[Match, ...]


def acts(step: Step | None) -> list[Act]:
    """What is done in a step, item by item."""
    return [_act(action) for action in single_actions(step)]


def single_actions(step: Step | None) -> Iterator[Action]:
    """A step's actions, each on one item; a `mesh` stays whole."""
    for action in step.actions if step else ():
        if action.verb == "mesh":
            yield action
            continue
        for item, place in zip(action.items, action.item_places, strict=True):
            yield replace(action, items=(item,), item_places=(place,))


def matched(old: Kit, new: Kit) -> tuple[StageMatch, ...]:
    """Every stage and every step of both; stages that are gone stand last."""
    pairs = _stage_pairs(old.stages, new.stages)
    both = [(a.id, b.id) for a, b in pairs if a and b]
    stages = {stage.id: n for n, stage in enumerate(old.stages)}
    moved = out_of_order([a for a, _ in sorted(both, key=lambda p: stages[p[0]])],
                         [a for a, _ in both])  # fmt: skip
    found = [
        StageMatch(a, b, bool(a and b and a.id in moved), tuple(_step_pairs(a, b)))
        for a, b in pairs
    ]
    elsewhere = _elsewhere(found)
    return tuple(
        replace(pair, steps=tuple(replace(step, **elsewhere[id(step)]) for step in pair.steps))
        for pair in found
    )


def out_of_order(before: Sequence[str], now: Sequence[str]) -> set[str]:
    """Of the names in both lists, those out of the order of the rest: as few as may be."""
    first, then = [n for n in before if n in now], [n for n in now if n in before]
    blocks = SequenceMatcher(None, first, then, autojunk=False).get_matching_blocks()
    kept = {name for block in blocks for name in first[block.a : block.a + block.size]}
    return {*first} - kept


def _act(action: Action) -> Act:
    return action.verb, action.items, action.value


def _stage_pairs(
    old: Sequence[Stage], new: Sequence[Stage]
) -> list[tuple[Stage | None, Stage | None]]:
    """Stages by their id; one whose page has another name by what is done in it."""
    before = {stage.id: stage for stage in old}
    now = {stage.id: stage for stage in new}
    partner = {name: before[name] for name in now if name in before}
    free = [stage for stage in old if stage.id not in now]
    for stage in (stage for stage in new if stage.id not in before):
        mine = [act for step in stage.steps for act in acts(step)]
        likes = [(_likeness([a for s in one.steps for a in acts(s)], mine), one) for one in free]
        best = max(likes, key=lambda like: like[0], default=(0.0, None))
        if best[0] >= _ALIKE and best[1]:
            partner[stage.id] = best[1]
            free.remove(best[1])
    return [*((partner.get(stage.id), stage) for stage in new), *((stage, None) for stage in free)]


def _step_pairs(old: Stage | None, new: Stage | None) -> Iterator[Match]:
    before = {step.id: step for step in old.steps} if old else {}
    now = {step.id: step for step in new.steps} if new else {}
    partner = {name: before[name] for name in now if name in before}
    free = [step for step in before.values() if step.id not in now]
    for step in (step for step in now.values() if step.id not in before):
        likes = [(_step_likeness(one, step), one) for one in free]
        best = max(likes, key=lambda like: like[0], default=(0.0, None))
        if best[0] >= _ALIKE and best[1]:
            partner[step.id] = best[1]
            free.remove(best[1])
    theirs = {step.id: name for name, step in partner.items()}
    order = [theirs[name] for name in before if name in theirs]
    moved = out_of_order(order, [name for name in now if name in partner])
    for step in now.values():
        yield Match(old, partner.get(step.id), new, step, step.id in moved)
    for step in free:
        yield Match(old, step, new, None)


def _step_likeness(one: Step, other: Step) -> float:
    alike = _likeness(acts(one), acts(other))
    return max(alike, _ALIKE) if alike and one.title.text == other.title.text else alike


def _likeness(one: list[Act], other: list[Act]) -> float:
    shared = (Counter(one) & Counter(other)).total()
    return shared / max(len(one), len(other), 1)


def _elsewhere(stages: Sequence[StageMatch]) -> dict[int, dict[str, tuple[Act, ...]]]:
    """What of each pair of steps is the same work in another step, by the pair."""
    found = {id(step): {"gone_elsewhere": [], "come_from_elsewhere": []}
             for pair in stages for step in pair.steps}  # fmt: skip
    gone = [(n, step, act) for n, step, act in _differing(stages, False)]
    for stage, step, act in _differing(stages, True):
        if act[0] in LOOKS:
            continue
        same = [one for one in gone if one[2] == act and (one[0] == stage or act[0] in _ONCE)]
        if same:
            one = min(same, key=lambda one: one[0] != stage)
            gone.remove(one)
            found[id(step)]["come_from_elsewhere"].append(act)
            found[id(one[1])]["gone_elsewhere"].append(act)
    return {key: {k: tuple(v) for k, v in both.items()} for key, both in found.items()}


def _differing(stages: Sequence[StageMatch], now: bool) -> Iterator[tuple[int, Match, Act]]:
    """The actions of one side that the step of the other side has not."""
    for number, pair in enumerate(stages):
        for step in pair.steps:
            here, there = (step.new, step.old) if now else (step.old, step.new)
            for act in (Counter(acts(here)) - Counter(acts(there))).elements():
                yield number, step, act
