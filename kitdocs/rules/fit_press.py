"""fit-press: what is fixed holds, and sits straight."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.mechanism.fits import Pairing
from kitdocs.rules.fit_finding import fit_finding
from kitdocs.rules.rule import rule
from kitdocs.words.numbers import millimetres


@rule(
    "fit-press",
    group="Stacks",
    demand="a press fit has interference and is in a hole that is there; what a screw or an "
    "adhesive fixes goes on its shaft and is centred by it; a pressed rod goes its diameter "
    "deep, or through; washers and spacers go over theirs",
    formula="pressed, shaft − hole: {fit-press} (no most in wood); fixed, bore − shaft: "
    "{fit-seat}; round it: {fit-loose}; with `fit`, one nominal size and interference at both ends",
    source="common practice; ISO 286-2 for the classes",
    example="a 4.00 mm rod to be pressed in a 4.00 mm hole",
    follows=("arm-reach", "mesh-distance"),
)
def fit_press(design: Design) -> Iterator[Finding]:
    limits = {"press": "fit-press", "seat": "fit-seat", "loose": "fit-loose"}
    told: set[tuple[str, str]] = set()
    for pairing in design.pairings:
        if pairing.use not in limits:
            continue
        sign = -1 if pairing.use == "press" else 1
        finding = fit_finding(pairing, "fit-press", design.limit(limits[pairing.use]), sign)
        pair = (str(pairing.shaft_place), str(pairing.hole_place))
        if finding is not None and pair not in told:
            told.add(pair)
            yield finding
        elif pairing.use == "press" and pair not in told:
            yield from _depth(design, pairing)


def _depth(design: Design, pairing: Pairing) -> Iterator[Finding]:
    """A rod or post that is pressed in, and hardly goes in."""
    inner, outer = pairing.inner, pairing.outer
    held = design.kit.held.get(inner.id)
    one, two = design.heights.spans.get(inner.id), design.heights.spans.get(outer.id)
    if held is None or held.to != outer.id or inner.where != "shaft" or not (one and two):
        return  # of what is not a rod nothing tells how much of it goes in
    depth = min(one.top, two.top) - max(one.bottom, two.bottom)
    wanted = min(pairing.shaft, two.height)
    if depth < wanted - 1e-9:
        yield Finding(
            inner.part.place("shoulder"),
            "fit-press",
            f"{inner.id} goes {millimetres(max(0.0, depth))} deep into {outer.id}",
            f"at least {millimetres(wanted)}",
            "Give the part the `shoulder` that it is pressed in to.",
            facts=(inner.part.place(), inner.place, outer.place, outer.part.place()),
        )
