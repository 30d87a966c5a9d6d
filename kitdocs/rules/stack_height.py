"""stack-height: what turns has end play, and not too much."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding, Place
from kitdocs.kit.model import Item
from kitdocs.mechanism.endplay import EndPlay
from kitdocs.rules.rule import rule
from kitdocs.words.numbers import millimetres, plain


@rule(
    "stack-height",
    group="Stacks",
    demand="an arbor that has something above it has end play between its seat and that; where "
    "parts give a tolerance, at the worst of it too",
    formula="lower face of what is above − upper face of what is below it: {stack-height}",
    source="common practice",
    example="18.0 mm of pipe, washers and hub in a gap of 18.0 mm",
    follows=("stack-seat",),
)
def stack_height(design: Design) -> Iterator[Finding]:
    limit = design.limit("stack-height")
    for play in design.end_plays.values():
        low, high = play.worst
        if limit.holds(low) and limit.holds(high):
            continue
        where = f"between {play.item.id} and {play.retainer.id} above it"
        if not limit.holds(play.gap):
            if play.gap < 0:
                found = f"{play.arbor} is {millimetres(-play.gap)} too tall for the room {where}"
            else:
                found = f"{play.arbor} has {millimetres(play.gap)} of end play {where}"
        else:
            ends = f"{plain(low)} … {millimetres(high)}"
            found = f"{play.arbor} has {ends} of end play {where} when tolerances add up"
        yield Finding(
            play.item.place,
            "stack-height",
            found,
            limit.text,
            "Change a washer or a length in its stack.",
            facts=_facts(design, play),
        )


def _facts(design: Design, play: EndPlay) -> tuple[Place, ...]:
    """The items whose heights make the gap, and their parts."""
    places: list[Place] = [design.kit.arbors[play.arbor].place("stands_on")]
    for item in (play.item, play.retainer):
        places += [item.place, item.part.place()]
        for other in _between(design, item):
            places += [other.place, other.part.place()]
    return tuple(dict.fromkeys(places))


def _between(design: Design, item: Item) -> list[Item]:
    """What of an item's own arbor decides its height: below it, or from the shaft's end down."""
    mine = design.kit.on_arbor[item.arbor]
    if item.where == "end_stack":
        above = [i for i in mine if i.where == "end_stack" and i.level > item.level]
        return [i for i in mine if i.where == "shaft"] + above
    return [i for i in mine if i.where == "stack" and i.level < item.level]
