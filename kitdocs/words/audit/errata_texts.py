"""The texts of a kit's errata: what an editor advises, and what `kitdocs revise` wrote.

What was before is of a design that is gone, so nothing of ours can tell whether it is right; what
is now can be told of the entry that leads to this revision only. What is still there is shown by
the title that it has now. A title or an advice may tell again whatever the entries on its stage
say was before or is now.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from kitdocs.assembly.design import Design
from kitdocs.kit.errata import Before, ChangedParcel, ChangedStage, ChangedStep, Erratum
from kitdocs.kit.stage import Passage
from kitdocs.words.audit.scope import Scope, scope_of

_Told = Erratum | ChangedParcel | ChangedStage | ChangedStep | Before


@dataclass(frozen=True)
class ErratumText:
    """One text in the language `code`, and the work that it speaks of. `is_advice` says that an
    editor wrote it for readers of today; `beside` are texts whose numbers it may tell again."""

    code: str
    passage: Passage
    scope: Scope
    is_advice: bool = False
    beside: tuple[str, ...] = ()


def errata_texts(design: Design) -> Iterator[ErratumText]:
    """Every text of every entry that can be held against the design, in order."""
    texts = _Errata(design)
    for entry in design.kit.errata:
        yield from texts.entry(entry)


class _Errata:
    def __init__(self, design: Design):
        self.design, self.kit = design, design.kit
        self.whole = scope_of(design)

    def entry(self, entry: Erratum) -> Iterator[ErratumText]:
        is_new = entry.to == self.kit.about.revision
        for key in ("from_", "to"):
            yield from self._texts(entry, key, self.whole)
        for parcel in entry.parcels:
            if parcel.delivery not in self.kit.deliveries:
                yield from self._texts(parcel, "title", self.whole, parcel.parts)
            elif is_new:
                yield from self._now(parcel.parts, Scope(self.design, delivery=parcel.delivery))
        for changed in entry.stages:
            yield from self._stage(changed, is_new)

    def _stage(self, changed: ChangedStage, is_new: bool) -> Iterator[ErratumText]:
        stage = next((stage for stage in self.kit.stages if stage.id == changed.stage), None)
        steps = {step.id: step for step in stage.steps} if stage else {}
        scope, beside = scope_of(self.design, stage), tuple(self._pairs(changed.stage))
        if stage is None:
            yield from self._texts(changed, "title", scope, beside)
        elif is_new:
            yield from self._now((changed.parcel, changed.number), scope)
        for line in changed.steps:
            step = steps.get(line.step)
            here = scope_of(self.design, stage, step)
            if step is None:
                yield from self._texts(line, "title", here, beside)
            elif is_new:
                yield from self._now((*line.parts, *line.figures), here)
            yield from self._texts(line, "advice", here, beside)

    def _pairs(self, stage: str) -> Iterator[Before]:
        """What all entries say was before and is now, in one stage."""
        for entry in self.kit.errata:
            for changed in entry.stages:
                for line in changed.steps if changed.stage == stage else ():
                    yield from (*line.parts, *line.figures)

    def _now(self, pairs: Iterable[Before | None], scope: Scope) -> Iterator[ErratumText]:
        for one in pairs:
            if one is not None:
                yield from self._texts(one, "now", scope)

    def _texts(
        self, fact: _Told, key: str, scope: Scope, beside: Iterable[Before] = ()
    ) -> Iterator[ErratumText]:
        """A text in each language that it has."""
        first, *further = self.kit.languages
        is_advice, pairs = key == "advice", tuple(beside)
        if text := getattr(fact, key):
            told = tuple(filter(None, (t for one in pairs for t in (one.before, one.now))))
            yield ErratumText(first, Passage(text, fact.place(key)), scope, is_advice, told)
        for code in further if not isinstance(fact, Erratum) else ():
            said = fact.translated.get(code)
            if said is not None and (text := getattr(said, key)):
                others = [one.translated[code] for one in pairs if code in one.translated]
                told = tuple(filter(None, (t for one in others for t in (one.before, one.now))))
                yield ErratumText(code, Passage(text, said.place(key)), scope, is_advice, told)
