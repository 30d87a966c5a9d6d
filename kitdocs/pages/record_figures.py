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
from kitdocs.pages.record_figure import Figure, limit_text, room
from kitdocs.rules.clash_finding import solid_name
from kitdocs.rules.mesh_overlap import least_share

_TIGHTEST = 5  # so many gaps of each limit are told


def figures(book: Handbook, rule: str) -> tuple[Figure, ...]:
    """The figures of one rule; none for a rule that only sees whether something is there."""
    found = _FIGURES.get(rule)
    return tuple(found(book)) if found else ()


def _pair(book: Handbook, mesh: Mesh) -> str:
    first, second = (book.names.one(item.part) for item in (mesh.a, mesh.b))
    pair = book.text("%(first)s with %(second)s", first=first, second=second)
    return f"{pair} ({mesh.a.id}, {mesh.b.id})"


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
            book.text(
                "axes %(actual)s apart, %(wanted)s needed",
                actual=book.numbers.millimetres(round(actual, 3)),
                wanted=book.numbers.millimetres(round(wanted, 3)),
            ),
            book.text("%(limit)s more", limit=limit_text(book, limit)),
            room(spare / mesh.a.part.module, limit),
        )


def _contacts(book: Handbook) -> Iterator[Figure]:
    limit = book.design.limit("mesh-contact")
    for mesh in book.kit.meshes:
        ratio = contact_ratio(book.kit, mesh, book.design.positions)
        if ratio is not None:
            shown = book.text("contact ratio %(ratio)s", ratio=book.numbers.plain(ratio, 2))
            yield Figure(_pair(book, mesh), shown, limit_text(book, limit), room(ratio, limit))


def _overlaps(book: Handbook) -> Iterator[Figure]:
    limit = book.design.limit("mesh-overlap")
    for mesh in book.kit.meshes:
        share = least_share(book.design, mesh)
        if share is not None:
            shared = book.numbers.with_unit(book.numbers.plain(share * 100, 1), "%")
            shown = book.text("%(share)s of the narrower face", share=shared)
            room_left = room(share * 100, limit)
            yield Figure(_pair(book, mesh), shown, limit_text(book, limit), room_left)


def _backlash(book: Handbook) -> Iterator[Figure]:
    limit = book.design.limit("backlash")
    for mesh in book.kit.meshes:
        give = mesh_backlash(book.kit, mesh, book.design.positions)
        if give is not None and isinstance(mesh.a.part, Toothed):
            share = give / mesh.a.part.module
            play = book.numbers.millimetres(round(give, 3))
            yield Figure(
                _pair(book, mesh),
                book.text("backlash %(play)s", play=play),
                limit_text(book, limit, book.text("modules")),
                room(share, limit),
            )
    limit = book.design.limit("free-play")
    for name, play in book.design.free_plays.items():
        shown = book.text("free play %(play)s", play=book.numbers.degrees(play.degrees))
        room_left = room(float(play.degrees), limit)
        yield Figure(book.names.body(name), shown, limit_text(book, limit), room_left)


def _periods(book: Handbook) -> Iterator[Figure]:
    for name, train in book.design.trains.items():
        body = book.kit.bodies[name]
        numbers = book.numbers
        allowed = numbers.with_unit(numbers.significant(body.tolerance * 100, 3), "%")
        spare = 1 - float(abs(train.error) / body.tolerance) if body.tolerance else 0.0
        shown = f"{numbers.days(train.period_days)}, {numbers.per_cent(train.error)}"
        limit = book.text(
            "±%(allowed)s of %(period)s",
            allowed=allowed,
            period=numbers.days(train.reference.days),
        )
        yield Figure(book.names.body(name), shown, limit, spare)


def _crank(book: Handbook) -> Iterator[Figure]:
    kit, motion = book.kit, book.design.motion
    speeds = {arbor: abs(float(speed)) for arbor, speed in motion.speeds.items()}
    if speeds:
        fastest = max(speeds, key=lambda arbor: speeds[arbor])
        limit = book.design.limit("crank-feel")
        shown = book.text(
            "%(turns)s turns for one of the crank", turns=book.numbers.plain(speeds[fastest], 2)
        )
        room_left = room(speeds[fastest], limit)
        yield Figure(book.arbor_name(fastest), shown, limit_text(book, limit), room_left)
    year = turns_per_year(kit, motion, kit.mechanism.crank)
    if year is not None:
        limit, turns = book.design.limit("crank-feel-year"), abs(float(year))
        shown = book.text("%(turns)s turns a year", turns=book.numbers.significant(turns, 3))
        yield Figure(book.text("crank"), shown, limit_text(book, limit), room(turns, limit))


def _gaps(name: str) -> Callable[[Handbook], Iterator[Figure]]:
    """The tightest gaps that one limit decides about."""

    def found(book: Handbook) -> Iterator[Figure]:
        limit = book.design.limit(name)
        for pair in [pair for pair in book.near_gaps if pair.limit == name][:_TIGHTEST]:
            yield Figure(
                book.text(
                    "from %(a)s to %(b)s",
                    a=solid_name(pair.a, book.language),
                    b=solid_name(pair.b, book.language),
                ),
                book.text(
                    "gap %(gap)s at a height of %(height)s",
                    gap=book.numbers.millimetres(round(pair.gap, 3)),
                    height=book.numbers.millimetres(round(pair.height, 3)),
                ),
                limit_text(book, limit),
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
        shown = book.numbers.millimetres(high)
        if low != high:
            shown = book.text("%(low)s to %(high)s", low=book.numbers.plain(low), high=shown)
        yield Figure(
            book.text(
                "%(arbor)s, below %(item)s",
                arbor=book.arbor_name(play.arbor),
                item=play.retainer.id,
            ),
            book.text("end play %(play)s", play=shown),
            limit_text(book, limit),
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
            play = book.numbers.millimetres(round(value, 4))
            if sign < 0:
                shown = book.text("interference %(play)s", play=play)
            else:
                shown = book.text("clearance %(play)s", play=play)
            yield Figure(
                book.text("%(inner)s in %(outer)s", inner=pairing.inner.id, outer=pairing.outer.id),
                shown,
                limit_text(book, limit),
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
