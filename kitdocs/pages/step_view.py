"""One step as its stage's page shows it: words, what it takes and goes back to, its drawings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kitdocs.assembly.history import Done
from kitdocs.kit.parts import Fastener, Part, Toothed
from kitdocs.kit.stage import Stage, Step
from kitdocs.pages.handbook import Handbook, Ref, slug
from kitdocs.pages.stage_words import StageWords
from kitdocs.pages.step_drawing import StepFigure
from kitdocs.words.language import marked
from kitdocs.words.minutes import step_minutes
from kitdocs.words.part_facts import part_facts
from kitdocs.words.tool_words import tools_of_step


@dataclass(frozen=True)
class Take:
    """What a step takes of one part; `slug` is the part's in the list of the page, `size` what it
    is told by among the stage's other parts of its kind."""

    count: int
    name: str
    size: str
    slug: str


@dataclass(frozen=True)
class Thing:
    """Something built before, and the step that it goes back to."""

    name: str
    since: Ref | None


@dataclass(frozen=True)
class Again:
    """What a step does to things built before: `Takes off`, and the things."""

    done: str
    things: tuple[Thing, ...]


#: The actions on what was built before, in the order of the work, as a step's box names them.
AGAIN = {
    "slacken": marked("Slackens"),
    "remove": marked("Takes off"),
    "place": marked("Puts in place"),
    "refit": marked("Puts back"),
    "tighten": marked("Tightens"),
}


@dataclass(frozen=True)
class StepView:
    """One step. `title` and `words` are Markdown; `lang` is their language where it is not that
    of the page. `same` is the step of the page whose drawings would be drawn again here."""

    id: str
    number: int
    title: str
    words: str
    lang: str
    minutes: int
    takes: tuple[Take, ...]
    again: tuple[Again, ...]
    tools: tuple[str, ...]
    figures: tuple[StepFigure, ...]
    same: Ref | None


def step_view(
    book: Handbook,
    stage: Stage,
    step: Step,
    told: StageWords,
    drawn: tuple[tuple[StepFigure, ...], Ref | None],
) -> StepView:
    """A step with its words and its drawings, which `stage_figures` gives."""
    taking = book.design.takings.steps[stage.id, step.id]
    drivers = [book.names.driver(name) for name in taking.drivers]
    hands = [*tools_of_step(book.kit, step), *(book.kit.parts[name] for name in taking.supplies)]
    figures, same = drawn
    return StepView(
        id=step.id,
        number=step.number,
        title=_heading(told.steps[step.id].title),
        words=told.steps[step.id].text,
        lang=told.steps[step.id].lang,
        minutes=step_minutes(book.design, step),
        takes=tuple(
            Take(count, book.names.form(count, part), _size(book, stage, part), slug(part.id))
            for part, count in book.in_kit_order(taking.parts)
        ),
        again=_again(book, stage, step),
        tools=tuple(dict.fromkeys((*drivers, *map(book.names.one, hands)))),
        figures=figures,
        same=same,
    )


def _size(book: Handbook, stage: Stage, part: Part) -> str:
    """The first measure that the stage's other parts of this kind have not got. The names of
    wheels and screws say theirs."""
    if isinstance(part, Fastener | Toothed):
        return ""
    kin = [p for p, _ in book.in_kit_order(book.design.takings.stages[stage.id])]
    kin = [p for p in kin if p.kind == part.kind and p is not part]
    shared = {fact for other in kin for fact in part_facts(book.names, other)}
    facts = part_facts(book.names, part)
    return next((f for f in facts if f not in shared), "") if kin else ""


def _again(book: Handbook, stage: Stage, step: Step) -> tuple[Again, ...]:
    found: list[Again] = []
    for verb, done in AGAIN.items():
        groups: dict[tuple[str, Done | None], int] = {}
        for item in (i for a in step.actions if a.verb == verb for i in a.items):
            since = book.design.history.before(stage, step, verb, item)
            if since is not None and since.step is step and since.stage is stage:
                if verb == "place":
                    continue  # it is made up in this very step
                since = None
            key = (book.kit.items[item].part.id, since)
            groups[key] = groups.get(key, 0) + 1
        if groups:
            things = [_thing(book, stage, part, since, n) for (part, since), n in groups.items()]
            found.append(Again(book.text(done), _told_once(things)))
    return tuple(found)


def _thing(book: Handbook, stage: Stage, part: str, since: Done | None, count: int) -> Thing:
    name = _so_many(book, book.kit.parts[part], count)
    return Thing(name, book.step_ref(since, stage) if since else None)


def _told_once(things: Sequence[Thing]) -> tuple[Thing, ...]:
    """The step that several things in a row go back to stands behind the last of them."""
    following = (*things[1:], None)
    return tuple(
        Thing(thing.name, None if after and after.since == thing.since else thing.since)
        for thing, after in zip(things, following, strict=True)
    )


def _so_many(book: Handbook, part: Part, count: int) -> str:
    return book.names.one(part) if count == 1 else book.names.counted(count, part)


def _heading(text: str) -> str:
    """A step's heading; braces left in it would be read as its attributes."""
    return text.replace("{", "&#123;").replace("}", "&#125;")
