"""expression: every expression in prose can be worked out."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.rules.rule import rule
from kitdocs.words.expressions import prose_of


@rule(
    "expression",
    group="Words",
    demand="every expression in prose names something that is there and a fact that it has",
    source="our own: a number reaches the reader computed, or not at all",
    example="{{ item('earth-wheel').teth }} (did you mean 'teeth'?)",
    follows=("train-driven", "period-error", "screw-thread"),
)
def expression(design: Design) -> Iterator[Finding]:
    kit = design.kit
    prose = prose_of(design, kit.languages[0])
    stages = {stage.uri: stage for stage in kit.stages}
    for (uri, language), made in kit.translations.items():
        translated = prose_of(design, language)
        for passage in (made.words, *(p for s in made.steps for p in (s.title, s.words))):
            yield from translated.text(passage, uri, stages.get(uri))[1]
    for page in kit.pages:
        yield from prose.text(page.text, page.uri)[1]
    for stage in design.kit.stages:
        for passage in (stage.words, *(p for s in stage.steps for p in (s.title, s.words))):
            yield from prose.text(passage, stage=stage)[1]
