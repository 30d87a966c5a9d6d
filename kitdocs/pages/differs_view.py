"""What differs: a run of steps set beside the last one that was built by the same procedure."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from kitdocs.kit.model import Item
from kitdocs.kit.parts import Toothed
from kitdocs.kit.procedures import Use
from kitdocs.kit.stage import Stage
from kitdocs.pages.handbook import Handbook, Ref
from kitdocs.words.language import marked_plural
from kitdocs.words.part_facts import measure

#: The measures that tell two items of one slot apart, in the order in which they are shown.
_MEASURES = ("length", "thickness", "reach", "diameter", "outside")
_TEETH = marked_plural("%(number)s tooth", "%(number)s teeth")


@dataclass(frozen=True)
class Side:
    """An item by its name, with those of its facts that differ from the other item's."""

    name: str
    facts: tuple[str, ...]


@dataclass(frozen=True)
class DifferingRow:
    """One slot of the procedure: `what` it is for, what was there then, and what goes there now."""

    what: str
    then: Side
    now: Side


@dataclass(frozen=True)
class DiffersView:
    """Steps `first` to `last`, of which `former` led through the like: steps `first_then` to
    `last_then` of stage number `stage_then`. `alike` counts the slots without a difference.

    `lang` is the language of the slots' words where it is not that of the page.
    """

    first: int
    last: int
    former: Ref
    stage_then: int
    first_then: int
    last_then: int
    rows: tuple[DifferingRow, ...]
    alike: int
    lang: str


def differs_views(book: Handbook, stage: Stage) -> Mapping[str, DiffersView]:
    """By the id of a first step: what differs from the run of steps before it of its procedure.

    Of a single step that is just like the one before there is nothing to tell.
    """
    found: dict[str, DiffersView] = {}
    last: dict[str, tuple[Stage, Use]] = {}
    for other in book.kit.stages:
        for use in other.uses:
            if not use.steps:
                continue
            before = last.get(use.procedure.name)
            if other is stage and before is not None:
                view = _view(book, stage, use, *before)
                if view.rows or len(use.steps) > 1:
                    found[use.steps[0]] = view
            last[use.procedure.name] = other, use
        if other is stage:
            break
    return found


def _view(book: Handbook, stage: Stage, use: Use, other: Stage, former: Use) -> DiffersView:
    rows = []
    for slot in use.procedure.slots:
        then, now = (book.kit.items[u.items[slot.name]] for u in (former, use))
        if row := _row(book, slot.words, then, now):
            rows.append(row)
    text = book.text("stage %(number)s, %(title)s", number=other.number,
                     title=book.names.stage(other))  # fmt: skip
    numbers, numbers_then = _numbers(stage, use), _numbers(other, former)
    first = book.kit.languages[0]
    return DiffersView(
        first=numbers[0],
        last=numbers[-1],
        former=Ref(text, other.uri, former.steps[0]),
        stage_then=other.number,
        first_then=numbers_then[0],
        last_then=numbers_then[-1],
        rows=tuple(rows),
        alike=len(use.items) - len(rows),
        lang="" if first == book.language.code else first,
    )


def _numbers(stage: Stage, use: Use) -> list[int]:
    return [step.number for step in stage.steps if step.id in use.steps]


def _row(book: Handbook, what: str, then: Item, now: Item) -> DifferingRow | None:
    """The items of one slot where readers can tell them apart."""
    sides = _Item(book, then), _Item(book, now)
    keys = dict.fromkeys(key for side in sides for key in side.facts)
    differing = [key for key in keys if sides[0].facts.get(key) != sides[1].facts.get(key)]
    if not differing and sides[0].name == sides[1].name:
        return None
    shown = [key for key in differing if not all(side.tells(key) for side in sides)]
    return DifferingRow(what, sides[0].side(shown), sides[1].side(shown))


class _Item:
    """An item by its name and its facts, by their kind."""

    def __init__(self, book: Handbook, item: Item):
        self.name = book.names.one(item.part)
        self.facts = dict(_facts(book, item))
        self._figures = {"teeth": str(getattr(item.part, "teeth", ""))} | {
            key: book.numbers.plain(value)
            for key in _MEASURES
            if isinstance(value := getattr(item.part, key, None), float)
        }

    def tells(self, key: str) -> bool:
        """Whether its name tells this fact already."""
        return self._figures.get(key, "") in re.findall(r"[0-9.,]*[0-9]", self.name)

    def side(self, shown: Iterable[str]) -> Side:
        return Side(self.name, tuple(self.facts[key] for key in shown if key in self.facts))


def _facts(book: Handbook, item: Item) -> Iterator[tuple[str, str]]:
    """What a builder tells an item by, and what holds it: each in a few words, by its kind."""
    part = item.part
    if isinstance(part, Toothed):
        yield "teeth", book.plural(*_TEETH, part.teeth)
    for key in _MEASURES:
        if isinstance(value := getattr(part, key, None), float) and value:
            yield key, f"{measure(book.names, key)} {book.numbers.millimetres(value)}"
    if mark := book.names.mark(part):
        yield "mark", book.text("mark: %(mark)s", mark=mark)
    fastening = book.design.fastenings.get(item.id)
    if fastening is not None and fastening.part is not None:
        yield "screws", book.names.counted(fastening.count, fastening.part)
        if fastening.driver:
            yield "driver", book.names.driver(fastening.driver)
