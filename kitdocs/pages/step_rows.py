"""What the drawing of a step shows, row by row, and how each thing is drawn."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from kitdocs.assembly.state import MACHINE
from kitdocs.assembly.step_work import DRIVES, Event, Kind, Work
from kitdocs.kit.model import Item
from kitdocs.kit.stage import Stage, Step
from kitdocs.pages.handbook import Handbook, Ref
from kitdocs.pages.section_rows import DRAWN, Shown
from kitdocs.pages.section_strips import Strip, strips, trimmed

_LOOKS: dict[Kind, str] = {
    "new": "new", "placed": "moved", "refitted": "moved", "removed": "gone"
}  # fmt: skip
#: How many other things of an assembly are named one by one.
_NAMED = 3
_LEAST = 36.0  # mm of it shown at the least, to know the place by
_TOUCHING = 1e-6  # mm
_MARGIN = 5.0  # mm of the machine shown below and above the work


@dataclass(frozen=True)
class StepRow:
    """One numbered thing: what is done, to what, and a note on what holds it or comes with it.

    `later` are the steps that fasten it, where it is not this one. A row of fasteners names the
    items that they hold; one of teeth that meet has both wheels in `pair`.
    """

    number: int
    done: Kind
    name: str
    note: str
    items: tuple[str, ...]
    later: tuple[Ref, ...] = ()
    fastener: bool = False
    pair: tuple[str, ...] = ()


class StepRows(Shown[StepRow]):
    """The rows of a step's work at one assembly, and the strips that it is drawn in."""

    def __init__(self, book: Handbook, stage: Stage, step: Step, work: Work):
        self.book, self.stage, self.step, self.work = book, stage, step, work
        self.shown = work.there
        self._after = book.design.dry_build.after_step(stage.id, step.id)
        self._looks = {i: _LOOKS[e.kind] for e in work.of(*_LOOKS) for i in e.items}
        stuck = [event.item for event in work.of("stuck")]
        self.new = tuple(dict.fromkeys((*self._looks, *stuck)))
        self.fastened = tuple(dict.fromkeys(event.item for event in work.of(*DRIVES)))
        self._tightened = {event.item for event in work.of("tightened")}
        driven = {i for i in work.there if self._after.hold(i) in ("tight", "slack")}
        self.shown_fastened = frozenset(driven)

    @property
    def on_bench(self) -> bool:
        """Whether the assembly lies on the bench."""
        return self.work.assembly != MACHINE

    @property
    def margin(self) -> float:
        return 0.0 if self.on_bench else _MARGIN

    @cached_property
    def framed(self) -> frozenset[str]:
        return self.shown if self.on_bench else frozenset(self.new)

    @property
    def least(self) -> float:
        return 0.0 if self.on_bench else _LEAST

    def look(self, item: str) -> str:
        return self._looks.get(item, "old")

    @cached_property
    def strips(self) -> tuple[Strip, ...]:
        """Those that have something of the work to show."""
        met = {item for e in self.work.of("met") for item in e.items if self._is_upright(e)}
        wanted = {*self.new, *self.fastened, *met}
        made = strips(self.book.kit, self.shown, wanted)
        if self.on_bench:
            made = [trimmed(strip) for strip in made]
        return tuple(
            strip
            for strip in made
            if any(c.labelled and any(i.id in wanted for i in c.items) for c in strip.columns)
        )

    @cached_property
    def located(self) -> frozenset[str]:
        """The items on the axes that are drawn."""
        return frozenset(i.id for s in self.strips for c in s.columns for i in c.items)

    def _rows(self) -> Iterator[StepRow]:
        groups: dict[object, list[Event]] = {}
        for event in self.work.events:
            if self._is_told(event):
                groups.setdefault(self._group(event), []).append(event)
        for number, events in enumerate(groups.values(), 1):
            yield self._row(number, events)

    def _is_told(self, event: Event) -> bool:
        """Whether it has a row: glue, oil, and screws that are tightened again have no second one
        of the same item."""
        if event.kind == "stuck":
            return self.look(event.item) != "new"
        if event.kind == "met":
            return any(self._stands_in(strip, event.items) for strip in self.strips)
        if event.kind == "oiled":
            return event.item in self.located and event.item not in self.new
        if event.kind == "slackened" and event.item in self._tightened:
            return False
        return event.kind not in DRIVES or self._is_drawn(event.item)

    def _is_upright(self, event: Event) -> bool:
        """Whether all that an event is about stands on upright axes."""
        level = self.book.design.heights.level
        return not any(item in level for item in event.items)

    def _stands_in(self, strip: Strip, pair: tuple[str, ...]) -> bool:
        """Whether two wheels stand side by side in a strip."""
        columns = [n for n, c in enumerate(strip.columns) for i in c.items if i.id in pair]
        return len(set(columns)) == len(pair) and not strip.level

    def _is_drawn(self, item: str) -> bool:
        fastening = self.book.design.fastenings.get(item)
        return fastening is not None and fastening.kind in DRAWN

    def _group(self, event: Event) -> object:
        """Like things that are built on one level, or held alike, are one row."""
        item = self.book.kit.items[event.item]
        if event.kind == "new":
            arbor = "" if self.on_bench else item.arbor
            fastened = item.id in self.fastened
            return event.kind, item.part.id, fastened, arbor, item.where, item.level
        if event.kind in DRIVES:
            fastening = self.book.design.fastenings[event.item]
            parts = (fastening.part, fastening.item.part, fastening.host.part)
            return event.kind, *(part and part.id for part in parts)
        return event

    def _row(self, number: int, events: list[Event]) -> StepRow:
        first, names = events[0], self.book.names
        items = tuple(event.item for event in events)
        part = self.book.kit.items[first.item].part
        name = names.one(part) if len(events) == 1 else names.counted(len(events), part)
        if first.kind in DRIVES:
            return self._fastener(number, first, items)
        if first.kind == "met":
            pair = tuple(names.one(self.book.kit.items[item].part) for item in first.items)
            return StepRow(number, "met", self.book.listed(pair), "", (), pair=first.items)
        if first.kind == "new":
            note, later = self._held(first.item)
            return StepRow(number, "new", name, note, items, later)
        note = self._holding(self.book.kit.items[first.item]) if first.kind == "stuck" else ""
        return StepRow(number, first.kind, name, note or self._company(first), items)

    def _fastener(self, number: int, event: Event, items: tuple[str, ...]) -> StepRow:
        fastening = self.book.design.fastenings[event.item]
        row = self._fastener_row(number, fastening)
        assert fastening.part is not None
        name, note = row.name, row.held
        if len(items) > 1:
            name = self.book.names.counted(fastening.count * len(items), fastening.part)
            note = self.book.text(
                "%(through)s: %(count)s each time", through=note, count=fastening.count
            )
        return StepRow(number, event.kind, name, note, items, fastener=True)

    def _held(self, item: str) -> tuple[str, tuple[Ref, ...]]:
        """What holds a new item: in words, or by the step that fastens it. Screws that are driven
        in this step have a row of their own."""
        if item in self.fastened:
            return "", ()
        if item in self.book.kit.held and self._after.hold(item) == "out":
            done = self.book.design.history.fastens.get(item)
            return "", (self.book.step_ref(done, self.stage),) if done else ()
        placed = self.book.kit.items[item]
        if not self.on_bench or item in self.book.kit.held:
            return self._holding(placed), ()
        if placed.where == "shaft" or self._is_between(placed):
            return "" if placed.where == "shaft" else self._holding(placed), ()
        return self.book.text("loose: its neighbours will hold it"), ()

    def _is_between(self, item: Item) -> bool:
        """Whether what lies below and above it on its arbor is there."""
        heights = self.book.design.heights
        span = heights.of(item.id)
        beside = [
            other_span
            for other in self.book.kit.on_arbor[item.arbor]
            if other.id in self.shown and other is not item and other.where != "shaft"
            and (other_span := heights.of(other.id))
        ]  # fmt: skip
        if span is None:
            return False
        below = any(s.top <= span.bottom + _TOUCHING for s in beside)
        return below and any(s.bottom >= span.top - _TOUCHING for s in beside)

    def _company(self, event: Event) -> str:
        """What goes with an item that is moved."""
        others = Counter(self.book.kit.items[item].part.id for item in event.items[1:])
        if not others:
            return ""
        if len(others) <= _NAMED:
            named = [self._counted(part, count) for part, count in others.items()]
            return self.book.text("with %(others)s", others=self.book.listed(named))
        return self.book.plural(
            "with %(number)s other part", "with %(number)s other parts", others.total()
        )

    def _counted(self, part: str, count: int) -> str:
        names, found = self.book.names, self.book.kit.parts[part]
        return names.one(found) if count == 1 else names.counted(count, found)


def pairs(rows: Iterable[StepRow]) -> dict[int, tuple[str, ...]]:
    """The wheels whose teeth meet, by the numbers of their rows."""
    return {row.number: row.pair for row in rows if row.pair}
