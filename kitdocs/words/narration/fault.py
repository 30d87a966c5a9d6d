"""What is wrong with a caption."""

from __future__ import annotations

from dataclasses import dataclass

from kitdocs.words.narration.cues import Cue


@dataclass(frozen=True)
class CueFault:
    """What is wrong with a cue, or from it on."""

    cue: Cue
    found: str
    expected: str
    mend: str = ""
