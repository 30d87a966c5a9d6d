"""WebVTT: written, and read strictly.

Players take much that is wrong in silence and show nothing. The reader here accepts what the
W3C's WebVTT 1 has in its syntax, and tells of everything else at its line, and of what the syntax
allows but players or tools stumble over.
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from kitdocs.words.narration.cues import Cue


@dataclass(frozen=True)
class FileFault:
    """What is wrong at a line of a caption file, from 1."""

    line: int
    found: str
    expected: str
    mend: str = ""
    severity: Literal["error", "warning"] = "error"


@dataclass(frozen=True)
class ReadCaptions:
    """What a file gave: its cues as far as they can be read, and all that is wrong with it."""

    cues: tuple[Cue, ...]
    faults: tuple[FileFault, ...]


def timestamp(seconds: float) -> str:
    """`00:01:05.250`."""
    whole = round(seconds * 1000)
    minutes, rest = divmod(whole, 60_000)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02}:{minutes:02}:{rest // 1000:02}.{rest % 1000:03}"


def written(cues: Iterable[Cue], note: str = "") -> str:
    """The file: UTF-8 text, lines ended by `\\n`."""
    head = f"WEBVTT\n\nNOTE\n{note}\n" if note else "WEBVTT\n"
    blocks = (
        f"{number}\n{timestamp(cue.start)} --> {timestamp(cue.end)}\n"
        + "\n".join(html.escape(line, quote=False) for line in cue.lines)
        + "\n"
        for number, cue in enumerate(cues, start=1)
    )
    return "\n".join([head, *blocks])


_TIME = re.compile(r"(?:(\d{2,}):)?(\d{2}):(\d{2})\.(\d{3})")
_NEARLY = re.compile(r"\s*(?:(\d+):)?(\d+):(\d+)(?:([.,])(\d*))?\s*")
_TAG = re.compile(r"</?(?:[biuc]|v|lang|ruby|rt)(?:[.\s][^<>]*)?>|<\d\d:[\d:.]+>")


def read(text: str, path_has_mark: bool = False, has_returns: bool = False) -> ReadCaptions:
    """Read a caption file's text, its lines ended by `\\n`.

    `path_has_mark` and `has_returns` say whether the file began with a byte-order mark, and had
    lines that ended in a carriage return.
    """
    return _Reader(text, path_has_mark, has_returns).read()


class _Reader:
    def __init__(self, text: str, has_mark: bool, has_returns: bool):
        self.lines = text.split("\n")
        self.cues: list[Cue] = []
        self.faults: list[FileFault] = []
        if has_mark:
            self._warn(1, "a byte-order mark, which some players take for text", "plain UTF-8")
        if has_returns:
            self._warn(1, "lines that end in a carriage return", "lines that end in \\n")

    def _fault(self, line: int, found: str, expected: str, mend: str = "") -> None:
        self.faults.append(FileFault(line, found, expected, mend))

    def _warn(self, line: int, found: str, expected: str) -> None:
        self.faults.append(FileFault(line, found, expected, severity="warning"))

    def read(self) -> ReadCaptions:
        first = self.lines[0]
        if not re.fullmatch(r"WEBVTT(?:[ \t].*)?", first):
            self._fault(1, f"a first line {_shown(first)}", "WEBVTT", "Players then show nothing.")
        elif len(self.lines) > 1 and self.lines[1].strip():
            self._fault(2, "text right below WEBVTT", "a blank line", "The first cue is lost.")
        for start, block in self._blocks():
            self._block(start, block)
        if not self.cues and not self.faults:
            self._fault(1, "no cue at all", "captions")
        self._in_order()
        return ReadCaptions(tuple(self.cues), tuple(sorted(self.faults, key=lambda f: f.line)))

    def _blocks(self) -> Iterable[tuple[int, list[str]]]:
        """The runs of lines between blank ones, each with its first line's number."""
        start, block = 0, []
        for number, line in enumerate([*self.lines, ""], start=1):
            if line.strip():
                if not block:
                    start = number
                block.append(line)
            elif block:
                if start == 1 and not any("-->" in one for one in block):
                    block = []  # the head of the file
                    continue
                yield start, block
                block = []

    def _block(self, start: int, block: list[str]) -> None:
        timing = next((n for n, line in enumerate(block) if "-->" in line), None)
        if re.match(r"(?:NOTE|STYLE|REGION)(?:[ \t]|$)", block[0]):
            if timing is not None:
                found = f"a cue inside a {block[0].split()[0]} block"
                self._fault(start + timing, found, "a blank line before it")
            return
        if timing is None:
            found = f"text without a time, {_shown(block[0])}"
            mend = "A blank line inside a caption ends it."
            self._fault(start, found, "a line with times above it", mend)
            return
        if timing > 1 and start != 1:
            self._fault(start, f"{timing} lines above the times", "one identifier at most")
        number = start + timing
        self._cue(number, block[timing], block[timing + 1 :], block[0] if timing == 1 else "")

    def _cue(self, number: int, times: str, words: list[str], name: str) -> None:
        parts = re.split(r"-->", times, maxsplit=1)
        if not re.fullmatch(r"\S+[ \t]+-->[ \t]+\S+(?:[ \t].*)?", times.strip()):
            self._fault(number, f"the times {_shown(times)}", "spaces round the arrow")
        begin = self._time(number, parts[0])
        finish = self._time(number, parts[1].strip().split()[0] if parts[1].strip() else "")
        for offset, line in enumerate(words, start=1):
            if "-->" in line:
                mend = "The words above and below it run together."
                self._fault(number + offset, "a cue right below another", "a blank line", mend)
                self._made(number, begin, finish, words[: offset - 1], name)
                self._cue(number + offset, line, words[offset:], "")
                return
        self._made(number, begin, finish, words, name)

    def _made(
        self, number: int, begin: float | None, finish: float | None, words: list[str], name: str
    ) -> None:
        self._words(number, words)
        if begin is None or finish is None:
            return
        if finish <= begin:
            found = f"a cue that ends at {timestamp(finish)}, before it starts"
            self._fault(number, found, f"an end after {timestamp(begin)}")
        shown = tuple(html.unescape(_TAG.sub("", line)).strip() for line in words)
        self.cues.append(Cue(begin, finish, shown, number, name))

    def _time(self, number: int, text: str) -> float | None:
        """The seconds of a time. One that only nearly has the form is told of, and read."""
        text = text.strip()
        strict = _TIME.fullmatch(text)
        near = strict or _NEARLY.fullmatch(text)
        if near is None:
            self._fault(number, f"the time {_shown(text)}", "hh:mm:ss.mmm")
            return None
        if strict is None:
            why = "a comma before the milliseconds" if "," in text else "another form"
            self._fault(
                number,
                f"the time '{text}' with {why}",
                "hh:mm:ss.mmm, with a full stop and three digits",
                "Players drop the cue in silence.",
            )
        elif strict[1] is None:
            self._warn(number, f"the time '{text}' without hours", "hh:mm:ss.mmm")
        groups = near.groups()
        hours, minutes, seconds = int(groups[0] or 0), int(groups[1]), int(groups[2])
        thousandths = (groups[-1] or "0")[:3].ljust(3, "0")
        if minutes > 59 or seconds > 59:
            self._fault(number, f"the time '{text}'", "minutes and seconds from 00 to 59")
        return hours * 3600 + minutes * 60 + seconds + int(thousandths) / 1000

    def _words(self, number: int, words: list[str]) -> None:
        if not "".join(words).strip():
            self._fault(number, "a cue without words", "words below its times")
        for offset, line in enumerate(words, start=1):
            rest = _TAG.sub("", line)
            if tag := re.search(r"<[^>]*>?", rest):
                found = f"the tag {_shown(tag[0])}, which players leave out with what is in it"
                self._fault(number + offset, found, "plain text", "Write &lt; for the sign <.")
            elif _TAG.search(line):
                self._warn(number + offset, "marked-up words", "plain text")
            if re.search(r"&(?!(?:amp|lt|gt|nbsp|lrm|rlm|#\d+|#x[0-9a-fA-F]+);)", rest):
                self._warn(number + offset, "the sign &", "&amp;")

    def _in_order(self) -> None:
        for before, cue in zip(self.cues, self.cues[1:], strict=False):
            if cue.start < before.start:
                found = f"a cue at {timestamp(cue.start)} after one at {timestamp(before.start)}"
                self._fault(cue.line, found, "cues in the order of their times")
            elif cue.start < before.end - 1e-9:
                found = f"a cue at {timestamp(cue.start)}, while the one before it stands until "
                found += timestamp(before.end)
                self._fault(cue.line, found, "cues that do not overlap")


def _shown(text: str) -> str:
    text = " ".join(text.split())
    return f"'{text[:40]}…'" if len(text) > 41 else f"'{text}'"
