"""screw-thread: a screw fits what it passes through and what it is driven into."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.machine import Held
from kitdocs.kit.parts import Fastener, Holes
from kitdocs.mechanism.screws import Fastening
from kitdocs.mechanism.standards import clearance
from kitdocs.rules.rule import rule


@rule(
    "screw-thread",
    group="Fasteners",
    demand="screw and tapped hole share their thread; the holes it passes fit it and stand on the "
    "host's circle, at the host's angles; a washer is of its size; its driver is known",
    formula="passing hole within the fine … coarse series of ISO 273",
    source="ISO 261 and 262 (threads), ISO 273 (clearance holes), product standards for heads",
    example="an M2.5 screw into a hole tapped M3",
)
def screw_thread(design: Design) -> Iterator[Finding]:
    for name, fastening in design.fastenings.items():
        held = design.kit.held[name]
        if isinstance(fastening.part, Fastener):
            yield from _threads(fastening, held, fastening.part)
            yield from _passing(fastening, held, fastening.part)
            yield from _head(fastening, held, fastening.part)
        elif held.holes:
            yield Finding(
                held.place("holes"),
                "screw-thread",
                f"holes for {name}, which no screw holds",
                "no holes",
            )


def _threads(fastening: Fastening, held: Held, part: Fastener) -> Iterator[Finding]:
    thread = part.parsed.thread
    item, host = fastening.item, fastening.host
    if fastening.kind == "set-screw":
        cross = item.part.set_screw
        if held.holes:
            yield Finding(
                held.place("holes"),
                "screw-thread",
                f"hole numbers for the set screw of {item.id}",
                "none: it sits in the item's own cross hole",
            )
        if cross is None:
            yield Finding(
                held.place("by"),
                "screw-thread",
                f"{item.id} has no tapped cross hole for {part.id}",
                f"a part with set-screw: {{thread: {thread}}}",
                facts=(item.part.place(), part.place()),
            )
        elif cross.thread != thread:
            yield Finding(
                held.place("by"),
                "screw-thread",
                f"{part.id} in the {cross.thread} cross hole of {item.id}",
                "the same thread",
                facts=(item.part.place("set_screw", "thread"), part.place()),
            )
        return
    if not held.holes:
        yield Finding(
            held.place("by"),
            "screw-thread",
            f"no hole numbers for the screws of {item.id}",
            f"holes: [1, 2, …], the numbers of the tapped holes in {host.id}",
            facts=(part.place(),),
        )
    for i, (number, hole) in enumerate(zip(held.holes, fastening.host_holes, strict=True)):
        if hole is None:
            there = len(host.part.hole_patterns)
            yield Finding(
                held.place("holes", i),
                "screw-thread",
                f"hole {number} of {host.id}, which has {there}",
                f"a number from 1 to {there}" if there else "a host with tapped holes",
                facts=(host.part.place("holes"),),
            )
        elif hole.thread != thread:
            tapped = f"is tapped {hole.thread}" if hole.thread else "is not tapped"
            yield Finding(
                held.place("by"),
                "screw-thread",
                f"{part.id} into hole {number} of {host.id}, which {tapped}",
                "the same thread",
                facts=(hole.place("thread"), part.place(), held.place("holes", i)),
            )
            return  # the other holes of the pattern say the same


def _passing(fastening: Fastening, held: Held, part: Fastener) -> Iterator[Finding]:
    if fastening.kind != "screw":
        return
    item, passing, size = fastening.item, fastening.passing, fastening.passing_size
    fits = clearance(part.parsed.thread)
    if size is None:
        yield Finding(
            held.place("by"),
            "screw-thread",
            f"{item.id} has no hole for {part.id} to pass",
            "a plain hole in its part",
            facts=(item.part.place(),),
        )
        return
    size_place = passing.place("size") if passing else item.part.place("bore")
    facts = (size_place, held.place("by"), part.place())
    if fits and not fits.fine <= size <= fits.coarse:
        yield Finding(
            size_place,
            "screw-thread",
            f"a {size:g} mm hole in {item.id} for {part.id}",
            f"{fits.fine:g} … {fits.coarse:g} mm, {fits.medium:g} by preference",
            facts=facts,
        )
    if passing is None:
        return
    circles = {hole.circle for hole in fastening.host_holes if hole is not None}
    if circles and passing.circle not in circles:
        wanted = ", ".join(
            "the centre" if c is None else f"{c:g} mm" for c in sorted(circles, key=str)
        )
        got = "in the centre" if passing.circle is None else f"on a {passing.circle:g} mm circle"
        yield Finding(
            passing.place("circle"),
            "screw-thread",
            f"{item.id} has its holes {got}, {fastening.host.id} on {wanted}",
            "one circle, so that the holes meet",
            facts=(*facts, fastening.host.part.place("holes")),
        )
    elif passing.count < len(held.holes):
        yield Finding(
            held.place("holes"),
            "screw-thread",
            f"{len(held.holes)} screws through the {passing.count} holes of {item.id}",
            f"at most {passing.count}",
            facts=(passing.place("count"),),
        )
    elif not _meet(fastening, passing):
        numbers = ", ".join(str(number) for number in held.holes)
        yield Finding(
            held.place("holes"),
            "screw-thread",
            f"the {passing.count} holes of {item.id} do not lie over holes {numbers} of "
            f"{fastening.host.id}",
            "holes at the same angles",
            "The holes of one entry stand at equal angles on their circle.",
            facts=(
                passing.place("count"),
                *(h.place("count") for h in fastening.host_holes if h is not None),
                *(held.place("holes", i) for i in range(len(held.holes))),
            ),
        )


def _meet(fastening: Fastening, passing: Holes) -> bool:
    """Whether the angles between the host's holes are angles between the passing ones."""
    first: dict[int, int] = {}  # the lowest number of each pattern of the host
    for number, hole in fastening.host.part.hole_patterns.items():
        first.setdefault(id(hole), number)
    start: dict[int, int] = {}  # the first of its holes that a screw goes into
    for number, hole in zip(fastening.holes, fastening.host_holes, strict=True):
        if hole is None or hole.circle is None:
            continue
        index = number - first[id(hole)]
        steps = index - start.setdefault(id(hole), index)
        if steps * passing.count % hole.count:
            return False
    return True


def _head(fastening: Fastening, held: Held, part: Fastener) -> Iterator[Finding]:
    if fastening.head is None:
        yield Finding(
            part.place(),
            "screw-thread",
            f"nothing is known of the head and driver of {part.id}",
            "a standard that has a table here, or `head`, `head-height` and `driver`",
            facts=(held.place("by"),),
        )
    washer = fastening.washer
    if isinstance(washer, Fastener) and washer.parsed.thread != part.parsed.thread:
        yield Finding(
            held.place("washer"),
            "screw-thread",
            f"{washer.id} under {part.id}",
            f"a washer for {part.parsed.thread}",
            facts=(washer.place(), held.place("by")),
        )
