"""Markdown prose to sentences as a reader sees them, each sign of which knows its place.

Marks are taken away (emphasis, links, tags, list numbers), character references are read, and
what the page shows beside its paragraphs comes too: headings, list items, rows of tables, titles
of admonitions, code, footnotes, the alternative texts of pictures, and whatever appears when a
reader points at something (titles, labels, what an abbreviation means).
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from html import unescape
from typing import Literal

from kitdocs.finding import Place
from kitdocs.kit.stage import Passage
from kitdocs.words.rendering import Rendering

#: What a sentence stands in. A `row` has its cells between ` | `.
Kind = Literal["paragraph", "item", "heading", "row", "admonition", "code", "alt"]


@dataclass(frozen=True)
class Backed:
    """The characters `start` … `end` of a sentence that an expression gave, and which one."""

    start: int
    end: int
    source: str


@dataclass(frozen=True)
class Sentence:
    """One sentence, plain. `block` counts the paragraphs, items, rows … of its passage from 0.

    `head` is the head of the table that a `row` stands in, likewise with ` | ` between cells.
    """

    text: str
    kind: Kind
    block: int
    backed: tuple[Backed, ...] = ()
    head: str = ""
    _origin: _Plain | None = field(default=None, repr=False, compare=False)
    _start: int = field(default=0, repr=False, compare=False)

    @property
    def passage(self) -> Passage | None:
        """What it was written in; None for a sentence that was made alone."""
        return self._origin.rendering.passage if self._origin else None

    def place(self, offset: int = 0) -> Place:
        """Where the character at `offset` is written; of an expression, its braces."""
        if self._origin is None:
            return Place("(unplaced)", 1, offset + 1)
        return self._origin.place(self._start + offset)


@lru_cache(maxsize=2048)
def sentences(prose: Passage | Rendering, code: str = "en") -> tuple[Sentence, ...]:
    """The sentences of a passage, or of its rendering, in the language `code` (BCP 47)."""
    rendering = prose if isinstance(prose, Rendering) else Rendering(prose, prose.text)
    found: list[Sentence] = []
    for number, block in enumerate(_blocks(rendering.text)):
        plain = _Plain(rendering)
        for start, end in block.lines:
            plain.take(start, end)
        found += plain.sentences(block.kind, number, block.head, code)
    return tuple(found)


def sentence(text: str, kind: Kind = "paragraph") -> Sentence:
    """Plain text as one sentence, such as a caption's."""
    return Sentence(text, kind, 0)


# --- blocks -------------------------------------------------------------------------------


@dataclass
class _Block:
    kind: Kind
    lines: list[tuple[int, int]]
    head: str = ""


_FENCE = re.compile(r"[ \t>]*(`{3,}|~{3,})")
_HEADING = re.compile(r"[ \t>]*#{1,6}[ \t]+(.*?)[ \t]*#*[ \t]*$")
_ITEM = re.compile(
    r"[ \t>]*(?:(?:[-*+]|\d{1,9}[.)]|:)[ \t]+(?:\[[ xX]\][ \t]+)?|\[\^[^\]]+\]:[ \t]*)"
)
_ADMONITION = re.compile(r'[ \t>]*(?:!!!|\?\?\?\+?)[ \t]+[\w -]+(?:"(.*)")?[ \t]*$')
_RULE = re.compile(r"[ \t>]*(?:[-=*_][ \t]*){3,}$|[ \t>]*\|?[ \t:|-]*-[ \t:|-]*$")
_LEADS = re.compile(  # where links lead
    r"[ \t]*\[(?!\^)[^\]]+\]:[ \t]*(?:<[^>]*>|[^\s<]\S*)[ \t]*(?:\"[^\"]*\"|'[^']*')?[ \t]*$"
)
_MEANS = re.compile(r"[ \t]*\*\[[^\]]+\]:[ \t]*(.*)")  # what an abbreviation means
_TITLE = re.compile(r"\s(\"([^\"]*)\"|'([^']*)')[\s)]*$")  # at the end of where a link leads
#: What a tag, an attribute list or a fence has for readers.
_SHOWN_ATTRIBUTE = re.compile(
    r"\b(?:alt|title|aria-label|aria-description|summary|label|placeholder)"
    r"\s*=\s*(\"([^\"]*)\"|'([^']*)')"
)
_LEAD = re.compile(r"[ \t>]*")


def _blocks(text: str) -> Iterator[_Block]:
    """The blocks of a page, each with where its lines begin and end, marks left out."""
    fence, block, head, at = "", None, "", 0
    for line in text.split("\n"):
        start, end = at, at + len(line)
        at = end + 1
        marks = _FENCE.match(line)
        if fence:
            if marks and marks[1].startswith(fence):
                fence = ""
            elif line.strip():
                yield _Block("code", [(start, end)])
            continue
        alone = _alone(line, start, head)
        if alone is None and line.strip() and not marks:
            head = ""
            mark = _ITEM.match(line)
            if mark or block is None:
                if block:
                    yield block
                lead = mark or _LEAD.match(line)
                block = _Block("item" if mark else "paragraph", [(start + lead.end(), end)])
            else:
                block.lines.append((start + _LEAD.match(line).end(), end))
            continue
        if block:
            yield block
            block = None
        if marks:
            fence = marks[1]
            for shown in _SHOWN_ATTRIBUTE.finditer(line):  # the title of code
                yield _Block("alt", [tuple(start + at for at in _inside(shown))])
        elif alone is None:
            head = ""
        elif alone.lines:
            if alone.kind == "row":
                head = head or " | ".join(_cells(line))
            yield alone
    if block:
        yield block


def _alone(line: str, start: int, head: str) -> _Block | None:
    """The block that a line is by itself, without lines where a reader sees none of it."""
    if heading := _HEADING.match(line):
        return _Block("heading", [(start + heading.start(1), start + heading.end(1))])
    if means := _MEANS.match(line):
        return _Block("alt", [(start + means.start(1), start + means.end(1))])
    if _LEADS.match(line):
        return _title(line, start, len(line)) or _Block("paragraph", [])
    if line.strip() and _RULE.match(line):
        return _Block("row" if "|" in line else "paragraph", [])
    if title := _ADMONITION.match(line):
        shown = [(start + title.start(1), start + title.end(1))] if title[1] else []
        return _Block("admonition", shown)
    if line.count("|") > 1 or (head and "|" in line):
        return _Block("row", [(start, start + len(line))], head)
    return None


def _title(text: str, start: int, end: int, at: int = 0) -> _Block | None:
    """The title that a stretch of text ends in, which begins at `start` of the page."""
    title = _TITLE.search(text, at, end)
    if title is None:
        return None
    return _Block("alt", [tuple(start + at for at in _inside(title))])


def _inside(match: re.Match[str]) -> tuple[int, int]:
    """Where the text between the quotation marks of a match begins and ends."""
    return match.span(2 if match[2] is not None else 3)


def _cells(line: str) -> list[str]:
    return [cell.strip() for cell in line.strip().strip("|").split("|")]


# --- inline -------------------------------------------------------------------------------

_INLINE = re.compile(
    r"(?P<ref>&(?:\#\d{1,7}|\#x[0-9a-fA-F]{1,6}|[A-Za-z]\w{1,30});)"
    r"|!\[(?P<alt>[^\]]*)\]\([^)]*\)"
    r"|\\(?P<escaped>[!-/:-@\[-`{-~])"
    r"|(?P<drop><!--.*?-->|\[(?=[^\]]*\]\()|\]\([^)]*\)|\{:?[ \t]*(?:[.#]\w|[\w:-]+=)[^}\n]*\}"
    r"|<https?://[^>]*>|`+|~~|\*\*+|(?<!\d)\*|\*(?!\d)|\b_+(?=\s|$)|(?<!\w)_+)"
    r"|(?P<tag></?[A-Za-z][^>]*>)"
)

#: Signs that marks begin with: most lines have none, which is quickly seen.
_SIGN = re.compile(r"[&!\\<\[\]{`~*_]")


class _Plain:
    """The plain text of one block, made piece by piece, and where each piece comes from."""

    def __init__(self, rendering: Rendering):
        self.rendering = rendering
        self.text = ""
        self._plain: list[int] = []  # where each piece begins here …
        self._rendered: list[int] = []  # … and in the rendering
        self._asides: list[_Plain] = []  # alternative texts in it

    def place(self, offset: int) -> Place:
        return self.rendering.place(self._origin(offset))

    def take(self, start: int, end: int) -> None:
        """A line of the rendering, after a space where it goes on from another."""
        if self.text:
            self._add(" ", start)
        whole = self.rendering.text
        at = start
        for mark in _INLINE.finditer(whole, start, end) if _SIGN.search(whole, start, end) else ():
            self._add(whole[at : mark.start()], at)
            at = mark.end()
            if mark["ref"]:
                self._add(unescape(mark["ref"]), mark.start())
            elif mark["escaped"]:
                self._add(mark["escaped"], mark.start() + 1)
            elif mark["tag"] or mark[0].startswith("{"):
                for shown in _SHOWN_ATTRIBUTE.finditer(whole, mark.start(), mark.end()):
                    self._aside(*_inside(shown))
            elif mark[0].endswith(")"):  # a picture, or where a link leads
                if mark["alt"]:
                    self._aside(mark.start("alt"), mark.end("alt"))
                if title := _title(whole, 0, mark.end(), mark.start()):
                    self._aside(*title.lines[0])
        self._add(whole[at:end], at)

    def sentences(self, kind: Kind, block: int, head: str, code: str) -> Iterator[Sentence]:
        ends = _ends(self.text, code) if kind not in ("row", "code") else [len(self.text)]
        at = 0
        backed = list(self._backed())
        for end in ends:
            piece = self.text[at:end]
            start = at + len(piece) - len(piece.lstrip())
            text = piece.strip()
            if text:
                until = start + len(text)
                inside = tuple(
                    Backed(max(b.start, start) - start, min(b.end, until) - start, b.source)
                    for b in backed
                    if b.start < until and b.end > start
                )
                yield Sentence(text, kind, block, inside, head, self, start)
            at = end
        for aside in self._asides:
            yield from aside.sentences("alt", block, "", code)

    def _add(self, text: str, at: int) -> None:
        if text:
            self._plain.append(len(self.text))
            self._rendered.append(at)
            self.text += text

    def _aside(self, start: int, end: int) -> None:
        aside = _Plain(self.rendering)
        aside.take(start, end)
        self._asides.append(aside)

    def _origin(self, offset: int) -> int:
        piece = bisect_right(self._plain, offset) - 1
        if piece < 0:
            return 0
        begins = self._plain[piece]
        ends = self._plain[piece + 1] if piece + 1 < len(self._plain) else len(self.text)
        return self._rendered[piece] + min(offset - begins, max(0, ends - begins - 1))

    def _here(self, rendered: int) -> int:
        """The plain offset of an offset in the rendering: of the next sign that is left."""
        piece = bisect_right(self._rendered, rendered) - 1
        if piece < 0:
            return 0
        begins = self._plain[piece]
        ends = self._plain[piece + 1] if piece + 1 < len(self._plain) else len(self.text)
        return min(begins + rendered - self._rendered[piece], ends)

    def _backed(self) -> Iterator[Backed]:
        if not self._rendered:
            return
        first, last = self._rendered[0], self._origin(len(self.text) - 1)
        for worked in self.rendering.worked:
            if worked.end > first and worked.start <= last:
                start, end = self._here(worked.start), self._here(worked.end)
                if end > start:
                    yield Backed(start, end, worked.source)


# --- sentences ----------------------------------------------------------------------------

#: Words with a full stop that ends no sentence. Common practice of each language.
_SHORT = {
    "en": "e.g|i.e|etc|no|nos|fig|figs|approx|ca|cf|vs|min|max|dia|incl|st|dr",
    "de": "z|b|d|h|u|a|o|ä|bzw|ca|nr|abb|evtl|ggf|inkl|max|min|mind|bspw|vgl|usw|etc|st|dr|s|mm",
    "pl": "np|tj|ok|nr|rys|m|in|ew|min|maks|itd|itp|ww|tzw|por|str|zob|dr|św|ul|tzn",
}
_END = re.compile(r"[.!?…]+[\"'”“’»)\]]*(?=\s)")
_LAST_WORD = re.compile(r"[^\W\d_]+(?:\.[^\W\d_]+)*$")
_SHORTS = {
    code: frozenset(words.split("|")) | frozenset(_SHORT["en"].split("|"))
    for code, words in _SHORT.items()
}


def _ends(text: str, code: str) -> list[int]:
    """Where each sentence of a paragraph ends."""
    language = code.partition("-")[0]
    short = _SHORTS.get(language, _SHORTS["en"])
    ends = []
    for mark in _END.finditer(text):
        following = text[mark.end() :].lstrip()
        if mark[0][0] == "." and following:
            before = text[: mark.start()]
            word = _LAST_WORD.search(before)
            if word and (word[0].lower() in short or word[0].rsplit(".")[-1].lower() in short):
                if following[0].islower() or following[0].isdigit() or "." in word[0]:
                    continue
                if len(word[0]) == 1:
                    continue
            if language in ("de", "pl") and re.search(r"(?<![\d/,])\d{1,2}$", before):
                continue  # an ordinal number, which no ratio and no decimal ends in
        if following and following[0].islower():
            continue
        ends.append(mark.end())
    if not ends or ends[-1] < len(text):
        ends.append(len(text))
    return ends
