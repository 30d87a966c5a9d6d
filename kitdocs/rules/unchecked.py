"""unchecked: a rule that a kit leaves unchecked is one of writing."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.names import nearest_name, quoted
from kitdocs.rules.rule import rule
from kitdocs.words.writing.table import UNCHECKABLE


@rule(
    "unchecked",
    group="Record",
    demand="only rules of writing are left unchecked, each for a written reason",
    source="our own: the reason appears in the design record",
    example="unchecked: {mesh-pair: We know better.}",
)
def unchecked(design: Design) -> Iterator[Finding]:
    about = design.kit.about
    for name in about.unchecked:
        if name not in UNCHECKABLE:
            close = nearest_name(name, UNCHECKABLE)
            yield Finding(
                about.place("unchecked", name),
                "unchecked",
                f"{quoted(name)} left unchecked",
                "a rule of writing",
                f"Did you mean '{close}'?" if close else "",
            )
