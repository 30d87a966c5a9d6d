"""The errata: what builders of an earlier revision have to do, with the way to each step."""

from __future__ import annotations

from dataclasses import dataclass

from kitdocs.kit.errata import ChangedParcel, ChangedStage, ChangedStep, Erratum
from kitdocs.pages.handbook import Handbook, Ref


@dataclass(frozen=True)
class StepLine:
    """A changed step, and the step as it is now where there is one."""

    fact: ChangedStep
    number: int | None
    ref: Ref | None


@dataclass(frozen=True)
class StageLine:
    """A changed stage, and its page where there is one."""

    fact: ChangedStage
    ref: Ref | None
    steps: tuple[StepLine, ...]

    @property
    def bench(self) -> bool:
        """Whether anything has to be done, rather than read, again."""
        return any({*line.fact.changes} - {"figures", "moved"} for line in self.steps)


@dataclass(frozen=True)
class ParcelLine:
    fact: ChangedParcel
    ref: Ref | None


@dataclass(frozen=True)
class ErratumView:
    fact: Erratum
    parcels: tuple[ParcelLine, ...]
    stages: tuple[StageLine, ...]


def errata_view(book: Handbook) -> tuple[ErratumView, ...]:
    """Every entry of the kit's errata, as they stand in its file."""
    return tuple(
        ErratumView(
            entry,
            tuple(_parcel(book, parcel) for parcel in entry.parcels),
            tuple(_stage(book, stage) for stage in entry.stages),
        )
        for entry in book.kit.errata
    )


def _parcel(book: Handbook, fact: ChangedParcel) -> ParcelLine:
    there = fact.delivery in book.kit.deliveries
    return ParcelLine(fact, book.delivery_ref(fact.delivery) if there else None)


def _stage(book: Handbook, fact: ChangedStage) -> StageLine:
    stage = next((stage for stage in book.kit.stages if stage.id == fact.stage), None)
    steps = {step.id: step for step in stage.steps} if stage else {}
    lines = []
    for changed in fact.steps:
        step = steps.get(changed.step)
        ref = Ref(changed.title, stage.uri, step.id) if stage and step else None
        lines.append(StepLine(changed, step.number if step else None, ref))
    return StageLine(fact, book.stage_ref(stage) if stage else None, tuple(lines))
