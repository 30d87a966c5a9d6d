"""setting: the calendar of the setting page lies within the years of all positions."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.mechanism.setting import needed_positions
from kitdocs.rules.rule import rule
from kitdocs.sky.positions import positions_of


@rule(
    "setting",
    group="Motion",
    demand="the calendar of the setting page lies within the years for which the place of every "
    "body that the kit shows is known",
    formula="a body may be out before it is set again: {setting-out}",
    source="the years that ERFA and JPL give for their positions",
    example="a calendar to 2040 with Ceres, whose elements of 2020 serve until 2032",
)
def setting(design: Design) -> Iterator[Finding]:
    calendar = design.kit.about.setting
    if calendar is None:
        return
    known = [found for sky in needed_positions(design.kit) if (found := positions_of(sky))]
    for key, written in (("from", calendar.from_), ("to", calendar.to)):
        outside = [p for p in known if not p.first <= int(written[:4]) <= p.last]
        if not outside:
            continue
        first, last = max(p.first for p in known), min(p.last for p in known)
        found = ", ".join(f"of {p.body} ({p.source}: {p.first} to {p.last})" for p in outside)
        yield Finding(
            calendar.place(key),
            "setting",
            f"{written}, for which there is no position {found}",
            f"a day from {first}-01-01 to {last}-12-31",
        )
