"""How high everything stands: spans along the axis, computed from stacks and parts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from kitdocs.kit.model import Item, Kit
from kitdocs.kit.parts import Fastener, Part, Shaft
from kitdocs.mechanism.standards import head, washer_size


@dataclass(frozen=True)
class Span:
    """Lower and upper end, mm."""

    bottom: float
    top: float

    @property
    def height(self) -> float:
        return self.top - self.bottom


@dataclass(frozen=True)
class Heights:
    """Where items stand.

    `spans` are above the frame's underside, of items on upright axes and on the frame. `level`
    are of items on arbors that lie level: along the arbor, from its own shoulder. `unknown`
    names the arbors with items that neither tells of: nothing says what they stand on, or an
    end stack has no shaft to be flush with.
    """

    spans: Mapping[str, Span]
    level: Mapping[str, Span]
    unknown: tuple[str, ...]

    def of(self, item: str) -> Span | None:
        """An item's span, whichever way its arbor lies."""
        return self.spans.get(item) or self.level.get(item)


def part_height(part: Part) -> float:
    """What a part takes up of a stack, mm; ISO washers and nuts by their standard."""
    if isinstance(part, Fastener):
        if washer := washer_size(part.parsed):
            return washer.thickness
        nut = head(part.parsed)
        return nut.height or 0.0 if nut and nut.kind == "nut" else 0.0
    return part.height


def heights(kit: Kit) -> Heights:
    """Spans of all items.

    A stack begins at its arbor's shoulder: on the upper face of what the arbor stands on, or on
    the ground for the frame (a fixed arbor without axis and part). A level of a stack is as high
    as its highest item, and its items share its lower face.
    """
    spans: dict[str, Span] = {}
    level: dict[str, Span] = {}
    waiting = []
    for name, arbor in kit.arbors.items():
        if arbor.axis is not None and kit.axes[arbor.axis].lies == "level":
            level |= _arbor_spans(kit.on_arbor[name], 0.0)
        else:
            waiting.append(name)
    settled = True
    while settled:
        settled = False
        for name in tuple(waiting):
            shoulder = _shoulder(kit, name, spans)
            if shoulder is not None:
                spans |= _arbor_spans(kit.on_arbor[name], shoulder)
                waiting.remove(name)
                settled = True
    unknown = tuple(
        name
        for name in kit.arbors
        if any(item.id not in spans and item.id not in level for item in kit.on_arbor[name])
    )
    return Heights(MappingProxyType(spans), MappingProxyType(level), unknown)


def _shoulder(kit: Kit, name: str, spans: Mapping[str, Span]) -> float | None:
    arbor = kit.arbors[name]
    if arbor.stands_on is not None:
        below = spans.get(arbor.stands_on)
        return below.top if below else None
    is_frame = arbor.fixed and arbor.axis is None and arbor.part is None
    return 0.0 if is_frame else None


def _arbor_spans(items: Iterable[Item], shoulder: float) -> dict[str, Span]:
    """The spans of one arbor's items, from the height of its shoulder."""
    spans: dict[str, Span] = {}
    stacks: dict[str, list[Item]] = {"stack": [], "end_stack": []}
    shaft_top = None
    for item in items:
        if item.where == "shaft":
            sunk = item.part.shoulder if isinstance(item.part, Shaft) else 0.0
            shaft_top = shoulder - sunk + part_height(item.part)
            spans[item.id] = Span(shoulder - sunk, shaft_top)
        else:
            stacks[item.where].append(item)
    spans |= _stack_spans(stacks["stack"], shoulder)
    if shaft_top is not None:
        spans |= _stack_spans(stacks["end_stack"], shaft_top - stack_height(stacks["end_stack"]))
    return spans


def levels(items: Iterable[Item]) -> list[list[Item]]:
    """The items of one stack, level by level from the bottom."""
    found: dict[int, list[Item]] = {}
    for item in items:
        found.setdefault(item.level, []).append(item)
    return [found[number] for number in sorted(found)]


def stack_height(items: Iterable[Item]) -> float:
    """Height of one stack: the sum of its levels, each as high as its highest item."""
    return sum(max(part_height(item.part) for item in level) for level in levels(items))


def _stack_spans(items: Iterable[Item], bottom: float) -> dict[str, Span]:
    spans: dict[str, Span] = {}
    for level in levels(items):
        for item in level:
            spans[item.id] = Span(bottom, bottom + part_height(item.part))
        bottom += stack_height(level)
    return spans
