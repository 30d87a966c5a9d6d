"""What a page tells the scripts of the bench: ids that stay, and what a step was when ticked."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass

from kitdocs.assembly.design import Design
from kitdocs.kit.parts import Fastener
from kitdocs.kit.stage import Stage, Step
from kitdocs.pages.figures import Outline
from kitdocs.pages.handbook import Handbook, Ref
from kitdocs.words.expressions import Prose

#: By stage and step: what tells whether a step is still as it was. The same in every language.
Marks = Mapping[str, Mapping[str, str]]


@dataclass(frozen=True)
class BenchView:
    """A stage for the bench: `marks` are by the ids of its steps, `pictures` by designation;
    `fasteners` is where a screen is measured."""

    kit: str
    stage: str
    stages: tuple[str, ...]
    marks: Mapping[str, str]
    pictures: Mapping[str, Outline | None]
    fasteners: Ref


@dataclass(frozen=True)
class StageOutline:
    """A stage for *where was I*: its page, and its steps as (id, mark)."""

    id: str
    ref: Ref
    number: int
    steps: tuple[tuple[str, str], ...]


def bench_view(book: Handbook, stage: Stage, marks: Marks) -> BenchView:
    """What the page of a stage needs, beside what it shows, to be worked from."""
    parts = [book.kit.parts[name] for name in book.design.takings.stage_taking(stage).parts]
    fasteners = [part for part in parts if isinstance(part, Fastener)]
    return BenchView(
        kit=book.kit.id,
        stage=stage.id,
        stages=tuple(each.id for each in book.kit.stages),
        marks=marks[stage.id],
        pictures={book.names.designation(part): book.picture(part) for part in fasteners},
        fasteners=Ref("", book.uri("fasteners.md")),
    )


def kit_outline(book: Handbook, marks: Marks) -> tuple[StageOutline, ...]:
    """Every stage of a kit with the marks of its steps."""
    return tuple(
        StageOutline(stage.id, Ref("", stage.uri), stage.number, tuple(marks[stage.id].items()))
        for stage in book.kit.stages
    )


def step_mark(design: Design, prose: Prose, stage: Stage, step: Step) -> str:
    """A digest of what a step asks of a builder: its actions, what it takes, and its words as
    they are read, whatever their line breaks. Not its number, nor anything of other steps."""
    taking = design.takings.steps[stage.id, step.id]
    words = [prose.text(passage, stage=stage)[0].split() for passage in (step.title, step.words)]
    actions = [[a.verb, a.items, str(a.value)] for a in step.actions]
    takes = [sorted(taking.parts.items()), sorted(taking.supplies)]
    asked = json.dumps([words, actions, takes], ensure_ascii=False)
    return hashlib.sha256(asked.encode()).hexdigest()[:10]
