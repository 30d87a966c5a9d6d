"""The caption-… rules: caption files beside a stage agree with it, and can be shown."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.rules.rule import rule
from kitdocs.words.narration.check import (
    captions_of,
    file_findings,
    limit_findings,
    number_findings,
    order_findings,
)


@rule(
    "caption-file",
    group="Words",
    demand="a caption file has nothing that players swallow in silence",
    source="W3C, WebVTT: The Web Video Text Tracks Format",
    example="00:00:01,000 --> 00:00:04,000 (a comma: players show no caption at all)",
)
def caption_file(design: Design) -> Iterator[Finding]:
    for _, file in captions_of(design):
        yield from file_findings(file)


@rule(
    "caption-limits",
    group="Words",
    demand="captions have at most two lines of 42 characters, stand 5/6 s to 7 s, and can be read "
    "in that time",
    formula="at most 20 characters a second in English, 17 in German and Polish",
    source="UTK Libraries timed text guide, after Netflix; German and Polish speeds from memory",
    example="a caption of 80 characters that stands for two seconds",
)
def caption_limits(design: Design) -> Iterator[Finding]:
    for _, file in captions_of(design):
        yield from limit_findings(design, file)


@rule(
    "caption-number",
    group="Words",
    demand="every number in captions agrees with the step or the stage",
    source="our own: a number reaches the reader computed, or checked",
    example="'four screws' at 00:01:12.500, where the step drives three",
    after=("expression",),
)
def caption_number(design: Design) -> Iterator[Finding]:
    for stage, file in captions_of(design):
        yield from number_findings(design, stage, file)


@rule(
    "caption-order",
    group="Words",
    demand="captions name the things that the page names, in its order",
    source="our own: narration, pictures and pages tell one and the same build",
    example="the washer before the sleeve that it lies on",
    after=("expression",),
)
def caption_order(design: Design) -> Iterator[Finding]:
    if "caption-order" in design.kit.about.unchecked:
        return
    for stage, file in captions_of(design):
        yield from order_findings(design, stage, file)
