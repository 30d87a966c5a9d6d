"""The texts of a kit's errata: what an editor advises, and what `kitdocs revise` wrote.

What was before is of a design that is gone, so nothing of ours can tell whether it is right; what
is now can be told of the entry that leads to this revision only. A title or an advice may tell
again whatever its own entries say was before or is now.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from kitdocs.assembly.design import Design
from kitdocs.kit.errata import Before, ChangedStage, Erratum
from kitdocs.kit.fact import Fact
from kitdocs.kit.stage import Passage
from kitdocs.words.audit.scope import Scope, scope_of


@dataclass(frozen=True)
class ErratumText:
    """One text, and the work that it speaks of. `is_made` says that it was computed once;
    `beside` are the texts whose numbers it may tell again."""

    passage: Passage
    scope: Scope
    is_made: bool = False
    beside: tuple[str, ...] = ()


def errata_texts(design: Design) -> Iterator[ErratumText]:
    """Every text of every entry that can be held against the design, in order."""
    whole = scope_of(design)
    for entry in design.kit.errata:
        for key in ("from_", "to"):
            yield ErratumText(_text(entry, key), whole, True)
        is_new = entry.to == design.kit.about.revision
        for parcel in entry.parcels:
            beside = tuple(_told(parcel.parts))
            yield ErratumText(_text(parcel, "title"), whole, False, beside)
            yield from _now(parcel.parts, whole) if is_new else ()
        for changed in entry.stages:
            yield from _of_stage(design, changed, is_new)


def _of_stage(design: Design, changed: ChangedStage, is_new: bool) -> Iterator[ErratumText]:
    stage = next((stage for stage in design.kit.stages if stage.id == changed.stage), None)
    steps = {step.id: step for step in stage.steps} if stage else {}
    told = _of_steps(design.kit.errata, changed.stage)
    beside = tuple(text for texts in told.values() for text in texts)
    yield ErratumText(_text(changed, "title"), scope_of(design, stage), False, beside)
    for line in changed.steps:
        scope = scope_of(design, stage, steps.get(line.step))
        for key in ("title", "advice") if line.advice else ("title",):
            yield ErratumText(_text(line, key), scope, False, told[line.step])
        if is_new and line.step in steps:
            yield from _now((*line.parts, *line.figures), scope)


def _of_steps(errata: Iterable[Erratum], stage: str) -> dict[str, tuple[str, ...]]:
    """What all entries say was before and is now, by the steps of one stage."""
    found: dict[str, tuple[str, ...]] = {}
    for entry in errata:
        for changed in entry.stages:
            for line in changed.steps if changed.stage == stage else ():
                texts = _told((*line.parts, *line.figures))
                found[line.step] = (*found.get(line.step, ()), *texts)
    return found


def _told(pairs: Iterable[Before]) -> Iterator[str]:
    yield from (text for one in pairs for text in (one.before, one.now) if text)


def _now(pairs: Iterable[Before], scope: Scope) -> Iterator[ErratumText]:
    yield from (ErratumText(_text(one, "now"), scope, True) for one in pairs if one.now)


def _text(fact: Fact, key: str) -> Passage:
    return Passage(getattr(fact, key), fact.place(key))
