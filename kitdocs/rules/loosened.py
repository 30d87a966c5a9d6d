"""loosened: a limit is loosened for a reason."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.limits import loosened_limits
from kitdocs.rules.rule import rule


@rule(
    "loosened",
    group="Record",
    demand="a kit that loosens a limit says why; tightening one needs no reason",
    source="our own: the reason appears in the design record",
    example="limits: {mesh-foul: {least: 0.2}} without a reason",
)
def loosened(design: Design) -> Iterator[Finding]:
    for loose in loosened_limits(design.kit.about.limits):
        if not loose.reason:
            yield Finding(
                loose.place,
                "loosened",
                f"{loose.default.name} loosened to {loose.limit.text}",
                f"{loose.default.text}, or a reason",
                'Write `reason: "…"` beside it.',
            )
