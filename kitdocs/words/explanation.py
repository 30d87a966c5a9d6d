"""How a figure came about, as lines of text: for `kitdocs explain`."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.kit.model import Item
from kitdocs.kit.parts import Toothed
from kitdocs.mechanism.gears import wanted_distance
from kitdocs.mechanism.meshes import mesh_kind, speed_ratio, tooth_count
from kitdocs.mechanism.motion import Link
from kitdocs.mechanism.positions import axis_distance
from kitdocs.mechanism.trains import Train, links_to
from kitdocs.words.names import Names
from kitdocs.words.numbers import days, degrees, fraction, millimetres, per_cent, significant


def explain(design: Design, name: str) -> str | None:
    """Everything about the body, arbor and item of this name; None when there is none."""
    told: list[str] = []
    if name in design.kit.bodies:
        told += _body(design, name)
    if name in design.kit.arbors:
        told += _arbor(design, name)
    if name in design.kit.items:
        told += _item(design, design.kit.items[name])
    return "\n".join(told) or None


def link_line(link: Link) -> str:
    """One link of a train in a line: its wheels, their teeth, and what it does to the speed."""
    against = f", both seen from {link.carrier}" if link.carrier else ""
    kind = mesh_kind(link.mesh)
    return (
        f"{link.driver.id} ({tooth_count(link.driver.part)}) drives {link.driven.id} "
        f"({tooth_count(link.driven.part)}): {fraction(link.ratio)}, {kind}{against}"
    )


def _body(design: Design, name: str) -> Iterator[str]:
    body, train = design.kit.bodies[name], design.trains.get(name)
    yield f"body {name} ({body.name}), shown by {body.arbor}  {body.place()}"
    if train is None:
        yield "  its arbor has no speed: it is not driven from the crank"
        return
    yield from _chain(design, train)
    seen = f" as seen from {body.seen_from}" if body.seen_from else ""
    time = design.kit.about.time
    yield f"  turns for one of {time.arbor}{seen}: {_exact(train)}"
    yield f"  period     {days(train.period_days)}  (one turn of {time.arbor} over the ratio)"
    yield f"  reference  {days(train.reference.days)}  ({train.reference.source})"
    allowed = float(body.tolerance) * 100
    yield f"  error      {per_cent(train.error)}, allowed ±{allowed:g} %"
    lasts = train.years_per_degree
    yield f"  drift      {degrees(train.drift_deg_per_year)} a year" + (
        f", one degree in {significant(lasts, 3)} years" if lasts else ""
    )
    yield f"  turns      {train.sense}"


def _exact(train: Train) -> str:
    ratio = train.ratio
    return f"{fraction(ratio)} = {significant(ratio, 9)}"


def _chain(design: Design, train: Train) -> Iterator[str]:
    if not train.chain:
        yield "  no wheels between: the body is on the arbor of the time base"
    for link in train.chain:
        yield f"  {link_line(link)}"


def _arbor(design: Design, name: str) -> Iterator[str]:
    arbor = design.kit.arbors[name]
    yield f"arbor {name}  {arbor.place()}"
    speed = design.motion.speeds.get(name)
    if arbor.fixed:
        yield "  fixed"
    elif speed is None:
        yield "  not driven from the crank"
    else:
        for link in links_to(design.kit, design.motion, name):
            yield f"  {link_line(link)}"
        yield f"  turns for one of the crank: {fraction(speed)} = {significant(speed, 9)}"
    for item in design.kit.on_arbor[name]:
        span = design.heights.of(item.id)
        where = (
            f"{millimetres(span.bottom)} … {millimetres(span.top)}" if span else "height unknown"
        )
        yield f"  {where}  {item.id}"


def _item(design: Design, item: Item) -> Iterator[str]:
    kit = design.kit
    name = Names(kit).one(item.part)
    yield f"item {item.id}: {name} ({item.part.id}), on {item.arbor}  {item.place}"
    if span := design.heights.of(item.id):
        yield f"  height     {millimetres(span.bottom)} … {millimetres(span.top)}"
    for mesh in kit.meshes_of.get(item.id, ()):
        other = mesh.other(item)
        kind = mesh_kind(mesh)
        if kind is None:
            continue
        ratio = speed_ratio(mesh) if mesh.a is item else 1 / speed_ratio(mesh)
        line = f"  meshes     {other.id}, {kind}, {fraction(ratio)} turns for one"
        wanted = wanted_distance(item.part, other.part)
        actual = axis_distance(kit, item.arbor, other.arbor, design.positions)
        if wanted is not None and actual is not None and isinstance(item.part, Toothed):
            line += f"; axes {millimetres(actual)} apart, {millimetres(wanted)} by the teeth"
        yield line
    fastening = design.fastenings.get(item.id)
    if fastening is not None:
        by = kit.held[item.id].by
        yield f"  held       to {fastening.host.id} by {fastening.count or ''} {by}".rstrip()
        if fastening.grip is not None and fastening.engagement is not None:
            yield (
                f"             grip {millimetres(fastening.grip)}, engaged "
                f"{millimetres(fastening.engagement)}, needed {millimetres(fastening.needed or 0)}"
            )
    for stage, step, action in kit.actions():
        if item.id in action.items:
            yield f"  step       {stage.id}, step {step.number}: {action.verb}  {action.place}"
