"""A stage page: what it adds, cautions, what is needed, the steps, the trains."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kitdocs.assembly.hazards import stage_hazards
from kitdocs.kit.parts import Part, Tool
from kitdocs.kit.stage import Stage
from kitdocs.pages.alike_view import AlikeView, stage_alikes
from kitdocs.pages.charts import PeriodChart
from kitdocs.pages.differs_view import DiffersView, differs_views
from kitdocs.pages.fastener_view import FastenerRow, stage_fasteners
from kitdocs.pages.fault_view import FaultView, stage_faults
from kitdocs.pages.handbook import Counted, Handbook, PartRow, Ref
from kitdocs.pages.parts_view import BenchThing
from kitdocs.pages.plan_drawing import Plan, plan_view
from kitdocs.pages.proof_view import ProofView, proof_view
from kitdocs.pages.section_drawing import SectionView, section_view
from kitdocs.pages.stage_words import StageWords
from kitdocs.pages.step_drawing import stage_figures
from kitdocs.pages.step_view import StepView, step_view
from kitdocs.pages.stock_view import Kept, kept_for_later
from kitdocs.pages.trains_view import TrainView, period_chart, train_view
from kitdocs.pages.video_view import VideoView, video_view
from kitdocs.words.cautions import Caution, cautions_for
from kitdocs.words.minutes import has_waits, stage_minutes


@dataclass(frozen=True)
class StageView:
    number: int
    of: int
    title: str
    summary: str
    video: VideoView | None
    delivery: Ref
    delivery_title: str
    minutes: int
    waits: bool
    adds: tuple[str, ...]
    cautions: tuple[Caution, ...]
    parts: tuple[PartRow, ...]
    fasteners: tuple[FastenerRow, ...]
    tools: tuple[BenchThing, ...]
    later: tuple[Kept, ...]
    alikes: tuple[AlikeView, ...]
    section: SectionView
    plan: Plan | None
    words: str
    lang: str
    steps: tuple[StepView, ...]
    differs: Mapping[str, DiffersView]
    proof: ProofView | None
    faults: tuple[FaultView, ...]
    all_faults: Ref
    trains: tuple[TrainView, ...]
    chart: PeriodChart | None


def stage_view(book: Handbook, stage: Stage, told: StageWords) -> StageView:
    """Everything that a stage's page shows."""
    kit, front = book.kit, stage.front
    taking = book.design.takings.stage_taking(stage)
    trains = [book.design.trains[body] for body in front.adds if body in book.design.trains]
    drawn = stage_figures(book, stage)
    return StageView(
        number=stage.number,
        of=len(kit.stages),
        title=book.names.stage(stage),
        summary=book.names.stage_summary(stage),
        video=video_view(book, stage),
        delivery=book.delivery_ref(front.delivery),
        delivery_title=book.names.delivery(front.delivery),
        minutes=stage_minutes(book.design, stage),
        waits=has_waits(stage),
        adds=tuple(book.names.body(body) for body in front.adds),
        cautions=cautions_for(stage_hazards(book.design, stage), book.language),
        parts=tuple(
            book.row(part, count, _parcels(book, stage, part))
            for part, count in book.in_kit_order(taking.parts)
        ),
        fasteners=stage_fasteners(book, stage),
        tools=_tools(book, stage),
        later=kept_for_later(book, stage),
        alikes=stage_alikes(book, stage),
        section=section_view(book, stage),
        plan=plan_view(book, stage),
        words=told.opening.text,
        lang=told.opening.lang,
        steps=tuple(step_view(book, stage, step, told, drawn[step.id]) for step in stage.steps),
        differs=differs_views(book, stage),
        proof=proof_view(book, stage),
        faults=stage_faults(book, stage),
        all_faults=Ref(book.text("Fault-finding"), book.uri("faults.md")),
        trains=tuple(train_view(book, train) for train in trains),
        chart=period_chart(book, trains, f"{book.prefix}-{stage.id}-period") if trains else None,
    )


def _parcels(book: Handbook, stage: Stage, part: Part) -> tuple[Counted, ...]:
    came = book.sources[stage.id][part.id]
    return tuple(Counted(book.delivery_ref(d), came[d]) for d in book.kit.deliveries if came[d])


def _tools(book: Handbook, stage: Stage) -> tuple[BenchThing, ...]:
    """Drivers first, then the stage's own tools and what it uses by the drop."""
    taking = book.design.takings.stage_taking(stage)
    brought = {p.name: p.own for p in book.kit.parts.values() if isinstance(p, Tool)}
    parts = [book.kit.parts[name] for name in (*stage.front.tools, *taking.supplies)]
    named = {book.names.driver(name): brought.get(name, True) for name in taking.drivers}
    named |= {book.names.one(part): getattr(part, "own", False) for part in parts}
    return tuple(BenchThing(name, own) for name, own in named.items())
