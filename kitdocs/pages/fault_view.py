"""Fault-finding: what is seen, what happened, and which step to go back to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import ceil

from kitdocs.assembly.misbuild import Cause, Fault
from kitdocs.assembly.misbuild_sight import Sight
from kitdocs.kit.model import Item
from kitdocs.kit.parts import Shaft, Toothed
from kitdocs.kit.stage import Stage
from kitdocs.mechanism.heights import levels
from kitdocs.pages.handbook import Handbook, Ref
from kitdocs.pages.proof_view import turned_name

#: Kinds of sights, gathered under what a builder would say, in the order of the page.
GROUPS: Mapping[str, tuple[str, ...]] = {
    "apart": ("jam", "clear", "apart", "shifted", "still"),
    "locked": ("locked",),
    "reversed": ("reversed",),
    "angle": ("angle", "stray"),
    "tight": ("binds", "rubs"),
    "loose": ("loose", "short"),
    "screws": ("proud", "sunk", "bottoms", "thread"),
    "opposite": ("opposite",),
}


@dataclass(frozen=True)
class Thing:
    """An item by name; `on`, `below` and `above` tell it from others of its kind, where there
    are such."""

    name: str
    on: str = ""
    below: str = ""
    above: str = ""


@dataclass(frozen=True)
class SightView:
    """One thing seen: `things` as its kind has them (`misbuild_sight.py`), `amount` and
    `should_be` with their units, `lower` where the first thing is the lower one."""

    kind: str
    things: tuple[Thing, ...]
    names: tuple[str, ...] = ()
    amount: str = ""
    should_be: str = ""
    lower: bool = False
    nothing: bool = False
    clockwise: bool = False
    screws: bool = False


@dataclass(frozen=True)
class CauseView:
    """One mistake; `parts` are the right part and the wrong one, `sizes` what tells them apart."""

    kind: str
    things: tuple[Thing, ...]
    parts: tuple[str, ...]
    sizes: tuple[str, ...]
    by_teeth: bool
    flat: bool
    step: Ref
    above: int
    also: int = 0


@dataclass(frozen=True)
class FaultView:
    """`turns` of what was turned in the proof, for angles; `later` leads to the stage whose proof
    shows the fault where that is not its own."""

    group: str
    stage: Ref
    sights: tuple[SightView, ...]
    causes: tuple[CauseView, ...]
    places: bool
    later: Ref | None
    turned: str
    turns: str
    many: int


@dataclass(frozen=True)
class FaultsView:
    """The faults of a kit: by group, in order, those of each stage in theirs."""

    groups: tuple[tuple[str, tuple[FaultView, ...]], ...]
    stages: int
    count: int


def stage_faults(book: Handbook, stage: Stage) -> tuple[FaultView, ...]:
    """What can be seen to be wrong at a stage's end."""
    return tuple(_fault(book, fault) for fault in book.design.faults.get(stage.id, ()))


def faults_view(book: Handbook) -> FaultsView:
    """Everything of the kit, by what is seen."""
    found = [fault for stage in book.kit.stages for fault in stage_faults(book, stage)]
    groups = tuple((g, tuple(f for f in found if f.group == g)) for g in GROUPS)
    return FaultsView(
        tuple((name, rows) for name, rows in groups if rows), len(book.design.faults), len(found)
    )


def _fault(book: Handbook, fault: Fault) -> FaultView:
    stages = {stage.id: stage for stage in book.kit.stages}
    proof = book.design.proofs.get(fault.shown_at)
    first = fault.sights[0].kind
    return FaultView(
        group=next(name for name, kinds in GROUPS.items() if first in kinds),
        stage=book.stage_ref(stages[fault.stage]),
        sights=tuple(_sights(book, fault)),
        causes=_causes(book, fault.causes),
        places=fault.places,
        later=book.stage_ref(stages[fault.shown_at]) if fault.shown_at != fault.stage else None,
        turned=turned_name(book, proof) if proof else "",
        turns=book.numbers.counted_turns(proof.turns) if proof else "",
        many=ceil(abs(proof.turns)) if proof else 1,
    )


def _sights(book: Handbook, fault: Fault) -> Iterable[SightView]:
    still = [book.arbor_name(s.arbor) for s in fault.sights if s.kind == "still"]
    for sight in fault.sights:
        if sight.kind != "still":
            yield _sight(book, sight)
        elif still:
            yield SightView("still", (), tuple(still))
            still = []


def _sight(book: Handbook, sight: Sight) -> SightView:
    def shown(value: float) -> str:
        if sight.kind in ("angle", "reversed", "opposite"):
            return book.turned(value)
        return book.numbers.millimetres(round(abs(value), 1 if abs(value) >= 0.1 else 2))

    return SightView(
        sight.kind,
        tuple(thing(book, book.kit.items[name]) for name in sight.items),
        (book.arbor_name(sight.arbor),) if sight.arbor else (),
        shown(sight.amount),
        shown(sight.should_be),
        sight.amount < 0,
        round(abs(sight.amount), 2) == 0,
        sight.amount < 0,
        sight.screws,
    )


def _causes(book: Handbook, causes: Iterable[Cause]) -> tuple[CauseView, ...]:
    """Each cause once: those that read the same and lead to one step are counted together."""
    found: dict[tuple[object, ...], CauseView] = {}
    for cause in causes:
        view = _cause(book, cause)
        names = tuple(t.name for t in view.things)
        key = (view.kind, names, view.parts, view.step)
        if key in found:
            view = CauseView(**{**vars(found[key]), "also": found[key].also + 1})
        found[key] = view
    return tuple(found.values())


def _cause(book: Handbook, cause: Cause) -> CauseView:
    kit, mistake = book.kit, cause.mistake
    stage = next(s for s in kit.stages if s.id == mistake.stage)
    step = next(s for s in stage.steps if s.id == mistake.step)
    parts = [kit.parts[name] for name in mistake.parts]
    by_teeth = bool(parts) and all(isinstance(part, Toothed) for part in parts)
    sizes = [
        book.numbers.plain(part.teeth)
        if isinstance(part, Toothed)
        else book.numbers.millimetres(part.height)
        if part.height
        else ""
        for part in parts
    ]
    shaft = kit.items.get(kit.items[mistake.items[0]].arbor)
    return CauseView(
        kind=mistake.kind,
        things=tuple(thing(book, kit.items[name]) for name in mistake.items),
        parts=tuple(book.names.one(part) for part in parts),
        sizes=tuple(sizes),
        by_teeth=by_teeth,
        flat=shaft is not None and isinstance(shaft.part, Shaft) and shaft.part.flat,
        step=Ref(str(step.number), stage.uri, step.id),
        above=cause.above,
    )


def thing(book: Handbook, item: Item) -> Thing:
    """An item by its name, with as much of its place as tells it from others of its part."""
    name = book.names.one(item.part)
    like = book.items_called[name]
    if len(like) == 1:
        return Thing(name)
    on = book.arbor_name(item.arbor) if item.arbor in book.kit.items else ""
    beside = [i for i in like if i.arbor == item.arbor]
    if len(beside) == 1:
        return Thing(name, on)
    stack = levels(i for i in book.kit.on_arbor[item.arbor] if i.where == item.where)
    at = next(n for n, level in enumerate(stack) if item in level)
    below = book.names.one(stack[at - 1][0].part) if at else ""
    above = book.names.one(stack[at + 1][0].part) if at + 1 < len(stack) else ""
    return Thing(name, on, below, above)
