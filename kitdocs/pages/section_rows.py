"""What a section shows, row by row: number, name, height from and to, what holds it."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Generic, Protocol, TypeVar

from kitdocs.kit.model import Item
from kitdocs.kit.stage import Stage
from kitdocs.mechanism.heights import Span, part_height
from kitdocs.mechanism.screws import Fastening
from kitdocs.pages.handbook import Handbook

#: Fastenings whose fasteners are drawn, and so have a row of their own.
DRAWN = ("screw", "set-screw")
_MARGIN = 5.0  # mm shown below and above what is new


@dataclass(frozen=True)
class Row:
    """One numbered thing of a drawing. `low` and `high` are mm above the frame's underside.

    `heights` is both as the table shows them: along an arbor that lies level from its shoulder. A
    row of fasteners names the items that they hold.
    """

    number: int
    name: str
    low: float | None
    high: float | None
    held: str
    items: tuple[str, ...]
    heights: str
    fastener: bool = False


class Numbered(Protocol):
    """What every row of a drawing has."""

    @property
    def number(self) -> int: ...
    @property
    def items(self) -> tuple[str, ...]: ...
    @property
    def fastener(self) -> bool: ...


R = TypeVar("R", bound=Numbered)


class Shown(ABC, Generic[R]):
    """What a section of the machine shows: of it all, of a stage, or of a step's work.

    `new` are the items in colour, `shown` all of them; `fastened` the items whose fasteners are
    driven now, `shown_fastened` those whose fasteners are there.
    """

    book: Handbook
    stage: Stage | None
    new: tuple[str, ...]
    fastened: tuple[str, ...]
    shown: frozenset[str]
    shown_fastened: frozenset[str]

    @cached_property
    def framed(self) -> frozenset[str]:
        """The items that the drawing goes as low and as high as."""
        return frozenset(self.new)

    @property
    def least(self) -> float:
        """How high the drawing is at the least, mm."""
        return 0.0

    @property
    def margin(self) -> float:
        """How far below and above what is new the drawing goes, mm."""
        return 0.0 if self.stage is None else _MARGIN

    @cached_property
    def rows(self) -> tuple[R, ...]:
        return tuple(self._rows())

    @abstractmethod
    def _rows(self) -> Iterator[R]:
        """The rows, from the lowest on."""

    def look(self, item: str) -> str:
        """How an item is drawn: new here, or there before."""
        return "new" if item in self.new else "old"

    @cached_property
    def numbers(self) -> dict[str, int]:
        """The number of each new item."""
        return {item: row.number for row in self.rows if not row.fastener for item in row.items}

    @cached_property
    def fastener_numbers(self) -> dict[str, int]:
        """The number of the fasteners that hold each item."""
        return {item: row.number for row in self.rows if row.fastener for item in row.items}

    def _fastener_row(self, number: int, fastening: Fastening) -> Row:
        assert fastening.part is not None
        span = fastener_span(self.book, fastening)
        count = fastening.count
        names = self.book.names
        part = fastening.part
        through = {"item": names.one(fastening.item.part), "host": names.one(fastening.host.part)}
        if fastening.kind == "set-screw":
            holding = self.book.text("through the %(item)s against the %(host)s", **through)
        else:
            holding = self.book.text("through the %(item)s into the %(host)s", **through)
        return Row(
            number,
            names.counted(count, part),
            span.bottom if span else None,
            span.top if span else None,
            holding,
            (fastening.item.id,),
            self._heights(span, fastening.item),
            True,
        )

    def _heights(self, span: Span | None, item: Item) -> str:
        """From and to, as the table shows them."""
        if span is None:
            return "–"
        numbers = self.book.numbers
        low, high = numbers.plain(span.bottom, 2), numbers.millimetres(round(span.top, 2))
        if item.id in self.book.design.heights.level:
            return self.book.text("%(low)s to %(high)s along", low=low, high=high)
        return self.book.text("%(low)s to %(high)s", low=low, high=high)

    def _holding(self, item: Item) -> str:
        """What holds an item, in words."""
        fastening = self.book.design.fastenings.get(item.id)
        text, names = self.book.text, self.book.names
        if fastening is None:
            arbor = self.book.kit.arbors[item.arbor]
            if item.where == "shaft" and arbor.stands_on:
                below = self.book.kit.items[arbor.stands_on]
                return text("stands on the %(item)s", item=names.one(below.part))
            if arbor.axis is None and arbor.fixed:
                return text("the frame is fixed to it")
            if item.where != "shaft":
                return text("held between its neighbours")
            return text("its bearings")
        host = names.one(fastening.host.part)
        if fastening.kind == "press":
            return text("press fit with the %(host)s", host=host)
        assert fastening.part is not None
        if fastening.kind == "adhesive":
            return text("%(by)s, to the %(host)s", by=names.one(fastening.part), host=host)
        by = names.counted(fastening.count, fastening.part)
        return text("%(by)s, to the %(host)s", by=by, host=host)


class Rows(Shown[Row]):
    """The rows of one section: of a stage what it adds, of the machine everything."""

    def __init__(self, book: Handbook, stage: Stage | None = None):
        self.book = book
        self.stage = stage
        kit, takings = book.kit, book.design.takings
        if stage is None:
            self.new = tuple(kit.items)
            self.fastened = tuple(kit.held)
            self.shown = frozenset(kit.items)
            self.shown_fastened = frozenset(kit.held)
            return
        taking = takings.stage_taking(stage)
        self.new = tuple(dict.fromkeys(i for i in taking.placed if i in kit.items))
        self.fastened = tuple(dict.fromkeys(taking.fastened))
        upto = [takings.stage_taking(s) for s in kit.stages if s.number <= stage.number]
        self.shown = frozenset(i for t in upto for i in t.placed if i in kit.items)
        self.shown_fastened = frozenset(i for t in upto for i in t.fastened)

    def _rows(self) -> Iterator[Row]:
        number = 0
        for group in self._order():
            item = self.book.kit.items[group[0]]
            if item.id in self.new:
                number += 1
                yield self._item_row(number, group)
            fastening = self.book.design.fastenings.get(item.id)
            drawn = fastening is not None and fastening.kind in DRAWN
            # The whole machine has too many: there a screw is named with what it holds.
            if drawn and self.stage is not None and item.id in self.fastened:
                number += 1
                yield self._fastener_row(number, fastening)

    def _order(self) -> Iterable[tuple[str, ...]]:
        """Items in the order in which the steps place or fasten them; like ones in one level
        of a stack together."""
        names = self.new if self.stage is None else self._step_order()
        groups: dict[tuple[object, ...], list[str]] = {}
        for name in dict.fromkeys(names):
            item = self.book.kit.items[name]
            where = (item.arbor, item.where, item.level, item.part.id)
            groups.setdefault(where, []).append(name)
        return [tuple(group) for group in groups.values()]

    def _step_order(self) -> Iterator[str]:
        assert self.stage is not None
        steps = self.book.design.takings.steps
        for step in self.stage.steps:
            taking = steps[self.stage.id, step.id]
            yield from (i for i in taking.placed if i in self.book.kit.items)
            yield from (i for i in taking.fastened if i in self.book.kit.items)

    def _item_row(self, number: int, group: tuple[str, ...]) -> Row:
        heights = self.book.design.heights
        item = self.book.kit.items[group[0]]
        span = heights.of(item.id)
        names = self.book.names
        many = len(group)
        name = names.one(item.part) if many == 1 else names.counted(many, item.part)
        return Row(
            number,
            name,
            span.bottom if span else None,
            span.top if span else None,
            self._holding(item),
            group,
            self._heights(span, item),
        )


def fastener_span(book: Handbook, fastening: Fastening) -> Span | None:
    """From the lower to the upper end of a fastening's screws, heads included."""
    heights = book.design.heights
    item = heights.of(fastening.item.id)
    part = fastening.part
    if item is None or part is None:
        return None
    if fastening.kind == "set-screw":
        # A cross hole's height is not a fact of the kit: it is drawn at mid height.
        half = part.parsed.nominal / 2
        middle = (item.bottom + item.top) / 2
        return Span(middle - half, middle + half)
    if not part.parsed.length:
        return None
    length = float(part.parsed.length)
    under = washer_height(fastening)
    head = head_height(fastening)
    if from_above(book, fastening):
        seat = item.top + under
        return Span(seat - length, seat + head)
    seat = item.bottom - under
    return Span(seat - head, seat + length)


def from_above(book: Handbook, fastening: Fastening) -> bool:
    """Whether screws are driven downwards: the held item lies on its host."""
    heights = book.design.heights
    item, host = heights.of(fastening.item.id), heights.of(fastening.host.id)
    return item is None or host is None or item.bottom + item.top >= host.bottom + host.top


def head_height(fastening: Fastening) -> float:
    """What a head adds to the length of its screw; a countersunk one adds nothing."""
    head = fastening.head
    return head.height or 0.0 if head and head.kind != "countersunk" else 0.0


def washer_height(fastening: Fastening) -> float:
    return part_height(fastening.washer) if fastening.washer else 0.0
