"""The figures behind the rules that have one: each with its limit and how near it comes to it."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from kitdocs.kit.model import Mesh
from kitdocs.kit.parts import Toothed
from kitdocs.mechanism.contact import contact_ratio, mesh_backlash, spare_distance
from kitdocs.mechanism.gears import wanted_distance
from kitdocs.mechanism.positions import axis_distance
from kitdocs.mechanism.trains import turns_per_year
from kitdocs.pages.handbook import Handbook
from kitdocs.pages.record_fasteners import grips, lengths, set_screws, threads_left
from kitdocs.pages.record_figure import Figure, room
from kitdocs.rules.clash_finding import solid_name
from kitdocs.rules.mesh_overlap import least_share
from kitdocs.words.numbers import (
    days,
    degrees,
    millimetres,
    per_cent,
    plain,
    significant,
    with_unit,
)

_TIGHTEST = 5  # so many gaps of each limit are told


def figures(book: Handbook, rule: str) -> tuple[Figure, ...]:
    """The figures of one rule; none for a rule that only sees whether something is there."""
    found = _FIGURES.get(rule)
    return tuple(found(book)) if found else ()


def _pair(book: Handbook, mesh: Mesh) -> str:
    teeth = " with ".join(book.names.one(i.part) for i in (mesh.a, mesh.b))
    return f"{teeth} ({mesh.a.id}, {mesh.b.id})"


def _distances(book: Handbook) -> Iterator[Figure]:
    kit, limit, places = book.kit, book.design.limit("mesh-distance"), book.design.positions
    for mesh in kit.meshes:
        wanted = wanted_distance(mesh.a.part, mesh.b.part)
        actual = axis_distance(kit, mesh.a.arbor, mesh.b.arbor, places)
        spare = spare_distance(kit, mesh, places)
        if wanted is None or actual is None or spare is None:
            continue
        assert isinstance(mesh.a.part, Toothed)
        yield Figure(
            _pair(book, mesh),
            f"axes {millimetres(round(actual, 3))} apart, {millimetres(round(wanted, 3))} needed",
            f"{limit.text} more",
            room(spare / mesh.a.part.module, limit),
        )


def _contacts(book: Handbook) -> Iterator[Figure]:
    limit = book.design.limit("mesh-contact")
    for mesh in book.kit.meshes:
        ratio = contact_ratio(book.kit, mesh, book.design.positions)
        if ratio is not None:
            shown = f"contact ratio {plain(ratio, 2)}"
            yield Figure(_pair(book, mesh), shown, limit.text, room(ratio, limit))


def _overlaps(book: Handbook) -> Iterator[Figure]:
    limit = book.design.limit("mesh-overlap")
    for mesh in book.kit.meshes:
        share = least_share(book.design, mesh)
        if share is not None:
            shown = f"{with_unit(plain(share * 100, 1), '%')} of the narrower face"
            yield Figure(_pair(book, mesh), shown, limit.text, room(share * 100, limit))


def _backlash(book: Handbook) -> Iterator[Figure]:
    limit = book.design.limit("backlash")
    for mesh in book.kit.meshes:
        give = mesh_backlash(book.kit, mesh, book.design.positions)
        if give is not None and isinstance(mesh.a.part, Toothed):
            share = give / mesh.a.part.module
            yield Figure(_pair(book, mesh), f"backlash {millimetres(round(give, 3))}",
                         f"{limit.text}s", room(share, limit))  # fmt: skip
    limit = book.design.limit("free-play")
    for name, play in book.design.free_plays.items():
        shown = f"free play {degrees(play.degrees)}"
        yield Figure(
            book.kit.bodies[name].name, shown, limit.text, room(float(play.degrees), limit)
        )


def _periods(book: Handbook) -> Iterator[Figure]:
    for name, train in book.design.trains.items():
        body = book.kit.bodies[name]
        allowed = with_unit(significant(body.tolerance * 100, 3), "%")
        spare = 1 - float(abs(train.error) / body.tolerance) if body.tolerance else 0.0
        shown = f"{days(train.period_days)}, {per_cent(train.error)}"
        yield Figure(body.name, shown, f"±{allowed} of {days(train.reference.days)}", spare)


def _crank(book: Handbook) -> Iterator[Figure]:
    kit, motion = book.kit, book.design.motion
    speeds = {arbor: abs(float(speed)) for arbor, speed in motion.speeds.items()}
    if speeds:
        fastest = max(speeds, key=lambda arbor: speeds[arbor])
        limit = book.design.limit("crank-feel")
        shown = f"{plain(speeds[fastest], 2)} turns for one of the crank"
        yield Figure(book.arbor_name(fastest), shown, limit.text, room(speeds[fastest], limit))
    year = turns_per_year(kit, motion, kit.mechanism.crank)
    if year is not None:
        limit, turns = book.design.limit("crank-feel-year"), abs(float(year))
        yield Figure("crank", f"{significant(turns, 3)} turns a year", limit.text,
                     room(turns, limit))  # fmt: skip


def _gaps(name: str) -> Callable[[Handbook], Iterator[Figure]]:
    """The tightest gaps that one limit decides about."""

    def found(book: Handbook) -> Iterator[Figure]:
        limit = book.design.limit(name)
        for pair in [pair for pair in book.near_gaps if pair.limit == name][:_TIGHTEST]:
            yield Figure(
                f"from {solid_name(pair.a)} to {solid_name(pair.b)}",
                f"gap {millimetres(round(pair.gap, 3))} at a height of "
                f"{millimetres(round(pair.height, 3))}",
                limit.text,
                room(pair.gap, limit),
            )

    return found


def _below_screws(book: Handbook) -> Iterator[Figure]:
    yield from threads_left(book)
    yield from _gaps("screw-bottom-gap")(book)


def _end_plays(book: Handbook) -> Iterator[Figure]:
    limit = book.design.limit("stack-height")
    for play in book.design.end_plays.values():
        low, high = (round(end, 3) for end in play.worst)
        shown = millimetres(low) if low == high else f"{plain(low)} to {millimetres(high)}"
        yield Figure(
            f"{book.arbor_name(play.arbor)}, below {play.retainer.id}",
            f"end play {shown}",
            limit.text,
            min(room(low, limit), room(high, limit)),
        )


def _fits(use: str, name: str) -> Callable[[Handbook], Iterator[Figure]]:
    def found(book: Handbook) -> Iterator[Figure]:
        limit = book.design.limit(name)
        sign = -1 if use == "press" else 1
        for pairing in book.design.pairings:
            if pairing.use != use or pairing.hole is None or pairing.fit is not None:
                continue
            value = sign * (pairing.hole - pairing.shaft)
            what = "interference" if sign < 0 else "clearance"
            yield Figure(
                f"{pairing.inner.id} in {pairing.outer.id}",
                f"{what} {millimetres(round(value, 4))}",
                limit.text,
                room(value, limit),
            )

    return found


_FIGURES: dict[str, Callable[[Handbook], Iterator[Figure]]] = {
    "mesh-distance": _distances,
    "mesh-contact": _contacts,
    "mesh-overlap": _overlaps,
    "mesh-foul": _gaps("mesh-foul"),
    "arm-sweep": _gaps("arm-sweep"),
    "backlash": _backlash,
    "period-error": _periods,
    "crank-feel": _crank,
    "screw-grip": grips,
    "screw-bottom": _below_screws,
    "screw-head": _gaps("screw-head"),
    "screw-length": lengths,
    "set-screw": set_screws,
    "stack-height": _end_plays,
    "fit-running": _fits("running", "fit-running"),
    "fit-press": _fits("press", "fit-press"),
}
