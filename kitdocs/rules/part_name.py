"""part-name: one name for one thing."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.parts import Part
from kitdocs.rules.rule import rule
from kitdocs.words.names import Names


@rule(
    "part-name",
    group="Words",
    demand="no two parts have the same name, and a part that there are several of has a plural",
    source="ASD-STE100 rule 1.3 and IEC/IEEE 82079-1 (one name for one thing), from memory",
    example="two wheels of 40 teeth in different modules: give one of them a name",
)
def part_name(design: Design) -> Iterator[Finding]:
    names = Names(design.kit)
    seen: dict[str, Part] = {}
    for key, part in design.kit.parts.items():
        name = names.one(part)
        other = seen.setdefault(name.casefold(), part)
        if other is not part:
            yield Finding(
                part.place("name"),
                "part-name",
                f"{key} and {other.id} are both called '{name}'",
                "a name for each",
                "Write `name` and `plural` for one of them.",
                facts=(other.place("name"),),
            )
        elif design.takings.used[key] > 1 and names.many(part) == name:
            yield Finding(
                part.place("name"),
                "part-name",
                f"there are {design.takings.used[key]} of '{name}', which has no plural",
                "a `plural`",
            )
