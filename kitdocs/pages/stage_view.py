"""A stage page: what it adds, cautions, what is needed, the steps, the trains."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from kitdocs.kit.parts import Part, Tool
from kitdocs.kit.stage import Passage, Stage, Step
from kitdocs.pages.alike_view import AlikeView, stage_alikes
from kitdocs.pages.charts import PeriodChart
from kitdocs.pages.fastener_view import FastenerRow, stage_fasteners
from kitdocs.pages.handbook import Counted, Handbook, PartRow, Ref
from kitdocs.pages.parts_view import BenchThing
from kitdocs.pages.plan_drawing import Plan, plan_view
from kitdocs.pages.section_drawing import SectionView, section_view
from kitdocs.pages.trains_view import TrainView, period_chart, train_view
from kitdocs.words.cautions import Caution, cautions_for
from kitdocs.words.expressions import Prose


@dataclass(frozen=True)
class Take:
    """What a step takes of one part."""

    count: int
    name: str


@dataclass(frozen=True)
class Again:
    """What a step does to things built before: `Takes off`, and their names."""

    done: str
    names: tuple[str, ...]


#: The actions on what was built before, in the order of the work, as a step's box names them.
AGAIN = {
    "slacken": "Slackens",
    "remove": "Takes off",
    "refit": "Puts back",
    "tighten": "Tightens",
}


@dataclass(frozen=True)
class StepView:
    """One step. `title` and `words` are Markdown."""

    id: str
    number: int
    title: str
    words: str
    takes: tuple[Take, ...]
    again: tuple[Again, ...]
    tools: tuple[str, ...]


@dataclass(frozen=True)
class StageView:
    number: int
    of: int
    title: str
    summary: str
    delivery: Ref
    delivery_title: str
    minutes: int
    adds: tuple[str, ...]
    cautions: tuple[Caution, ...]
    parts: tuple[PartRow, ...]
    fasteners: tuple[FastenerRow, ...]
    tools: tuple[BenchThing, ...]
    alikes: tuple[AlikeView, ...]
    section: SectionView
    plan: Plan | None
    words: str
    steps: tuple[StepView, ...]
    trains: tuple[TrainView, ...]
    chart: PeriodChart | None


def stage_view(book: Handbook, stage: Stage, prose: Prose) -> StageView:
    """Everything that a stage's page shows."""
    kit, front = book.kit, stage.front
    taking = book.design.takings.stage_taking(stage)
    trains = [book.design.trains[body] for body in front.adds if body in book.design.trains]
    return StageView(
        number=stage.number,
        of=len(kit.stages),
        title=stage.title,
        summary=front.summary or "",
        delivery=book.delivery_ref(front.delivery),
        delivery_title=kit.deliveries[front.delivery].title,
        minutes=front.minutes,
        adds=tuple(kit.bodies[body].name for body in front.adds),
        cautions=_cautions(book, stage),
        parts=tuple(
            book.row(part, count, _parcels(book, stage, part))
            for part, count in book.in_kit_order(taking.parts)
        ),
        fasteners=stage_fasteners(book, stage),
        tools=_tools(book, stage),
        alikes=stage_alikes(book, stage),
        section=section_view(book, stage),
        plan=plan_view(book, stage),
        words=prose.text(stage.words, stage=stage)[0].strip(),
        steps=tuple(_step(book, stage, step, prose) for step in stage.steps),
        trains=tuple(train_view(book, train) for train in trains),
        chart=period_chart(book, trains, f"{book.prefix}-{stage.id}-period") if trains else None,
    )


def _parcels(book: Handbook, stage: Stage, part: Part) -> tuple[Counted, ...]:
    came = book.sources[stage.id][part.id]
    return tuple(Counted(book.delivery_ref(d), came[d]) for d in book.kit.deliveries if came[d])


def _cautions(book: Handbook, stage: Stage) -> tuple[Caution, ...]:
    taking = book.design.takings.stage_taking(stage)
    used = [*taking.parts, *taking.supplies, *stage.front.tools]
    hazards = [h for part in used for h in book.kit.parts[part].hazards]
    return cautions_for([*book.kit.about.cautions, *hazards])


def _tools(book: Handbook, stage: Stage) -> tuple[BenchThing, ...]:
    """Drivers first, then the stage's own tools and what it uses by the drop."""
    taking = book.design.takings.stage_taking(stage)
    brought = {book.names.one(p): p.own for p in book.kit.parts.values() if isinstance(p, Tool)}
    parts = [book.kit.parts[name] for name in (*stage.front.tools, *taking.supplies)]
    named = {driver: brought.get(driver, True) for driver in taking.drivers}
    named |= {book.names.one(part): getattr(part, "own", False) for part in parts}
    return tuple(BenchThing(name, own) for name, own in named.items())


def _step(book: Handbook, stage: Stage, step: Step, prose: Prose) -> StepView:
    taking = book.design.takings.steps[stage.id, step.id]
    supplies = [book.names.one(book.kit.parts[name]) for name in taking.supplies]
    return StepView(
        id=step.id,
        number=step.number,
        title=_heading(prose, step.title, stage),
        words=prose.text(step.words, stage=stage)[0].strip(),
        takes=tuple(
            Take(count, book.names.one(part) if count == 1 else book.names.many(part))
            for part, count in book.in_kit_order(taking.parts)
        ),
        again=_again(book, step),
        tools=(*taking.drivers, *supplies),
    )


def _again(book: Handbook, step: Step) -> tuple[Again, ...]:
    found: list[Again] = []
    for verb, done in AGAIN.items():
        items = [name for action in step.actions if action.verb == verb for name in action.items]
        parts = Counter(book.kit.items[name].part.id for name in items)
        if parts:
            names = [_so_many(book, book.kit.parts[part], n) for part, n in parts.items()]
            found.append(Again(done, tuple(names)))
    return tuple(found)


def _so_many(book: Handbook, part: Part, count: int) -> str:
    return book.names.one(part) if count == 1 else book.names.counted(count, part)


def _heading(prose: Prose, title: Passage, stage: Stage) -> str:
    """A step's heading; braces left in it would be read as its attributes."""
    text = prose.text(title, stage=stage)[0]
    return text.replace("{", "&#123;").replace("}", "&#125;")
