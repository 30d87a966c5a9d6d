"""The errata: what builders of an earlier revision have to do, with the way to each step."""

from __future__ import annotations

from dataclasses import dataclass

from kitdocs.kit.errata import Before, ChangedParcel, ChangedStage, ChangedStep, Erratum, Said
from kitdocs.kit.stage import Stage, Step
from kitdocs.pages.handbook import Handbook, Ref
from kitdocs.words.cautions import Caution, cautions_for
from kitdocs.words.expressions import prose_of
from kitdocs.words.sentences import sentences

#: Changes after which what was built may stay as it is.
_STAYS = {"figures", "moved", "regrouped"}


@dataclass(frozen=True)
class Pair:
    """What was and what is, in the language of the page."""

    before: str | None
    now: str | None


@dataclass(frozen=True)
class StepLine:
    """A changed step, and the step as it is now where there is one."""

    fact: ChangedStep
    title: str
    advice: str | None
    number: int | None
    ref: Ref | None
    parts: tuple[Pair, ...]
    figures: tuple[Pair, ...]

    @property
    def bench(self) -> bool:
        """Whether something may have to be done at the bench."""
        changes = {*self.fact.changes}
        if self.advice:
            return True
        if "dropped" in changes or "new" in changes:
            return "regrouped" not in changes and not {"dropped", "looks"} <= changes
        return bool(changes - _STAYS)


@dataclass(frozen=True)
class StageLine:
    """A changed stage, and its page where there is one."""

    fact: ChangedStage
    title: str
    number: int | None
    ref: Ref | None
    parcel: Pair | None
    cautions: tuple[Caution, ...]
    steps: tuple[StepLine, ...]

    @property
    def bench(self) -> bool:
        """Whether anything has to be done, rather than read, again."""
        return any(line.bench for line in self.steps)


@dataclass(frozen=True)
class ParcelLine:
    fact: ChangedParcel
    title: str
    ref: Ref | None
    parts: tuple[Pair, ...]


@dataclass(frozen=True)
class ErratumView:
    fact: Erratum
    parcels: tuple[ParcelLine, ...]
    stages: tuple[StageLine, ...]


def errata_view(book: Handbook) -> tuple[ErratumView, ...]:
    """Every entry of the kit's errata, as they stand in its file, in the language of the book."""
    return tuple(
        ErratumView(
            entry,
            tuple(_parcel(book, parcel) for parcel in entry.parcels),
            tuple(_stage(book, stage) for stage in entry.stages),
        )
        for entry in book.kit.errata
    )


def _said(book: Handbook, fact: Before | ChangedStep | ChangedStage | ChangedParcel) -> Said:
    """What a fact says in the language of the book; what is not told there has no text."""
    return fact.translated.get(book.language.code) or Said()


def _pair(book: Handbook, fact: Before) -> Pair:
    """A pair is told whole in one language."""
    said = _said(book, fact)
    if said.before or said.now:
        return Pair(said.before, said.now)
    return Pair(fact.before, fact.now)


def _pairs(book: Handbook, facts: tuple[Before, ...]) -> tuple[Pair, ...]:
    return tuple(_pair(book, fact) for fact in facts)


def _parcel(book: Handbook, fact: ChangedParcel) -> ParcelLine:
    there = fact.delivery in book.kit.deliveries
    title = book.names.delivery(fact.delivery) if there else _said(book, fact).title or fact.title
    ref = book.delivery_ref(fact.delivery) if there else None
    return ParcelLine(fact, title, ref, _pairs(book, fact.parts))


def _stage(book: Handbook, fact: ChangedStage) -> StageLine:
    stage = next((stage for stage in book.kit.stages if stage.id == fact.stage), None)
    steps = {step.id: step for step in stage.steps} if stage else {}
    return StageLine(
        fact=fact,
        title=book.names.stage(stage) if stage else _said(book, fact).title or fact.title,
        number=stage.number if stage else None,
        ref=book.stage_ref(stage) if stage else None,
        parcel=_pair(book, fact.parcel) if fact.parcel else None,
        cautions=tuple(cautions_for(fact.cautions, book.language)),
        steps=tuple(_step(book, line, stage, steps.get(line.step)) for line in fact.steps),
    )


def _step(book: Handbook, fact: ChangedStep, stage: Stage | None, step: Step | None) -> StepLine:
    said = _said(book, fact)
    title = _title(book, stage, step) if stage and step else said.title or fact.title
    return StepLine(
        fact=fact,
        title=title,
        advice=said.advice or fact.advice,
        number=step.number if step else None,
        ref=Ref(title, stage.uri, step.id) if stage and step else None,
        parts=_pairs(book, fact.parts),
        figures=_pairs(book, fact.figures),
    )


def _title(book: Handbook, stage: Stage, step: Step) -> str:
    """The title of a step as its page has it."""
    made = book.kit.translation(stage.uri, book.language.code)
    title = ((made.step(step.id) if made else None) or step).title
    prose = prose_of(book.design, book.language.code)
    found = sentences(prose.rendering(title, stage=stage), book.language.code)
    return " ".join(sentence.text for sentence in found)
