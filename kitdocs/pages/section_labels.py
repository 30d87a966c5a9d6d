"""The labels of a section: what each points at, and on which side it stands."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from kitdocs.kit.model import Item
from kitdocs.kit.parts import Plate, bore_of
from kitdocs.pages.half_section import Ring, rings
from kitdocs.pages.label_columns import GAP, Side, Wanted
from kitdocs.pages.section_frame import SectionFrame
from kitdocs.pages.section_rows import fastener_span, from_above, head_height
from kitdocs.pages.section_shapes import screw_radius
from kitdocs.pages.section_strips import Column


class SectionLabels:
    """The labels of one strip."""

    def __init__(self, frame: SectionFrame):
        self.frame = frame

    def wanted(self) -> list[Wanted]:
        """Labels of the end columns go to the near side, those between to where there is room."""
        ends: list[Wanted] = []
        between: list[tuple[Column, Item, int]] = []
        told: set[tuple[int, int]] = set()  # the number of a row, and of its column
        for n, column in enumerate(self.frame.strip.columns):
            for item in column.items if column.labelled else ():
                number = self.frame.rows.numbers.get(item.id)
                if number and (number, n) not in told and item.id in self.frame.spans:
                    told.add((number, n))
                    if column.left and column.right:
                        between.append((column, item, number))
                    else:
                        ends.append(self._label(column, item, number, 1 if column.right else -1))
                screw = self.frame.rows.fastener_numbers.get(item.id)
                if screw and (screw, n) not in told:
                    told.add((screw, n))
                    ends += self._screw_label(column, item, screw)
        ends = self._evened(ends)
        counts = {side: sum(w.side == side for w in ends) for side in ("left", "right")}
        centre = (self.frame.strip.start + self.frame.strip.end) / 2
        most = (self.frame.heights.bottom - self.frame.top) / GAP
        for column, item, number in sorted(between, key=lambda b: -self.frame.spans[b[1].id].top):
            near = "left" if column.x <= centre else "right"
            other = "right" if near == "left" else "left"
            # One column of the drawing: turn about. Several: the near side while it has room.
            alone = len(self.frame.strip.columns) == 1 or counts[near] >= most
            side = other if alone and counts[other] < counts[near] else near
            counts[side] += 1
            ends.append(self._label(column, item, number, -1 if side == "left" else 1, side))
        return ends

    def _evened(self, wanted: list[Wanted]) -> list[Wanted]:
        """Where one side has more labels than the drawing is high, what reaches furthest over
        goes to the other side."""
        most = (self.frame.heights.bottom - self.frame.top) / GAP
        for side, other in (("left", "right"), ("right", "left")):
            own = sorted((w for w in wanted if w.side == side), key=lambda w: w.x)
            spare = int(len(own) - max(most, len(wanted) / 2))
            if spare > 0:
                over = own[-spare:] if side == "left" else own[:spare]
                moved = [replace(w, side=other) for w in over]
                wanted = [w for w in wanted if w not in over] + moved
        return wanted

    def _label(self, column: Column, item: Item, number: int, direction: int,
               side: Side | None = None) -> Wanted:  # fmt: skip
        """A label whose leader ends on that half of the item."""
        span = self.frame.spans[item.id]
        made = rings(item.part) or (Ring(0.0, 1.0),)
        inner = min(r.inner for r in made)
        outer = max(r.outer for r in made if r.look != "teeth")
        depth = min((outer - inner) / 2, 3.0)
        if item.where == "shaft":  # its upper end is what shows
            reach, height = inner + depth, span.top - min(1.5, span.height / 2)
        else:
            reach, height = outer - depth, (span.bottom + span.top) / 2
        height = min(max(height, self.frame.low), self.frame.high)
        plate = isinstance(item.part, Plate) and column.axis is None
        x = self.frame.x(column.x if plate else column.x + direction * reach)
        x = min(max(x, self.frame.clip[0] + 2), self.frame.clip[1] - 2)
        return Wanted(
            str(number), x, self.frame.y(height), side or ("left" if direction > 0 else "right")
        )

    def _screw_label(self, column: Column, item: Item, number: int) -> Iterator[Wanted]:
        fastening = self.frame.book.design.fastenings[item.id]
        span = fastener_span(self.frame.book, fastening)
        if span is None:
            return
        side = self.frame.sides(column)[0]
        if fastening.kind == "set-screw":
            length = float(fastening.part.parsed.length or 0) if fastening.part else 0.0
            at = bore_of(item.part) / 2 + length * 0.7
            y = self.frame.y((span.bottom + span.top) / 2)
        else:
            at = screw_radius(self.frame.book, fastening)
            end = head_height(fastening) / 2
            y = self.frame.y(
                span.top - end if from_above(self.frame.book, fastening) else span.bottom + end
            )
        middle = (self.frame.clip[0] + self.frame.clip[1]) / 2
        x = self.frame.x(column.x + side * at)
        x = min(max(x, self.frame.clip[0] + 1), self.frame.clip[1] - 1)
        yield Wanted(str(number), x, y, "left" if x < middle else "right", "screw")
