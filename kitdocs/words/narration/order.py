"""The order in which captions name things, beside that of the page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from kitdocs.assembly.design import Design
from kitdocs.kit.model import Item
from kitdocs.kit.parts import Ball, Supply, Tool
from kitdocs.kit.stage import Step
from kitdocs.words.audit.scope import scope_of
from kitdocs.words.narration.cues import Cue
from kitdocs.words.narration.fault import CueFault
from kitdocs.words.narration.naming import Naming
from kitdocs.words.narration.page import StagePage


@dataclass(frozen=True)
class Said:
    """A name in captions or on the page, with the step and the sentence that it belongs to."""

    naming: Naming
    step: Step | None
    sentence: int
    cue: Cue  # of a name on the page, the first of all
    is_heading: bool = False
    aside: Literal["", "plain", "compared"] = ""  # perhaps no name; of other work: *as with*


class Order:
    """Compares runs of names.

    `heads` are the cues that announce steps, by the step's id, and `first` is the first cue of
    all. `called` are the parts that each sentence of the captions may mean by short names (*the
    wheel*): a set for each such word; `steps` are the steps that they are of.
    """

    def __init__(
        self,
        design: Design,
        page: StagePage,
        heads: dict[str, Cue],
        first: Cue,
        called: list[tuple[frozenset[str], ...]],
        steps: list[Step | None],
    ):
        self.design, self.page, self.heads, self.first = design, page, heads, first
        self.called, self.steps = called, steps

    def faults(self, page: list[Said], said: list[Said]) -> Iterator[CueFault]:
        """What is at another place, of other work, or not named, in two runs of names. Headings
        may name things in any order, or not."""
        for one in (one for one in said if one.is_heading):
            if not self._belongs(one, one.step):
                yield self._stranger(one, one.step)
        page = [one for one in page if not one.is_heading]
        said = [one for one in said if not one.is_heading]
        pairs = _common(page, said)
        matched_page, matched_said = dict(pairs), {b: a for a, b in pairs}
        missing = [n for n in range(len(page)) if n not in matched_page]
        told: set[int] = set()
        for number, one in enumerate(said):
            if number in matched_said:
                continue
            step = one.step or self._step_near(number, page, matched_said)
            turned = next(
                (
                    n
                    for n in missing
                    if n not in told
                    and page[n].step is step
                    and page[n].naming.parts & one.naming.parts
                ),
                None,
            )
            if turned is not None:
                told.add(turned)
                if _is_reversed(page, said, pairs, turned, number):
                    yield CueFault(
                        one.cue,
                        f"'{one.naming.text}' at another place than on the page",
                        f"the order of {self._where(step)}",
                    )
            elif not self._belongs(one, step):
                yield self._stranger(one, step)
            elif other := self._stands_for(number, page, said, matched_said, missing):
                found = f"'{one.naming.text}', where the page names '{other.naming.text}'"
                yield CueFault(one.cue, found, "the names of the page")
        yield from self._unnamed(page, said, matched_page, [n for n in missing if n not in told])

    def _stranger(self, one: Said, step: Step | None) -> CueFault:
        found = f"'{one.naming.text}', which {self._where(step)} has nothing to do with"
        return CueFault(one.cue, found, "the names of the page")

    def _where(self, step: Step | None) -> str:
        return f"step {step.number}" if step else f"stage {self.page.stage.number}"

    def _step_near(self, number: int, page: list[Said], matched: dict[int, int]) -> Step | None:
        """The step of the last name before this one that agrees with the page."""
        before = [matched[n] for n in range(number) if n in matched]
        return page[before[-1]].step if before else None

    def _stands_for(
        self,
        number: int,
        page: list[Said],
        said: list[Said],
        matched: dict[int, int],
        missing: list[int],
    ) -> Said | None:
        """What the page names at the place of a name that captions have too often, and that they
        do not name there, not even shortly."""
        if not missing:
            return None
        before = max((b for b in matched if b < number), default=None)
        after = min((b for b in matched if b > number), default=None)
        own = said[number].naming.parts
        begin = 0 if before is None else page[matched[before]].sentence
        end = page[-1].sentence if after is None else page[matched[after]].sentence
        first = 0 if before is None else said[before].sentence
        last = len(self.called) - 1 if after is None else said[after].sentence
        for n in missing:
            parts = page[n].naming.parts
            if (
                not begin <= page[n].sentence <= end
                or parts & own
                or page[n].step is not said[number].step
            ):
                continue
            named = any(s.naming.parts & parts for s in said if s.step is page[n].step)
            if not named and not self._is_called(parts, page[n].step, first, last):
                return page[n]
        return None

    def _span(self, step: Step) -> tuple[int, int]:
        """The first and the last sentence of a step."""
        own = [n for n, one in enumerate(self.steps) if one is step]
        return (own[0], own[-1]) if own else (0, -1)

    def _is_called(self, parts: frozenset[str], step: Step | None, first: int, last: int) -> bool:
        """Whether captions mean a part by a short name that can be of no other that the page names
        in the step; in the sentences from `first` to `last`."""
        others = self.page.named_in(step) - parts
        return any(
            ids & parts and not ids & others
            for called in self.called[first : last + 1]
            for ids in called
        )

    def _belongs(self, one: Said, step: Step | None) -> bool:
        """Whether the page names a thing in a step, or the step takes it or works on it. What is
        called like a body or by a plain word (*the foot of the post*) may be another, and work is
        compared with what is built."""
        if one.aside == "plain" or one.naming.parts <= self._balls:
            return True
        scope = scope_of(self.design, self.page.stage, step)
        if one.aside == "compared":
            items = self.design.kit.items
            return bool(one.naming.parts & _parts(items[name] for name in scope.built))
        own = {*self.page.named_in(step), *scope.taking.parts, *scope.taking.supplies}
        if step is None or (one.naming.text.isalpha() and self.page.code.startswith("en")):
            own |= {*scope.parts}  # of a plain word (*the deck*) what is near too
        return bool(one.naming.parts & {*own, *scope.fastener_ids, *_parts(scope.acted)})

    @cached_property
    def _balls(self) -> frozenset[str]:
        """Balls that are called like the body which they show."""
        names, kit = self.page.auditor.names, self.design.kit
        bodies = {names.body(body) for body in kit.bodies}
        balls = (part for part in kit.parts.values() if isinstance(part, Ball))
        return frozenset(part.id for part in balls if names.one(part) in bodies)

    @cached_property
    def _helps(self) -> frozenset[str]:
        parts = self.design.kit.parts.values()
        return frozenset(part.id for part in parts if isinstance(part, (Tool, Supply)))

    def _unnamed(
        self, page: list[Said], said: list[Said], matched: dict[int, int], missing: list[int]
    ) -> Iterator[CueFault]:
        """One finding for each step whose page names what its captions never do. Tools and supplies
        may be seen, and not told."""
        by_step: dict[str, list[int]] = {}
        for n in missing:
            step = page[n].step
            if step is not None and not page[n].naming.parts <= self._helps:
                by_step.setdefault(step.id, []).append(n)
        for step_id, numbers in by_step.items():
            step = self.page.steps[step_id]
            named = [s for s in said if s.step is None or s.step is step]
            names = {
                page[n].naming.text: None
                for n in numbers
                if not self._is_called(page[n].naming.parts, step, *self._span(step))
                and not any(s.naming.parts & page[n].naming.parts for s in named)
            }
            if names:
                before = [matched[n] for n in range(numbers[0]) if n in matched]
                cue = said[before[-1]].cue if before else self.heads.get(step.id, self.first)
                listed = ", ".join(names)
                found = f"step {step.number} without {listed}"
                yield CueFault(cue, found, "every thing named that the page names")


def _parts(items: Iterable[Item]) -> frozenset[str]:
    return frozenset(item.part.id for item in items)


def _is_reversed(
    page: list[Said], said: list[Said], pairs: list[tuple[int, int]], turned: int, number: int
) -> bool:
    """Whether captions tell a name before or after one that the page has the other way round. In
    one sentence, of captions or of the page, the order is that of grammar."""
    ours, theirs = page[turned].sentence, said[number].sentence
    return any(
        page[a].sentence > ours if said[b].sentence < theirs else page[a].sentence < ours
        for a, b in pairs
        if said[b].sentence != theirs
    )


def _common(a: list[Said], b: list[Said]) -> list[tuple[int, int]]:
    """The longest run of names that both have in one order, as pairs of their numbers."""
    width = len(b) + 1
    best = [[0] * width for _ in range(len(a) + 1)]
    for i in range(len(a) - 1, -1, -1):
        row, below, parts = best[i], best[i + 1], a[i].naming.parts
        for j in range(len(b) - 1, -1, -1):
            if parts & b[j].naming.parts:
                row[j] = below[j + 1] + 1
            else:
                row[j] = max(below[j], row[j + 1])
    pairs: list[tuple[int, int]] = []
    i = j = 0
    while i < len(a) and j < len(b):
        if a[i].naming.parts & b[j].naming.parts and best[i][j] == best[i + 1][j + 1] + 1:
            pairs.append((i, j))
            i, j = i + 1, j + 1
        elif best[i + 1][j] >= best[i][j + 1]:
            i += 1
        else:
            j += 1
    return pairs
