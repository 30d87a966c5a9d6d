"""part-kind: a part is of a kind that does what the part does in the machine."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.model import Item, Kit
from kitdocs.kit.parts import Plate, Shaft
from kitdocs.rules.rule import rule


@rule(
    "part-kind",
    group="Stacks",
    demand="a pipe has a bore, an arbor and a post have none; a post is fixed and an arbor turns; "
    "a collet grips with a set screw, a knob and a bush are held, and a hub is held or holds; "
    "a spacer is held by nothing; feet carry the frame; an arm carries an axis, a hand none; "
    "a plate is round, or has width and depth",
    source="our own: a part is drawn and named after its kind",
    example="a pipe of 8 mm, bored 6.05 mm, written down as a post",
    follows=("stack-seat", "build-complete", "screw-thread", "fit-running", "train-locked"),
)
def part_kind(design: Design) -> Iterator[Finding]:
    told: set[str] = set()
    for item in design.kit.items.values():
        test = _TESTS.get(item.part.kind)
        if test is None or item.part.id in told:
            continue
        fault = test(design.kit, item)
        if fault is None:
            continue
        told.add(item.part.id)
        yield Finding(
            item.part.place("kind"),
            "part-kind",
            f"{item.id} is {_a(item.part.kind)} and {fault[0]}",
            fault[1],
            facts=(
                item.place,
                design.kit.arbors[item.arbor].place("fixed"),
                item.part.place("bore"),
                item.part.place("set_screw"),
            ),
        )


_Fault = tuple[str, str] | None


def _a(kind: str) -> str:
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"


def _pipe(kit: Kit, item: Item) -> _Fault:
    bored = isinstance(item.part, Shaft) and item.part.bore
    return None if bored else ("has no bore", "a pipe with a bore, or another kind")


def _solid(kit: Kit, item: Item) -> _Fault:
    if isinstance(item.part, Shaft) and item.part.bore:
        return "has a bore", "a pipe"
    fixed, kind = kit.arbors[item.arbor].fixed, item.part.kind
    if item.where == "shaft" and fixed != (kind == "post"):
        return ("does not turn", "a post") if fixed else ("turns", "an arbor")
    return None


def _collet(kit: Kit, item: Item) -> _Fault:
    return None if item.part.set_screw else ("has no set screw", "a set screw, or a spacer")


def _hub(kit: Kit, item: Item) -> _Fault:
    used = item.id in kit.held or any(held.to == item.id for held in kit.held.values())
    return None if used else ("neither holds nor is held", "what it holds, or a spacer")


def _knob(kit: Kit, item: Item) -> _Fault:
    return None if item.id in kit.held else ("is held by nothing", "what holds it")


def _spacer(kit: Kit, item: Item) -> _Fault:
    return ("is held in place", "a collet, or a hub") if item.id in kit.held else None


def _foot(kit: Kit, item: Item) -> _Fault:
    frame = kit.arbors[item.arbor].axis is None
    return None if frame and item.level == 0 else ("is not below the frame", "the lowest level")


def _pillar(kit: Kit, item: Item) -> _Fault:
    frame = kit.arbors[item.arbor].axis is None
    return None if frame and item.level else ("is not on a plate of the frame", "another kind")


def _plate(kit: Kit, item: Item) -> _Fault:
    part = item.part
    sized = isinstance(part, Plate) and (part.outside or (part.width and part.depth))
    return None if sized else ("has no outline", "outside, or width and depth")


def _arm(kit: Kit, item: Item) -> _Fault:
    return None if _carries(kit, item) else ("carries no axis", "an arm that does, or a hand")


def _hand(kit: Kit, item: Item) -> _Fault:
    if item.arbor == kit.mechanism.crank:
        return "is on the crank", "a crank handle, or an arm"
    return ("carries an axis", "an arm") if _carries(kit, item) else None


def _crank_handle(kit: Kit, item: Item) -> _Fault:
    crank = item.arbor == kit.mechanism.crank
    return None if crank else ("is not on the crank", "a handle there, or another kind")


def _carries(kit: Kit, item: Item) -> bool:
    return any(axis.carried_by == item.arbor for axis in kit.axes.values())


_TESTS: Mapping[str, Callable[[Kit, Item], _Fault]] = {
    "pipe": _pipe,
    "arbor": _solid,
    "post": _solid,
    "collet": _collet,
    "hub": _hub,
    "knob": _knob,
    "spacer": _spacer,
    "washer": _spacer,
    "foot": _foot,
    "pillar": _pillar,
    "bush": _knob,
    "plate": _plate,
    "dial": _plate,
    "arm": _arm,
    "hand": _hand,
    "crank-handle": _crank_handle,
}
