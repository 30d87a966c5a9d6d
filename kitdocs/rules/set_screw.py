"""set-screw: a set screw reaches the shaft and finds something to bear on."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.parts import Fastener, Shaft
from kitdocs.mechanism.screws import Fastening
from kitdocs.mechanism.solids import wall_of
from kitdocs.rules.rule import rule
from kitdocs.words.numbers import millimetres


@rule(
    "set-screw",
    group="Fasteners",
    demand="a set screw holds its item on a shaft, is as long as the wall that it goes through, "
    "and bears on a flat (a warning where the shaft is round)",
    formula="length ≥ (outside − bore)/2",
    source="common practice; a screw on a round shaft holds by friction alone and marks it",
    example="M3 × 4 in a hub of 22 mm on an 8 mm pipe: 7 mm of wall",
    follows=("screw-thread", "held-host"),
)
def set_screw(design: Design) -> Iterator[Finding]:
    for name, fastening in design.fastenings.items():
        if fastening.kind == "set-screw" and isinstance(fastening.part, Fastener):
            yield from _one(design, name, fastening, fastening.part)


def _one(design: Design, name: str, fastening: Fastening, part: Fastener) -> Iterator[Finding]:
    held, host = design.kit.held[name], fastening.host
    facts = (part.place(), fastening.item.part.place(), host.part.place())
    if not isinstance(host.part, Shaft):
        yield Finding(
            held.place("to"),
            "set-screw",
            f"{name} is held by a set screw to {host.id}, a {host.part.kind}",
            "the shaft in its bore",
            facts=facts,
        )
        return
    wall = wall_of(fastening.item.part)
    length = float(part.parsed.length or 0.0)
    if wall is not None and length and length < wall - 1e-9:
        yield Finding(
            held.place("by"),
            "set-screw",
            f"{part.id} does not reach {host.id} through the {millimetres(wall)} wall of {name}",
            f"at least {millimetres(wall)}",
            "Take a longer set screw.",
            facts=facts,
        )
    if not host.part.flat:
        yield Finding(
            held.place("by"),
            "set-screw",
            f"{part.id} of {name} bears on {host.id}, which is round",
            "a flat",
            "Give its part `flat: true` if it has one.",
            severity="warning",
            facts=facts,
        )
