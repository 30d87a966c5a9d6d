"""What a section draws: rings about their axes, arms, plates, and the fasteners through them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kitdocs.kit.model import Item
from kitdocs.kit.parts import Arm, Plate, bore_of
from kitdocs.mechanism.heights import Span
from kitdocs.mechanism.screws import Fastening
from kitdocs.pages.half_section import Ring, outer_radius, rings
from kitdocs.pages.handbook import Handbook
from kitdocs.pages.section_frame import SectionFrame, written
from kitdocs.pages.section_rows import (
    DRAWN,
    fastener_span,
    from_above,
    head_height,
    washer_height,
)
from kitdocs.pages.section_strips import Column


@dataclass(frozen=True)
class Shape:
    """A path in px, of an item or of the fasteners that hold it; `low` and `high` in mm."""

    d: str
    look: str
    item: str
    low: float
    high: float
    hatch: str = ""  # a or b where it is hatched


class SectionShapes:
    """The shapes of one strip."""

    def __init__(self, frame: SectionFrame):
        self.frame = frame

    def shapes(self) -> Iterator[Shape]:
        parts: list[tuple[int, float, Column, Item]] = []
        for n, column in enumerate(self.frame.strip.columns):
            for item in column.items:
                if item.id in self.frame.spans and not isinstance(item.part, Plate):
                    rank = {"shaft": 2, "stack": 1, "end_stack": 1}[item.where]
                    parts.append((rank, n, column, item))
        yield from self._slabs()
        for new in (False, True):
            chosen = [p for p in parts if (p[3].id in self.frame.new) is new]
            # A plain shaft passes through what is on it; a pipe's outside is bounded by bores.
            for *_, column, item in sorted(chosen, key=lambda p: p[0]):
                yield from self._item(column, item)
            for *_, column, item in chosen:
                yield from self._fasteners(column, item, fresh=False)
        for *_, column, item in parts:
            yield from self._fasteners(column, item, fresh=True)
        for column in self.frame.strip.columns:
            for item in column.items:
                if isinstance(item.part, Plate):
                    yield from self._fasteners(column, item, fresh=True)

    def _slabs(self) -> Iterator[Shape]:
        """Plates of the frame go through from end to end; a plate on an arbor is round."""
        for item in () if self.frame.strip.level else self.frame.book.kit.items.values():
            if not isinstance(item.part, Plate) or item.id not in self.frame.rows.shown:
                continue
            if (
                self.frame.book.kit.arbors[item.arbor].axis is not None
                or item.id not in self.frame.spans
            ):
                continue
            span = self.frame.spans[item.id]
            d = self.frame.box(self.frame.clip[0] - 3, self.frame.clip[1] + 3, span)
            yield self._shape(d, item, span)
        for column in self.frame.strip.columns:
            for item in column.items:
                if column.axis and isinstance(item.part, Plate) and item.id in self.frame.spans:
                    yield from self._item(column, item)

    def _shape(self, d: str, item: Item, span: Span, look: str = "") -> Shape:
        hatch, state = "", self.frame.rows.look(item.id)
        if state == "new" and look != "teeth":
            turn = self.frame.arbors[item.arbor] + item.level + (item.where != "shaft")
            hatch = "ab"[turn % 2]
        look = f"kd-{state}{f' kd-{look}' if look else ''}"
        return Shape(d, look, item.id, round(span.bottom, 3), round(span.top, 3), hatch)

    def _item(self, column: Column, item: Item) -> Iterator[Shape]:
        span = self.frame.spans[item.id]
        if not self.frame.shows(span):
            return
        by_look: dict[str, list[str]] = {}
        made = rings(item.part)
        if not made:
            made = (Ring(0.0, 2.0),)
        for ring in made:
            look = "" if ring.look == "body" else ring.look
            if ring.inner == 0 and ring.look != "ball" and column.left and column.right:
                ends = self.frame.x(column.x - ring.outer), self.frame.x(column.x + ring.outer)
                by_look.setdefault(look, []).append(self.frame.box(*ends, span))
                continue
            for side in self.frame.sides(column):
                by_look.setdefault(look, []).append(self._ring(column.x, side, ring, span))
        if isinstance(item.part, Arm):
            by_look.setdefault("", []).append(self._arm(column, item.part, span))
        for look, paths in by_look.items():
            yield self._shape("".join(paths), item, span, look)

    def _ring(self, at: float, side: int, ring: Ring, span: Span) -> str:
        if ring.look == "ball":
            x, top = written(self.frame.x(at)), written(self.frame.y(span.top))
            r, d = (written(n * ring.outer * self.frame.scale) for n in (1, 2))
            return f"M{x} {top}a{r} {r} 0 0 {int(side > 0)} 0 {d}z"
        return self.frame.box(
            self.frame.x(at + side * ring.inner), self.frame.x(at + side * ring.outer), span
        )

    def _arm(self, column: Column, arm: Arm, span: Span) -> str:
        """The bar of an arm, to the end that carries something."""
        side = 1 if column.right else -1
        hub, end = column.x + side * arm.hub / 2, column.x + side * (arm.reach + arm.hub / 4)
        return self.frame.box(self.frame.x(hub), self.frame.x(end), span)

    # Fasteners

    def _fasteners(self, column: Column, item: Item, fresh: bool) -> Iterator[Shape]:
        fastening = self.frame.book.design.fastenings.get(item.id)
        if fastening is None or item.id not in self.frame.rows.shown_fastened:
            return
        if (item.id in self.frame.rows.fastened) is not fresh or fastening.kind not in DRAWN:
            return
        if self.frame.whole and not column.labelled:
            return  # the drawing that labels this axis shows them
        span = fastener_span(self.frame.book, fastening)
        if span is None or not self.frame.shows(span):
            return
        look = "kd-screw kd-new" if fresh else "kd-screw kd-old"
        d = "".join(
            self._screw(column, fastening, side, span) for side in self.frame.sides(column)[:1]
        )
        yield Shape(d, look, item.id, round(span.bottom, 3), round(span.top, 3))

    def _screw(self, column: Column, fastening: Fastening, side: int, span: Span) -> str:
        part = fastening.part
        assert part is not None
        half = part.parsed.nominal / 2
        if fastening.kind == "set-screw":
            bore = bore_of(fastening.item.part) / 2
            length = float(part.parsed.length or 0)
            return self._bar(column.x, side, bore, bore + length, span.bottom, span.top)
        at = screw_radius(self.frame.book, fastening)
        head = head_height(fastening)
        wide = (fastening.head.diameter if fastening.head else None) or 2 * half
        down = from_above(self.frame.book, fastening)
        shank = (span.bottom, span.top - head) if down else (span.bottom + head, span.top)
        cap = (span.top - head, span.top) if down else (span.bottom, span.bottom + head)
        d = self._bar(column.x, side, at - half, at + half, *shank)
        if head:
            d += self._bar(column.x, side, at - wide / 2, at + wide / 2, *cap)
        if fastening.washer is not None:
            r = outer_radius(fastening.washer) or wide / 2
            under = washer_height(fastening)
            flat = (shank[1] - under, shank[1]) if down else (shank[0], shank[0] + under)
            d += self._bar(column.x, side, at - r, at + r, *flat)
        return d

    def _bar(self, at: float, side: int, inner: float, outer: float, low: float, high: float):
        return self.frame.box(
            self.frame.x(at + side * inner), self.frame.x(at + side * outer), Span(low, high)
        )


def screw_radius(book: Handbook, fastening: Fastening) -> float:
    """How far from the held item's axis its screws stand, mm."""
    if book.kit.arbors[fastening.item.arbor].axis is None:
        return 0.0  # in a row with the rest of the frame
    circles = [fastening.passing, *fastening.host_holes]
    circle = next((c.circle for c in circles if c is not None and c.circle), None)
    return circle / 2 if circle else 0.0
