"""The mistakes that a builder can make at a stage, each with the machine that comes of it.

A mistake is listed only if it can be made: the wrong part is in hand, it goes on the same shaft,
and nothing but care keeps it from going there.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from typing import Literal, get_args

from kitdocs.assembly.design import Design
from kitdocs.assembly.misbuild_changes import (
    half_turned,
    upside_down,
    with_fastener,
    with_order,
    with_parts,
    without,
)
from kitdocs.assembly.misbuild_parts import interchangeable, other_length
from kitdocs.kit.model import Item, Kit
from kitdocs.kit.parts import Arm, Fastener, Shaft, Toothed
from kitdocs.kit.stage import FASTENING, PLACING, Stage
from kitdocs.mechanism.heights import levels, part_height

#: The mistakes, the likeliest first (our own judgement of a bench).
MistakeKind = Literal[
    "exchanged", "taken", "flipped", "inverted", "left-out", "misplaced", "screw", "no-idler",
    "opposite",
]  # fmt: skip
LIKELY: tuple[str, ...] = get_args(MistakeKind)

#: Kinds of part that only keep others apart.
SPACING = ("spacer", "washer", "bush")
#: A longer sleeve is not forgotten, nor put on the wrong side (our own), mm.
SHORT = 12.0
#: What is bare of a pipe, as a share of it, tells which end is up (our own).
BARE = 0.3

Change = Callable[[Kit], Kit]


@dataclass(frozen=True)
class Mistake:
    """A mistake that can be made at `step` of `stage`.

    - `exchanged`: two `items`, each in the other's place; `taken`: for the item a part is taken
      that a later stage needs. `parts` are the ids of the right part and the wrong one.
    - `flipped`: a wheel and its hub, the other way up; `inverted`: an arbor's items, all of it.
    - `left-out`: the item; `misplaced`: a spacer on the other side of a wheel.
    - `screw`: the item's fastener is another length; `parts` as above.
    - `no-idler`: the idler; `opposite`: an arm, half a turn out.
    """

    kind: MistakeKind
    items: tuple[str, ...]
    stage: str
    step: str
    parts: tuple[str, ...] = ()


class Mistakes:
    """The mistakes of one stage."""

    def __init__(self, design: Design, stage: Stage, built: frozenset[str]):
        self._design, self._kit, self._stage, self._built = design, design.kit, stage, built
        self._steps: dict[str, str] = {}  # where each item is placed in this stage
        self._fastened: dict[str, str] = {}
        for step in stage.steps:
            for action in step.actions:
                for name in action.items:
                    if name in self._kit.items and action.verb in PLACING:
                        self._steps.setdefault(name, step.id)
                    if name in self._kit.held and action.verb in FASTENING:
                        self._fastened.setdefault(name, step.id)

    def all(self) -> Iterator[tuple[Mistake, Change]]:
        """Every mistake, with the change to the kit that it makes."""
        yield from self._exchanges()
        yield from self._turned_over()
        yield from self._left_out()
        yield from self._misplaced()
        yield from self._screws()
        yield from self._half_turned()

    def _mistake(
        self, kind: MistakeKind, items: tuple[str, ...], step: str, *parts: str
    ) -> Mistake:
        return Mistake(kind, items, self._stage.id, step, parts)

    @property
    def _in_hand(self) -> Counter[str]:
        """Parts in hand as the stage begins, by id: delivered, less what was used before."""
        takings, stages = self._design.takings, self._kit.stages
        hand: Counter[str] = Counter()
        for delivery in self._kit.deliveries:
            hand.update(takings.delivered[delivery])
            hand.update(takings.spares[delivery])
            if delivery == self._stage.front.delivery:
                break
        for stage in stages[: stages.index(self._stage)]:
            hand.subtract(takings.stages[stage.id])
        return hand

    def _new(self) -> list[Item]:
        """The items that this stage places and ends with, on axes whose heights are known."""
        return [
            self._kit.items[name]
            for name in self._steps
            if name in self._built and name in self._design.heights.spans
        ]

    def _exchanges(self) -> Iterator[tuple[Mistake, Change]]:
        items, hand = self._new(), self._in_hand
        for number, a in enumerate(items):
            others = {b.part.id for b in items}
            for b in items[number + 1 :]:
                if interchangeable(a.part, b.part):
                    step = self._later(a.id, b.id)
                    mistake = self._mistake("exchanged", (a.id, b.id), step, a.part.id, b.part.id)
                    yield mistake, partial(with_parts, parts={a.id: b.part, b.id: a.part})
            for name, count in hand.items():
                part = self._kit.parts[name]
                if count > 0 and name not in others and interchangeable(a.part, part):
                    mistake = self._mistake("taken", (a.id,), self._steps[a.id], a.part.id, name)
                    yield mistake, partial(with_parts, parts={a.id: part})

    def _later(self, a: str, b: str) -> str:
        order = [step.id for step in self._stage.steps]
        return max(self._steps[a], self._steps[b], key=order.index)

    def _turned_over(self) -> Iterator[tuple[Mistake, Change]]:
        done: set[str] = set()
        for item in self._new():
            held = self._kit.held.get(item.id)
            host = self._kit.items.get(held.to) if held else None
            if isinstance(item.part, Toothed) and host is not None and held and held.holes:
                order = self._swapped(item, host)
                if order:
                    step = self._fastened.get(item.id, self._steps[item.id])
                    mistake = self._mistake("flipped", (item.id, host.id), step)
                    yield mistake, partial(with_order, arbor=item.arbor, order=order)
            compound = self._compound(item.arbor)
            if compound and item.arbor not in done:
                done.add(item.arbor)
                mistake = self._mistake("inverted", compound, self._steps[item.id])
                yield mistake, partial(upside_down, arbor=item.arbor, built=self._built)

    def _swapped(self, a: Item, b: Item) -> list[list[Item]] | None:
        """The stack of two neighbours with the two exchanged; None where they are none."""
        stack = levels(i for i in self._kit.on_arbor[a.arbor] if i.where == a.where)
        for number, (low, high) in enumerate(pairwise(stack)):
            if {i.id for i in (*low, *high)} == {a.id, b.id}:
                return [*stack[:number], high, low, *stack[number + 2 :]]
        return None

    def _compound(self, arbor: str) -> tuple[str, ...]:
        """The wheels of a compound that this stage makes up on a pipe; empty for other arbors."""
        mine = [item for item in self._kit.on_arbor[arbor] if item.id in self._built]
        shaft = next((i for i in mine if i.where == "shaft"), None)
        wheels = tuple(i.id for i in mine if isinstance(i.part, Toothed))
        if shaft is None or not isinstance(shaft.part, Shaft) or shaft.part.shoulder:
            return ()
        stacked = sum(part_height(i.part) for i in mine if i.where != "shaft")
        full = stacked >= (1 - BARE) * shaft.part.length
        all_new = all(i.id in self._steps for i in mine)
        return wheels if len(wheels) > 1 and all_new and full else ()

    def _left_out(self) -> Iterator[tuple[Mistake, Change]]:
        for item in self._new():
            step = self._steps[item.id]
            if self._is_spacer(item):
                mistake = self._mistake("left-out", (item.id,), step)
                yield mistake, partial(without, name=item.id)
            if self._is_idler(item):
                yield (
                    self._mistake("no-idler", (item.id,), step),
                    partial(without, name=item.id),
                )

    def _is_spacer(self, item: Item) -> bool:
        """A short loose thing of a stack."""
        loose = item.id not in self._kit.held and item.where != "shaft"
        return loose and item.part.kind in SPACING and item.part.height <= SHORT

    def _is_idler(self, item: Item) -> bool:
        wheels = [i for i in self._kit.on_arbor[item.arbor] if isinstance(i.part, Toothed)]
        shown = any(body.arbor == item.arbor for body in self._kit.bodies.values())
        return not shown and len(wheels) == 1 and len(self._kit.meshes_of.get(item.id, ())) > 1

    def _misplaced(self) -> Iterator[tuple[Mistake, Change]]:
        """A spacer on the other side of the wheel, with its hub, that it belongs beside."""
        for spacer in self._new():
            if not self._is_spacer(spacer):
                continue
            stack = levels(i for i in self._kit.on_arbor[spacer.arbor] if i.where == spacer.where)
            at = next(n for n, level in enumerate(stack) if spacer in level)
            for side in (-1, 1):
                block = self._block(stack, at, side)
                if not block:
                    continue
                rest = [level for n, level in enumerate(stack) if n != at]
                place = at + side * len(block)
                order = [*rest[:place], stack[at], *rest[place:]]
                wheel = next(i for level in block for i in level if isinstance(i.part, Toothed))
                step = self._later(spacer.id, wheel.id)
                mistake = self._mistake("misplaced", (spacer.id, wheel.id), step)
                yield mistake, partial(with_order, arbor=spacer.arbor, order=order)

    def _block(self, stack: list[list[Item]], at: int, side: int) -> list[list[Item]]:
        """The levels of one wheel, with its hub, next to a level; none but of this stage."""
        block: list[list[Item]] = []
        number = at + side
        while 0 <= number < len(stack) and len(block) < 2:
            if not all(i.id in self._steps and self._part_of_wheel(i) for i in stack[number]):
                break
            block.append(stack[number])
            number += side
            ids = {i.id for level in block for i in level}
            held = [self._kit.held[n].to for n in ids if n in self._kit.held]
            hubs = [to for to in held if to in self._kit.items and to not in ids]
            alone = not any(self._kit.items[to].where == "stack" for to in hubs)
            wheels = any(isinstance(i.part, Toothed) for level in block for i in level)
            if wheels and alone:
                return block
        return []

    def _part_of_wheel(self, item: Item) -> bool:
        return isinstance(item.part, Toothed) or any(
            held.to == item.id and isinstance(self._kit.items[name].part, Toothed)
            for name, held in self._kit.held.items()
        )

    def _screws(self) -> Iterator[tuple[Mistake, Change]]:
        hand = self._in_hand
        for name, step in self._fastened.items():
            fastening = self._design.fastenings.get(name)
            right = fastening.part if fastening else None
            if not isinstance(right, Fastener) or name not in self._built:
                continue
            for other, count in hand.items():
                part = self._kit.parts[other]
                if count > 0 and isinstance(part, Fastener) and other_length(right, part):
                    mistake = self._mistake("screw", (name,), step, right.id, other)
                    yield mistake, partial(with_fastener, item=name, fastener=part)

    def _half_turned(self) -> Iterator[tuple[Mistake, Change]]:
        """Arms that are fixed by a set screw and carry something."""
        carried = {axis.carried_by for axis in self._kit.axes.values()}
        for item in self._new():
            fastening = self._design.fastenings.get(item.id)
            if not isinstance(item.part, Arm) or item.arbor not in carried:
                continue
            if item.arbor == self._kit.mechanism.crank:
                continue  # what is turned by hand has no place of its own
            if fastening is not None and fastening.kind == "set-screw":
                step = self._fastened.get(item.id, self._steps[item.id])
                mistake = self._mistake("opposite", (item.id,), step)
                yield mistake, partial(half_turned, arbor=item.arbor)
