"""What each action needs and does: one function a verb.

An action that cannot be done yields a finding, and is then carried out as it was meant, so that
one mistake is told once and not again with all that follows from it.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterator

from kitdocs.assembly.bench import Bench, Job
from kitdocs.assembly.state import FIRM, FOR_EVER, MACHINE, Hold
from kitdocs.finding import Finding

#: What an action does to one item; it yields what stands against it.
Act = Callable[[Bench, Job], Iterator[Finding]]


def carry_out(bench: Bench, job: Job) -> Iterator[Finding]:
    """Do one action to one of its items (`mesh`: to both)."""
    yield from _ACTS[job.verb](bench, job)


def _make_up(bench: Bench, job: Job) -> Iterator[Finding]:
    if (yield from _built_twice(bench, job)):
        return
    laid = bench.laid_together(job)
    seat = next((s for s in bench.seats_there(job.item) if s in laid), None)
    yield from _join(bench, job, frozenset({job.item}), bench.draft.at[seat] if seat else job.item)


def _fit(bench: Bench, job: Job) -> Iterator[Finding]:
    yield from _put(bench, job)


def _press(bench: Bench, job: Job) -> Iterator[Finding]:
    yield from _put(bench, job)
    yield from _hold(bench, job, "pressed")


def _put(bench: Bench, job: Job) -> Iterator[Finding]:
    """Build an item at once in its place, on whatever it sits on."""
    item, draft = job.item, bench.draft
    if (yield from _built_twice(bench, job)):
        return
    begins = bench.begins(item)
    seats = [] if begins else bench.seats_there(item)
    assembly = draft.at[seats[0]] if seats else MACHINE
    if not seats and not begins:
        wanted = bench.contacts.seats(item) or tuple(bench.contacts.mates(item))
        yield from bench.fault(
            job,
            "step-order",
            f"nothing that {item} sits on is built",
            f"{wanted[0]} built before it" if wanted else "the frame built before it",
            f"`make-up: {item}` lays it on the bench.",
            (item, *wanted[:1]),
        )
        assembly = item
    there = bench.members(assembly)
    end = bench.access.passes(item, there)
    if job.verb == "fit" and end is not None:
        yield from bench.fault(
            job,
            "step-order",
            f"{item} goes over the end of {end}",
            f"`slide-on: {item}`",
            facts=bench.held_at(item),
        )
    elif job.verb == "slide-on" and end is None and seats:
        yield from bench.fault(
            job, "step-order", f"{item} goes over the end of nothing", f"`fit: {item}`"
        )
    yield from _join(bench, job, frozenset({item}), assembly)


def _place(bench: Bench, job: Job) -> Iterator[Finding]:
    if (yield from _not_built(bench, job)):
        return
    assembly = bench.draft.at[job.item]
    if assembly == MACHINE:
        found, expected = f"{job.item} is in its place already", "something that lies on the bench"
        yield from bench.fault(job, "step-order", found, expected)
        return
    if assembly in bench.draft.off:
        found, expected = f"{job.item} was taken off", f"`refit: {job.item}`"
        yield from bench.fault(job, "step-slack", found, expected, about=(assembly,))
        bench.draft.put("off", assembly, None)
    yield from _put_back(bench, job, assembly)


def _refit(bench: Bench, job: Job) -> Iterator[Finding]:
    if (yield from _not_built(bench, job)):
        return
    assembly = bench.draft.at[job.item]
    if assembly not in bench.draft.off:
        made_up = assembly != MACHINE
        expected = f"`place: {job.item}`" if made_up else "`remove` before it"
        found = f"{job.item} was not removed"
        yield from bench.fault(job, "step-slack", found, expected)
        if not made_up:
            return
    bench.draft.put("off", assembly, None)
    yield from _put_back(bench, job, assembly)


def _put_back(bench: Bench, job: Job, assembly: str) -> Iterator[Finding]:
    """Join an assembly from the bench to what it finds its place by."""
    moved = frozenset(bench.draft.members[assembly])
    seat = bench.contacts.reach(bench.draft, moved, job.item)
    if seat is None:
        wanted = next((s for s in bench.contacts.seats(job.item) if s not in moved), None)
        yield from bench.fault(
            job,
            "step-order",
            f"nothing that {job.item} sits on is built",
            f"{wanted or 'what it sits on'} built before it",
            about=(job.item, *((wanted,) if wanted else ())),
        )
    yield from _join(bench, job, moved, bench.draft.at[seat] if seat else MACHINE)


def _join(bench: Bench, job: Job, moved: frozenset[str], assembly: str) -> Iterator[Finding]:
    """Bring items to their place in an assembly, where the way is free."""
    there = bench.members(assembly)
    barred = bench.access.bars(moved, there, False)
    if barred is not None and _from_the_other_end(bench, job, moved, assembly, barred[1]):
        barred = bench.access.bars(moved, there, True)
    if barred is not None:
        item, bar = barred
        for_ever = " for ever" if bench.draft.hold(bar) in FOR_EVER else ""
        yield from bench.fault(
            job,
            "step-captive",
            f"{item} has to pass {bar}, which is there{for_ever}",
            f"{job.item} in its place before {bar}",
            about=(job.item, bar),
            facts=(*bench.history(bar), *(bench.kit.items[i].place for i in barred)),
        )
    yield from bench.oil_wanted(job, moved, there)
    bench.join(job, moved, assembly)


def _from_the_other_end(
    bench: Bench, job: Job, moved: frozenset[str], assembly: str, bar: str
) -> bool:
    """Whether items may come from below, when something bars their way from above.

    On the bench it can be turned over, but not for the sake of what lies there loose.
    """
    if any(bench.hangs(item, bench.members(assembly)) for item in moved):
        return True
    return assembly != MACHINE and (job.verb == "place" or bench.draft.hold(bar) in FIRM)


def _remove(bench: Bench, job: Job) -> Iterator[Finding]:
    item, draft = job.item, bench.draft
    if (yield from _not_built(bench, job)):
        return
    if draft.at[item] != MACHINE:
        found, expected = f"{item} is off the machine already", "an item in its place"
        yield from bench.fault(job, "step-slack", found, expected)
        return
    yield from _still_held(bench, job)
    moved = bench.contacts.lifted(draft, item)
    if any(bench.contacts.in_frame(other) for other in moved) and item not in bench.told:
        yield from bench.fault(job, "step-slack", f"{item} is fast to the frame", "a loose item")
    if any(bench.contacts.in_frame(other) for other in moved):
        moved = frozenset({item})
    barred = bench.access.bars(moved, bench.members(MACHINE), False)
    if barred is not None:
        under, bar = barred
        for_ever = " for ever" if draft.hold(bar) in FOR_EVER else ""
        yield from bench.fault(
            job,
            "step-captive",
            f"{under} has to pass {bar}, which is there{for_ever}",
            f"{bar} off before {item}",
            about=(item, bar),
            facts=(*bench.history(bar), *(bench.kit.items[i].place for i in barred)),
        )
    bench.part(job, moved)


def _still_held(bench: Bench, job: Job) -> Iterator[Finding]:
    """What is lifted by an item must be loose: itself, or what it is fast to."""
    kit, draft, item = bench.kit, bench.draft, job.item
    firm = [item] if draft.hold(item) in FIRM and item in kit.held else []
    if firm:
        host = kit.held[item].to
        if draft.hold(host) == "slack":
            return  # a wheel that comes off with its hub
        if host in kit.held and draft.hold(host) in FIRM and draft.hold(item) == "tight":
            firm.append(host)
    if not firm:
        return
    hold = draft.hold(item)
    if hold in FOR_EVER:
        found, expected = f"{item} is {hold} for ever", "something that can be taken off"
    else:
        found, expected = f"the fasteners of {item} are tight", f"`slacken: {firm[-1]}` before it"
    yield from bench.fault(job, "step-slack", found, expected, facts=bench.held_at(item))


def _fasten(bench: Bench, job: Job) -> Iterator[Finding]:
    yield from _hold(bench, job, "tight")


def _glue(bench: Bench, job: Job) -> Iterator[Finding]:
    yield from _hold(bench, job, "glued")


def _hold(bench: Bench, job: Job, hold: Hold) -> Iterator[Finding]:
    held = bench.kit.held.get(job.item)
    if held is None:
        return  # step-item tells of it
    if job.verb != "press" and (yield from _not_built(bench, job)):
        return
    now = bench.draft.hold(job.item)
    if now != "out":
        mend = f"`tighten: {job.item}` tightens what was slackened." if now == "slack" else ""
        found, expected = f"{job.item} is fastened already", "once"
        facts = bench.held_at(job.item)
        yield from bench.fault(job, "step-order", found, expected, mend, facts=facts)
    yield from _apart(bench, job, held.to)
    bench.hold(job, hold)


def _apart(bench: Bench, job: Job, *others: str) -> Iterator[Finding]:
    """Two items that an action takes for granted to be together, and are not."""
    for other in others:
        if bench.draft.together(job.item, other):
            continue
        if other not in bench.draft.at:
            yield from bench.not_built(job, other)
            continue
        loose = next((i for i in (job.item, other) if bench.draft.at[i] != MACHINE), job.item)
        lies = bench.draft.at[loose]
        off = lies in bench.draft.off
        how = f"`{'refit' if off else 'place'}: {lies}`"
        yield from bench.fault(
            job,
            "step-slack" if off else "step-order",
            f"{job.item} and {other} are apart: {loose} lies {'off' if off else 'made up'} "
            "on the bench",
            f"{how} before it",
            about=(job.item, other, lies),
            facts=bench.history(loose),
        )
        bench.bring_together(job, job.item, other)


def _mesh(bench: Bench, job: Job) -> Iterator[Finding]:
    a, b = job.action.items
    if bench.kit.mesh(a, b) is None:
        return  # step-item tells of it
    pair = frozenset((a, b))
    if pair in bench.draft.met:
        found = f"{a} and {b} are in mesh already"
        facts = (*bench.met_at(pair), *bench.mesh_place(pair))
        yield from bench.fault(job, "step-order", found, "once", facts=facts)
        return
    for item in (a, b):
        if item not in bench.draft.at:
            yield from bench.not_built(job, item)
            return
    if not bench.draft.together(a, b):
        yield from _apart(bench, job, b)
    elif bench.is_late(pair):
        yield from bench.fault(
            job,
            "step-order",
            f"{a} and {b} came together before, and other work was done since",
            f"`mesh: [{a}, {b}]` right after the second of them is in its place",
            about=(a, b),
            facts=bench.joined_at(pair),
        )
    bench.meet(job, pair)


def _slacken(bench: Bench, job: Job) -> Iterator[Finding]:
    yield from _driven(bench, job, "tight", "slack", "is not tight", "`fasten` before it")


def _tighten(bench: Bench, job: Job) -> Iterator[Finding]:
    if job.item in bench.kit.held and job.item in bench.draft.at:
        yield from _apart(bench, job, bench.kit.held[job.item].to)
    yield from _driven(bench, job, "slack", "tight", "was not slackened", "`slacken` before it")


def _driven(
    bench: Bench, job: Job, before: Hold, after: Hold, found: str, expected: str
) -> Iterator[Finding]:
    if (yield from _not_built(bench, job)) or job.item not in bench.kit.held:
        return
    if bench.draft.hold(job.item) != before:
        facts = bench.held_at(job.item)
        yield from bench.fault(job, "step-slack", f"{job.item} {found}", expected, facts=facts)
        return
    if after == "slack" and bench.draft.at[job.item] in bench.draft.off:
        found, expected = f"{job.item} is off the machine already", "an item in its place"
        yield from bench.fault(job, "step-slack", found, expected)
    bench.hold(job, after)


def _oil(bench: Bench, job: Job) -> Iterator[Finding]:
    if not (yield from _not_built(bench, job)):
        bench.draft.put("oiled", job.item, True)


def _aim(bench: Bench, job: Job) -> Iterator[Finding]:
    if not (yield from _not_built(bench, job)):
        bench.draft.put("aims", job.item, job.action.value)


def _look(bench: Bench, job: Job) -> Iterator[Finding]:
    yield from _not_built(bench, job)


def _not_built(bench: Bench, job: Job) -> Generator[Finding, None, bool]:
    """Whether the item is not built yet, which is told."""
    if job.item in bench.draft.at:
        return False
    yield from bench.not_built(job, job.item)
    return True


def _built_twice(bench: Bench, job: Job) -> Generator[Finding, None, bool]:
    if job.item not in bench.draft.at:
        return False
    yield from bench.fault(
        job,
        "step-order",
        f"{job.item} is built already",
        "once",
        "What was made up is put in its place by `place`, what was removed by `refit`.",
        facts=(*bench.history(job.item), bench.kit.items[job.item].place),
    )
    return True


_ACTS: dict[str, Act] = {
    "make-up": _make_up,
    "place": _place,
    "fit": _fit,
    "slide-on": _fit,
    "press": _press,
    "mesh": _mesh,
    "fasten": _fasten,
    "glue": _glue,
    "slacken": _slacken,
    "tighten": _tighten,
    "remove": _remove,
    "refit": _refit,
    "oil": _oil,
    "aim": _aim,
    "turn": _look,
    "check": _look,
}
