"""Captions made from a script: cues within the published limits, broken at the ends of phrases.

Captions show what the page shows, figures as figures: they are read, not said.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from kitdocs.words.narration.script import Line, Script
from kitdocs.words.writing.english import words

#: Published limits: 42 characters a line, two lines, 5/6 s to 7 s (UTK Libraries timed text
#: guide, after Netflix).
LINE = 42
LINES = 2
LEAST = 0.834  # 5/6 s in whole milliseconds
MOST = 7.0

_SIZE = re.compile(r"\bM\d[\d.,]*[ \u00a0][×x][ \u00a0][\d.,]+|\b(?:ISO|DIN) \d+")
#: Words that begin a phrase: a line is better broken before them.
_PHRASE = words(
    "and or but that which until when if so to of in on onto over under at with without for from by"
    " und oder aber dass bis wenn damit auf in an mit ohne für von bei i lub ale że aż gdy aby na w"
    " z do od po przez"
)


@dataclass(frozen=True)
class Cue:
    """One caption, `start` to `end` in seconds; `line` is where it stands in its file, from 1."""

    start: float
    end: float
    lines: tuple[str, ...]
    line: int = 0
    name: str = ""

    @property
    def text(self) -> str:
        return " ".join(self.lines)

    @property
    def speed(self) -> float:
        """Characters a second."""
        return len(self.text) / (self.end - self.start) if self.end > self.start else float("inf")


def cues(told: Script) -> tuple[Cue, ...]:
    """The captions of a script, in order, without overlap."""
    found: list[Cue] = []
    for line in told.lines:
        found += _of(line)
    return tuple(found)


def _of(line: Line) -> list[Cue]:
    told = _words(line.text)
    seconds = line.end - line.start
    room = LINE * LINES
    pieces = _pieces(told, room)
    while max(_shares(pieces, seconds)) > MOST and len(pieces) < len(told):
        room = max(LINE // 2, room - 6) if room > LINE // 2 else room - 3
        pieces = _pieces(told, max(room, 1))
    at = line.start
    made = []
    for piece, share in zip(pieces, _shares(pieces, seconds), strict=True):
        end = min(line.end, round(at + share, 3))
        made.append(Cue(at, min(end, round(at + MOST, 3)), _two_lines(piece)))
        at = end
    return made


def _words(text: str) -> list[str]:
    """Words with what may not be parted from them: a number and its unit, a designation."""
    held = _SIZE.sub(lambda m: m[0].replace(" ", "\u00a0"), text)
    return held.split(" ")


def _shares(pieces: list[list[str]], seconds: float) -> list[float]:
    """The seconds of each piece by its length, each at least the least."""
    lengths = [len(" ".join(piece)) for piece in pieces]
    shares = [max(LEAST, seconds * length / sum(lengths)) for length in lengths]
    spare = seconds - LEAST * len(shares)
    over = sum(shares) - LEAST * len(shares)
    if over <= 0 or spare <= 0:
        return [seconds / len(shares)] * len(shares)
    return [LEAST + (share - LEAST) * spare / over for share in shares]


def _cost(words: list[str], after: int) -> float:
    """How badly a break after a word reads: best at the end of a clause, then before a phrase."""
    if re.search(r"[.,;:!?…—–]$", words[after]):
        return 0.0
    if words[after + 1].lower() in _PHRASE and words[after].lower() not in _PHRASE:
        return 1.0
    return 4.0 if words[after].lower() in _PHRASE else 2.5


def _pieces(words: list[str], room: int) -> list[list[str]]:
    """The words in as few pieces as fit the room, broken where it reads best."""
    best: list[tuple[float, int]] = [(0.0, 0)] + [(float("inf"), 0)] * len(words)
    for end in range(1, len(words) + 1):
        for start in range(end - 1, -1, -1):
            piece = words[start:end]
            if end - start > 1 and not _fits(piece, room):
                break
            ends = _cost(words, end - 1) if end < len(words) else 0.0
            length = len(" ".join(piece))
            cost = best[start][0] + 20.0 + ends * 3 + (max(0, 20 - length) / 4)
            if cost < best[end][0]:
                best[end] = (cost, start)
    pieces: list[list[str]] = []
    end = len(words)
    while end:
        start = best[end][1]
        pieces.insert(0, words[start:end])
        end = start
    return pieces


def _fits(piece: list[str], room: int) -> bool:
    if len(" ".join(piece)) > room:
        return False
    return len(" ".join(piece)) <= LINE or _split(piece) is not None


def _split(piece: list[str]) -> int | None:
    """After which word the first line ends; None where two lines do not hold the piece."""
    choices = [
        (_cost(piece, n) * 6 + abs(len(first) - len(second)) / 4, n)
        for n in range(len(piece) - 1)
        if len(first := " ".join(piece[: n + 1])) <= LINE
        and len(second := " ".join(piece[n + 1 :])) <= LINE
    ]
    return min(choices)[1] if choices else None


def _two_lines(piece: list[str]) -> tuple[str, ...]:
    whole = " ".join(piece)
    after = _split(piece) if len(whole) > LINE else None
    if after is None:
        return (whole,)
    return " ".join(piece[: after + 1]), " ".join(piece[after + 1 :])
