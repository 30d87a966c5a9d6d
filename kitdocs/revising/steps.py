"""Which steps a builder of an earlier revision has to look at again, and why."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from difflib import SequenceMatcher
from html import unescape

from kitdocs.assembly.design import Design
from kitdocs.kit.errata import Before, Change, ChangedParcel, ChangedStage, ChangedStep
from kitdocs.kit.parts import Part
from kitdocs.kit.stage import Stage, Step
from kitdocs.words.expressions import Prose
from kitdocs.words.names import Names
from kitdocs.words.part_facts import part_facts

#: What of a part is only words, so that another wording asks nothing of a builder.
_WORDS = ("name", "plural", "spoken", "note", "own", "hazards")


class Revisions:
    """Two designs of one kit, the earlier and the later, compared as a builder meets them."""

    def __init__(self, old: Design, new: Design):
        self.old, self.new = old, new
        self._names = Names(old.kit), Names(new.kit)
        self._prose = Prose(old), Prose(new)

    def stages(self) -> tuple[ChangedStage, ...]:
        """The stages with steps that have changed; dropped stages stand at the end."""
        before = {stage.id: stage for stage in self.old.kit.stages}
        now = {stage.id: stage for stage in self.new.kit.stages}
        changed = []
        for name in dict.fromkeys((*now, *before)):
            steps = tuple(self._steps(before.get(name), now.get(name)))
            if steps:
                title = (now.get(name) or before[name]).title
                changed.append(ChangedStage(stage=name, title=title, steps=steps))
        return tuple(changed)

    def parcels(self, sent: Iterable[str]) -> tuple[ChangedParcel, ...]:
        """The parcels that hold other parts, or parts made otherwise; `sent` are parcel ids."""
        before, now = self.old.kit.deliveries, self.new.kit.deliveries
        out = set(sent)
        changed = []
        for name in dict.fromkeys((*now, *before)):
            counts = [
                design.takings.delivered.get(name, Counter())
                + design.takings.spares.get(name, Counter())
                for design in (self.old, self.new)
            ]
            parts = tuple(self._parts(*counts))
            if parts:
                title = (now.get(name) or before[name]).title
                state = "sent" if name in out else "waiting"
                changed.append(ChangedParcel(delivery=name, title=title, state=state, parts=parts))
        return tuple(changed)

    def _steps(self, old: Stage | None, new: Stage | None) -> Iterator[ChangedStep]:
        before = {step.id: step for step in old.steps} if old else {}
        now = {step.id: step for step in new.steps} if new else {}
        moved = _moved([*before], [*now])
        for step_id in dict.fromkeys((*now, *before)):
            was, is_ = before.get(step_id), now.get(step_id)
            if was and is_ and old and new:
                changed = self._step(old, was, new, is_, step_id in moved)
                if changed.changes:
                    yield changed
            elif is_ and new:
                yield self._whole(new, is_, "new", 1)
            elif was and old:
                yield self._whole(old, was, "dropped", 0)

    def _whole(self, stage: Stage, step: Step, change: Change, side: int) -> ChangedStep:
        taken = (self.old, self.new)[side].takings.steps[stage.id, step.id].parts
        parts = tuple(self._parts({}, taken) if side else self._parts(taken, {}))
        title = self._prose[side].text(step.title, stage=stage)[0]
        return ChangedStep(step=step.id, title=title, changes=(change,), parts=parts)

    def _step(self, old: Stage, was: Step, new: Stage, step: Step, moved: bool) -> ChangedStep:
        taken = [
            design.takings.steps[stage.id, step.id].parts
            for design, stage in ((self.old, old), (self.new, new))
        ]
        parts = tuple(self._parts(*taken))
        figures = tuple(self._figures(old, was, new, step))
        changes: list[Change] = ["moved"] if moved else []
        if parts:
            changes.append("parts")
        if _done(was) != _done(step):
            changes.append("actions")
        if figures and not changes:
            changes.append("figures")
        return ChangedStep(
            step=step.id,
            title=self._prose[1].text(step.title, stage=new)[0],
            changes=tuple(changes),
            parts=parts,
            figures=figures if "figures" in changes else (),
        )

    def _parts(self, before: Mapping[str, int], now: Mapping[str, int]) -> Iterator[Before]:
        """Parts that are taken more or less often than before, or are made otherwise."""
        for part_id in dict.fromkeys((*before, *now)):
            was, is_ = self.old.kit.parts.get(part_id), self.new.kit.parts.get(part_id)
            counts = before.get(part_id, 0), now.get(part_id, 0)
            if counts[0] == counts[1] and was and is_ and _made(was) == _made(is_):
                continue
            otherwise = bool(was and is_ and all(counts) and _made(was) != _made(is_))
            yield Before(
                before=self._told(0, was, counts[0], otherwise and part_facts(self._names[1], is_)),
                now=self._told(1, is_, counts[1], otherwise and part_facts(self._names[0], was)),
            )

    def _told(self, side: int, part: Part | None, count: int, but: object) -> str | None:
        """So many of a part; with those of its facts that are not `but` the same."""
        if part is None or not count:
            return None
        names = self._names[side]
        name = names.counted(count, part)
        told = part_facts(names, part)
        facts = [fact for fact in told if isinstance(but, tuple) and fact not in but]
        return f"{name} ({', '.join(facts)})" if facts else name

    def _figures(self, old: Stage, was: Step, new: Stage, step: Step) -> Iterator[Before]:
        """Sentences of equal wording that read otherwise, since a figure in them is another."""
        if was.words.text != step.words.text:
            return
        texts = [
            self._prose[side].text(words, stage=stage)[0]
            for side, stage, words in ((0, old, was.words), (1, new, step.words))
        ]
        pairs = zip(*(text.splitlines() for text in texts), strict=False)
        for before, now in pairs:
            if before != now:
                yield Before(before=_bare(before), now=_bare(now))


def _moved(before: list[str], now: list[str]) -> set[str]:
    """Of the names in both lists, those out of the order of the rest: as few as may be."""
    first, then = [n for n in before if n in now], [n for n in now if n in before]
    blocks = SequenceMatcher(None, first, then, autojunk=False).get_matching_blocks()
    kept = {name for block in blocks for name in first[block.a : block.a + block.size]}
    return {*first} - kept


def _made(part: Part) -> dict:
    return part.model_dump(exclude=set(_WORDS))


def _done(step: Step) -> list[tuple]:
    return [(action.verb, action.items, action.value) for action in step.actions]


def _bare(line: str) -> str:
    """A line of prose without its list mark, and its links as plain words."""
    words = re.sub(r"^\s*(?:[0-9]+\.|[-*])\s+", "", line)
    return unescape(re.sub(r"\[([^]]*)\]\([^)]*\)", r"\1", words)).strip()
