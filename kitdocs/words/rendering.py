"""A passage with its expressions worked out, which remembers what came from where."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from functools import cached_property

from kitdocs.finding import Finding, Place
from kitdocs.kit.stage import Passage


@dataclass(frozen=True)
class Worked:
    """One expression: what was written at `at` … `until` of the passage came out as the
    characters `start` … `end` of the rendering."""

    start: int
    end: int
    at: int
    until: int
    source: str


@dataclass(frozen=True)
class Rendering:
    """Markdown made of a passage: its text, and the expressions that it took in, in order."""

    passage: Passage
    text: str
    worked: tuple[Worked, ...] = ()
    findings: tuple[Finding, ...] = ()

    @cached_property
    def _starts(self) -> list[int]:
        return [worked.start for worked in self.worked]

    @cached_property
    def _lines(self) -> list[int]:
        text = self.passage.text
        return [0, *(n + 1 for n, sign in enumerate(text) if sign == "\n")]

    def written_at(self, offset: int) -> int:
        """The offset in the passage of one in the rendering; an expression is at its braces."""
        number = bisect_right(self._starts, offset) - 1
        if number < 0:
            return offset
        worked = self.worked[number]
        return worked.at if offset < worked.end else worked.until + offset - worked.end

    def place(self, offset: int) -> Place:
        """The place in the source of an offset in the rendering."""
        at = self.written_at(offset)
        line = bisect_right(self._lines, at)
        return self.passage.place.shifted(line, at - self._lines[line - 1] + 1)
