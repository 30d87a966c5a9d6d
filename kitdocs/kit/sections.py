"""A page of steps line by line: its opening words, its steps, and its uses of procedures.

A step is a level-2 heading, its words, and one fenced block named `step` with its facts. A fenced
block named `use` stands between steps.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from kitdocs.finding import Finding, Place
from kitdocs.kit.stage import Passage

_FENCE = re.compile(r" {0,3}(`{3,}|~{3,})[ \t]*([^\s`]*)")
_HEADING = re.compile(r"##[ \t]+(.*?)[ \t]*#*[ \t]*$")
_BLOCKS = ("step", "use")


@dataclass
class Section:
    """A step as written. `facts` are its blocks, each with the place of its first line."""

    title: Passage
    lines: list[str] = field(default_factory=list)
    start: Place | None = None
    facts: list[tuple[str, Place]] = field(default_factory=list)
    unclosed: bool = False  # its block runs on to the end of the page


@dataclass
class UseBlock:
    """A `use` block as written; `place` is that of its fence, `start` that of its first line."""

    text: str
    place: Place
    start: Place
    followed: bool = False  # by words that belong to no step: told of


class Fences:
    """Tells of each line of a page whether it stands in a fence, and in which.

    `name` is what is written after the signs that opened the fence.
    """

    def __init__(self) -> None:
        self._signs = ""
        self.name = ""

    def take(self, line: str) -> str:
        """`opens`, `closes`, `inside` or `outside`."""
        marks = _FENCE.match(line)
        if self._signs:
            if marks and marks[1].startswith(self._signs) and not marks[2]:
                self._signs = ""
                return "closes"
            return "inside"
        if marks:
            self._signs, self.name = marks[1], marks[2]
            return "opens"
        return "outside"


class Splitter:
    """A page of steps line by line. Inside a fence nothing is a heading."""

    def __init__(self) -> None:
        self.opening: list[str] = []
        self.parts: list[Section | UseBlock] = []
        self.findings: list[Finding] = []
        self._fences = Fences()
        self._block: list[str] = []  # of the `step` or `use` block that the line is in
        self._fence_at = Place("")

    @classmethod
    def of(cls, body: str, start: Place) -> Splitter:
        """The whole of a text that begins at `start`."""
        page = cls()
        for number, line in enumerate(body.split("\n"), start=1):
            page._line(line, start.shifted(number))
        page._end()
        return page

    def _line(self, line: str, place: Place) -> None:
        state = self._fences.take(line)
        if state != "outside" and self._fences.name in _BLOCKS:
            if state == "opens":
                self._open(place)
            elif state == "inside":
                self._block.append(line)
            else:
                self._close()
        elif state == "outside" and (heading := _HEADING.match(line)):
            title = place.shifted(1, heading.start(1) + 1)
            self.parts.append(Section(Passage(heading[1], title)))
        else:
            self._words(line, place)

    def _end(self) -> None:
        """A block that is still open runs on to the end of the page."""
        state = self._fences.take("")
        if state == "inside" and self._fences.name in _BLOCKS:
            if self._fences.name == "step":
                self._section().unclosed = True
            found = f"a {self._fences.name} block that is never closed"
            self._found(self._fence_at.shifted(2), found, "``` below it")

    def _found(self, place: Place, found: str, expected: str, mend: str = "") -> None:
        self.findings.append(Finding(place, "step-facts", found, expected, mend))

    def _section(self) -> Section:
        """The step that the line belongs to; an unnamed one after a use."""
        if not self.parts or not isinstance(self.parts[-1], Section):
            self.parts.append(Section(Passage("", self._fence_at)))
        section = self.parts[-1]
        assert isinstance(section, Section)
        return section

    def _words(self, line: str, place: Place) -> None:
        if not self.parts:
            self.opening.append(line)
            return
        part = self.parts[-1]
        if isinstance(part, Section):
            part.start = part.start or place
            part.lines.append(line)
        elif line.strip() and not part.followed:
            part.followed = True
            found, expected = "words after a use, which belong to no step", "a step's heading"
            self._found(place, found, expected, "Write the words above the use, or as a step.")

    def _open(self, place: Place) -> None:
        self._fence_at, self._block = place, []
        headless = not self.parts or isinstance(self.parts[-1], UseBlock)
        if self._fences.name == "step" and headless:
            where = "after a use" if self.parts else "before the first step"
            mend = "Write the step's `## heading` above them."
            self._found(place, f"facts {where}", "a heading", mend)

    def _close(self) -> None:
        text, start = "\n".join(self._block), self._fence_at.shifted(2)
        if self._fences.name == "use":
            self.parts.append(UseBlock(text, self._fence_at, start))
            return
        section = self._section()
        section.facts.append((text, start))
        section.start = section.start or self._fence_at
        section.lines += [""] * (len(self._block) + 2)  # keeps later lines at their places
