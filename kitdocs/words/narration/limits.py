"""Captions against the published limits of length, time and reading speed."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.words.narration.cues import Cue
from kitdocs.words.narration.fault import CueFault
from kitdocs.words.narration.script import reading_of


def limit_faults(design: Design, cues: tuple[Cue, ...], code: str) -> Iterator[CueFault]:
    """Cues beyond the published limits of length, time and reading speed."""
    line, lines = design.limit("caption-limits-line"), design.limit("caption-limits-lines")
    time, speed = design.limit("caption-limits-time"), design.limit("caption-limits-speed")
    fastest = min(speed.most or 0.0, reading_of(code)) if speed.most == 20 else speed.most or 0.0
    for cue in cues:
        longest = max(map(len, cue.lines), default=0)
        if line.above(longest):
            yield CueFault(cue, f"a line of {longest} characters", line.text)
        if lines.above(len(cue.lines)):
            yield CueFault(cue, f"{len(cue.lines)} lines", lines.text)
        seconds = cue.end - cue.start
        if seconds > 0 and not time.holds(round(seconds, 3) + 0.0005 * (seconds < 1)):
            yield CueFault(
                cue, f"a caption of {seconds:.3f} s", f"{time.least:.3g} … {time.most:g} s"
            )
        elif seconds > 0 and cue.speed > fastest + 0.05:
            found = f"{len(cue.text)} characters in {seconds:.2f} s, {cue.speed:.1f} a second"
            yield CueFault(cue, found, f"at most {fastest:g} characters a second")
