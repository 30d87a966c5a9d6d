"""The whole check of a caption file, as findings at its lines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding, Place, Severity
from kitdocs.kit.captions import CaptionFile
from kitdocs.kit.stage import Stage
from kitdocs.words.narration.compare import Comparison, told_at
from kitdocs.words.narration.fault import CueFault
from kitdocs.words.narration.limits import limit_faults
from kitdocs.words.narration.vtt import ReadCaptions, read


@lru_cache(maxsize=32)
def read_captions(file: CaptionFile) -> ReadCaptions:
    return read(file.text, file.has_mark, file.has_returns)


@lru_cache(maxsize=8)
def _beside(design: Design, stage_id: str, file: CaptionFile) -> Comparison:
    """A file beside its stage, for all that is asked of both."""
    stage = next(stage for stage in design.kit.stages if stage.id == stage_id)
    return Comparison(design, stage, file.language, read_captions(file).cues)


def captions_of(design: Design) -> Iterator[tuple[Stage, CaptionFile]]:
    """Every caption file beside a stage."""
    for stage in design.kit.stages:
        for file in design.kit.captions.get(stage.uri, ()):
            yield stage, file


def file_findings(file: CaptionFile) -> Iterator[Finding]:
    """What is wrong with the file itself (`caption-file`)."""
    for f in read_captions(file).faults:
        place = Place(file.path, f.line)
        yield Finding(place, "caption-file", f.found, f.expected, f.mend, f.severity)


def limit_findings(design: Design, file: CaptionFile) -> Iterator[Finding]:
    """Cues that are too long, too short or too fast (`caption-limits`)."""
    faults = limit_faults(design, read_captions(file).cues, file.language)
    yield from _findings(file, "caption-limits", faults, "warning")


def number_findings(design: Design, stage: Stage, file: CaptionFile) -> Iterator[Finding]:
    """Numbers that the stage does not back (`caption-number`)."""
    faults = _beside(design, stage.id, file).number_faults()
    yield from _findings(file, "caption-number", faults, "error")


def order_findings(design: Design, stage: Stage, file: CaptionFile) -> Iterator[Finding]:
    """What is named at the wrong place, of other work, or not at all (`caption-order`)."""
    faults = _beside(design, stage.id, file).order_faults()
    yield from _findings(file, "caption-order", faults, "warning")


def all_findings(design: Design, stage: Stage, file: CaptionFile) -> list[Finding]:
    """Everything that is wrong with one file."""
    return [
        *file_findings(file),
        *limit_findings(design, file),
        *number_findings(design, stage, file),
        *order_findings(design, stage, file),
    ]


def _findings(
    file: CaptionFile, rule: str, faults: Iterable[CueFault], severity: Severity
) -> Iterator[Finding]:
    for fault in faults:
        found = f"{told_at(fault.cue)}: {fault.found}"
        place = Place(file.path, fault.cue.line or 1)
        yield Finding(place, rule, found, fault.expected, fault.mend, severity)
