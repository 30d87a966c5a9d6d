"""When a proof fails: what is seen, which mistake shows it, and where to go back to."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from kitdocs.assembly.design import Design
from kitdocs.assembly.misbuild_kinds import LIKELY, Change, Mistake, Mistakes
from kitdocs.assembly.misbuild_sight import FELT, ORDER, Sight
from kitdocs.assembly.misbuild_sights import Bench
from kitdocs.assembly.proof import Proof
from kitdocs.kit.parts import Toothed

#: What one fault tells of, and how many a stage lists: as much as is read at a bench (our own).
MOST_SIGHTS = 3
#: What only a proof tells of: everything went together.
RUNS_WRONG = ("locked", "reversed", "angle", "stray")
#: Wheels whose teeth differ by more are told apart at a glance: a share of the larger (our own).
LIKE_TEETH = 0.2
MOST_FAULTS = 12


@dataclass(frozen=True)
class Cause:
    """A mistake that looks like others, and how many built items come off before it shows."""

    mistake: Mistake
    above: int


@dataclass(frozen=True)
class Fault:
    """What is seen, and every mistake that shows it.

    Its causes cannot be told apart without taking something off; they are in the order in which
    least has to come off. With `places` they are one mistake, made here or there, and the sights
    are those of the first place. `shown_at` is the stage at whose end it can be seen.
    """

    stage: str
    shown_at: str
    sights: tuple[Sight, ...]
    causes: tuple[Cause, ...]
    places: bool


def faults(design: Design) -> Mapping[str, tuple[Fault, ...]]:
    """The faults of each stage, sorted by what is seen, by stage. Stages without any are absent."""
    benches = {stage.id: _bench(design, stage.id) for stage in design.kit.stages}
    found: dict[str, tuple[Fault, ...]] = {}
    for stage in design.kit.stages:
        bench, seen = benches[stage.id], []
        for mistake, change in Mistakes(design, stage, design.built[stage.id]).all():
            sights, shown_at = _seen(design, benches, stage.id, change)
            if sights and _taken_for_right(design, mistake, sights):
                seen.append((mistake, shown_at, sights))
        listed = _listed(list(_grouped(design, bench, seen)))
        if listed:
            found[stage.id] = tuple(sorted(listed, key=_by_sight))
    return MappingProxyType(found)


def _bench(design: Design, stage: str) -> Bench:
    proof: Proof | None = design.proofs.get(stage)
    right = proof.machine if proof else design.of_items(design.built[stage])
    return Bench(design, proof, right)


def _seen(
    design: Design, benches: Mapping[str, Bench], stage: str, change: Change
) -> tuple[tuple[Sight, ...], str]:
    """What a change shows at the end of its stage, or else of the first that shows it."""
    sights = benches[stage].see(change)
    if sights:
        return sights, stage
    last = design.kit.stages[-1].id
    whole = benches[last].see(change) if stage != last else ()
    if not whole:
        return (), stage
    items = {name for sight in whole[:1] for name in sight.items}
    later = [s.id for s in design.kit.stages if s.number > _number(design, stage)]
    first = next((s for s in later if items <= design.built[s]), last)
    return benches[first].see(change), first


def _number(design: Design, stage: str) -> int:
    return next(s.number for s in design.kit.stages if s.id == stage)


def _taken_for_right(design: Design, mistake: Mistake, sights: Sequence[Sight]) -> bool:
    """Whether a wheel is like enough to the right one, or runs well enough, to be left on."""
    parts = [design.kit.parts[name] for name in mistake.parts]
    teeth = [part.teeth for part in parts if isinstance(part, Toothed)]
    if len(teeth) < 2 or sights[0].kind not in ("jam", "apart"):
        return True
    return abs(teeth[0] - teeth[1]) <= LIKE_TEETH * max(teeth)


Seen = tuple[Mistake, str, tuple[Sight, ...]]


def _grouped(design: Design, bench: Bench, seen: Sequence[Seen]) -> Iterator[Fault]:
    """Mistakes that look the same, together."""
    groups: list[list[Seen]] = []
    for one in seen:
        for group in groups:
            if group[0][1] == one[1] and _alike(design, group[0], one):
                group.append(one)
                break
        else:
            groups.append([one])
    for group in groups:
        first = group[0]
        causes = [Cause(mistake, _above(bench, mistake)) for mistake, *_ in group]
        ordered = sorted(causes, key=lambda c: (c.above, LIKELY.index(c.mistake.kind)))
        places = any(not _same_place(first[2], sights) for *_, sights in group)
        yield Fault(first[0].stage, first[1], _told(first[2]), tuple(ordered), places)


def _alike(design: Design, one: Seen, other: Seen) -> bool:
    """Whether two mistakes show the same at the same things, or are one mistake at like places."""
    a, b = _told(one[2]), _told(other[2])
    if len(a) != len(b):
        return False
    pairs = list(zip(a, b, strict=True))
    if any(x.kind != y.kind or not _near(design, one[1], x, y) for x, y in pairs):
        return False
    if _same_place(a, b):
        return True
    if one[0].kind != other[0].kind or one[0].parts != other[0].parts:
        return False
    return one[0].kind == "screw" or _parts(design, one) == _parts(design, other)


def _same_place(a: Sequence[Sight], b: Sequence[Sight]) -> bool:
    return [_where(sight) for sight in _told(a)] == [_where(sight) for sight in _told(b)]


def _where(sight: Sight) -> tuple[str, ...]:
    """Where it is seen: end play is felt at the arbor, whatever is missing from it."""
    return (sight.arbor,) if sight.kind == "loose" else (*sight.items, sight.arbor)


def _told(sights: Sequence[Sight]) -> tuple[Sight, ...]:
    """The sights that a fault tells: every arm that stands still, and the first of the others."""
    others = [sight for sight in sights if sight.kind != "still"][:MOST_SIGHTS]
    return tuple(s for s in sights if s.kind == "still" or s in others)


def _parts(design: Design, seen: Seen) -> list[str]:
    names = [*seen[0].items, *(name for sight in _told(seen[2]) for name in sight.items)]
    return [design.kit.items[name].part.id for name in names]


def _near(design: Design, stage: str, a: Sight, b: Sight) -> bool:
    """Whether two figures cannot be told apart with what is at a bench."""
    proof = design.proofs.get(stage)
    off = FELT
    if a.kind in ("angle", "reversed") and proof:
        off = next((s.tolerance for s in proof.shown if s.arbor == a.arbor), FELT)
    return abs(a.amount - b.amount) <= off


def _above(bench: Bench, mistake: Mistake) -> int:
    """How many built items lie above the mistake on its axis."""
    kit, spans = bench.right.kit, bench.right.heights.spans
    mine = [kit.items[name] for name in mistake.items if name in kit.items]
    item = max(mine, key=lambda i: spans[i.id].top if i.id in spans else 0.0)
    axis, top = kit.arbors[item.arbor].axis, spans.get(item.id)
    return sum(
        top is not None and kit.arbors[other.arbor].axis == axis and spans[name].bottom >= top.top
        for name, other in kit.items.items()
        if name in spans
    )


def _listed(faults: Sequence[Fault]) -> list[Fault]:
    """As many as are read at a bench: what turns and turns wrongly, then the first of each kind
    of mistake, then the second ones."""
    counts: Counter[int] = Counter()
    ranked = []
    for fault in faults:
        kind = min(LIKELY.index(cause.mistake.kind) for cause in fault.causes)
        counts[kind] += 1
        runs = any(sight.kind in RUNS_WRONG for sight in fault.sights)
        ranked.append((not runs, counts[kind], kind, fault))
    ranked.sort(key=lambda one: one[:3])
    return [fault for *_, fault in ranked[:MOST_FAULTS]]


def _by_sight(fault: Fault) -> tuple[int, str]:
    return ORDER.index(fault.sights[0].kind), fault.sights[0].arbor
