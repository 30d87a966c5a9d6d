"""screw-bottom: a screw neither meets the bottom of its hole nor stands out into what moves."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.parts import Fastener
from kitdocs.mechanism.screws import Fastening, thread_over
from kitdocs.mechanism.standards import thread_pitch
from kitdocs.rules.clash_finding import clash_findings
from kitdocs.rules.rule import rule
from kitdocs.words.numbers import millimetres


@rule(
    "screw-bottom",
    group="Fasteners",
    demand="a screw leaves some thread free in a blind hole, and out of a through hole it does "
    "not stand into what moves past it",
    formula="depth − (length − grip): {screw-bottom}; gap from its end: {screw-bottom-gap}",
    source="common practice; pitches by ISO 261",
    example="M2.5 × 8 through a 2 mm wheel into a hole 6 mm deep",
    follows=("screw-thread", "screw-grip"),
)
def screw_bottom(design: Design) -> Iterator[Finding]:
    for name, fastening in design.fastenings.items():
        left = thread_left(design, fastening)
        if left is None or left[0] >= left[1] - 1e-9:
            continue
        spare, wanted = left
        held, part = design.kit.held[name], fastening.part
        assert part is not None
        found = "has no room left" if spare < 0 else f"leaves {millimetres(spare)} of thread"
        holes = [hole.place("depth") for hole in fastening.host_holes if hole]
        yield Finding(
            held.place("by"),
            "screw-bottom",
            f"{part.id} through {name} {found} at the bottom of its hole in {held.to}",
            f"at least {millimetres(wanted)}",
            "Take a shorter screw, or a deeper hole.",
            facts=(*dict.fromkeys(holes), part.place(), fastening.item.part.place()),
        )
    yield from clash_findings(design, "screw-bottom", ("screw-bottom-gap",))


def thread_left(design: Design, fastening: Fastening) -> tuple[float, float] | None:
    """The thread that is left below a screw and what is wanted, mm; None but in blind holes."""
    over, part = thread_over(fastening), fastening.part
    pitch = thread_pitch(part.parsed.thread) if isinstance(part, Fastener) else None
    if over is None or pitch is None:
        return None
    return -over, (design.limit("screw-bottom").least or 0.0) * pitch
