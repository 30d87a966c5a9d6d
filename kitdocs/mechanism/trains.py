"""What each body shows: its train, its period, and how far that is from the sky."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from kitdocs.kit.about import Body, OwnReference
from kitdocs.kit.model import Kit
from kitdocs.mechanism.motion import Link, Motion
from kitdocs.sky.periods import Reference, reference

JULIAN_YEAR_DAYS = Fraction("365.25")  # IAU


@dataclass(frozen=True)
class Train:
    """How a body is driven and what comes of it.

    `chain` runs from the arbor of the time base to the body's; a link with a carrier counts
    against that carrier. It is empty where several meshes together decide the body's speed.
    `ratio` is turns of the body for one turn of the time base, negative when the body goes the
    other way; against the frame, or against the arbor that the body is seen from. `sense` takes
    the time base as going anticlockwise seen from above. `period_days` is always above 0.
    `error` is the model's period over the reference's, less 1. `drift_deg_per_year` is positive
    for a body that runs ahead; `years_per_degree` is None when there is no drift. Years are
    Julian years of 365.25 days.
    """

    body: str
    chain: tuple[Link, ...]
    ratio: Fraction
    sense: Literal["prograde", "retrograde"]
    period_days: Fraction
    turns_per_year: Fraction
    reference: Reference
    error: Fraction
    drift_deg_per_year: Fraction
    years_per_degree: Fraction | None


def trains(kit: Kit, motion: Motion) -> Mapping[str, Train]:
    """The train of each body, by body id.

    Absent are bodies that are undetermined or stand still, all of them when the time base does,
    and those whose reference is not known.
    """
    time_days = _time_days(kit)
    if time_days is None or not motion.speeds.get(kit.about.time.arbor):
        return {}
    found = (_train(kit, motion, name, body, time_days) for name, body in kit.bodies.items())
    return {train.body: train for train in found if train}


def links_to(kit: Kit, motion: Motion, arbor: str) -> tuple[Link, ...]:
    """The links from the crank to an arbor, in order.

    Empty for the crank itself, and where several meshes together decide the arbor's speed.
    """
    return links_between(kit, motion, kit.mechanism.crank, arbor)


def turns_per_year(kit: Kit, motion: Motion, arbor: str) -> Fraction | None:
    """Turns of an arbor in a Julian year, positive in the sense of the time base.

    None where the arbor or the time base is undetermined, or the time base stands still.
    """
    time_days = _time_days(kit)
    time_speed = motion.speeds.get(kit.about.time.arbor)
    if time_days is None or not time_speed or arbor not in motion.speeds:
        return None
    return motion.speeds[arbor] / time_speed * JULIAN_YEAR_DAYS / time_days


def _time_days(kit: Kit) -> Fraction | None:
    time = kit.about.time
    if time.period is None:
        return time.days
    period = reference(time.period)
    return period.days if period else None


def _train(kit: Kit, motion: Motion, name: str, body: Body, time_days: Fraction) -> Train | None:
    compared = body_reference(name, body)
    speed = motion.speeds.get(body.arbor)
    seen_from = motion.speeds.get(body.seen_from) if body.seen_from else Fraction(0)
    if compared is None or speed is None or seen_from is None or speed == seen_from:
        return None
    time_arbor = kit.about.time.arbor
    ratio = (speed - seen_from) / motion.speeds[time_arbor]
    period = time_days / abs(ratio)
    drift = 360 * (1 / period - 1 / compared.days) * JULIAN_YEAR_DAYS
    return Train(
        body=name,
        chain=links_between(kit, motion, time_arbor, body.arbor),
        ratio=ratio,
        sense="prograde" if ratio > 0 else "retrograde",
        period_days=period,
        turns_per_year=JULIAN_YEAR_DAYS / period,
        reference=compared,
        error=period / compared.days - 1,
        drift_deg_per_year=drift,
        years_per_degree=1 / abs(drift) if drift else None,
    )


def body_reference(name: str, body: Body) -> Reference | None:
    """The period that a body is compared with; None where its reference is not known."""
    given = body.reference
    if isinstance(given, OwnReference):
        return Reference(name, "given", given.days, given.source)
    return reference(given)


def links_between(kit: Kit, motion: Motion, start: str, end: str) -> tuple[Link, ...]:
    """The links from one arbor to another; empty where the trees do not join them."""
    up, down = _upwards(kit, motion, start), _upwards(kit, motion, end)
    below = {arbor: steps for steps, arbor in enumerate(_arbors(end, down))}
    for steps, arbor in enumerate(_arbors(start, up)):
        if arbor in below:
            inverted = (_inverted(link) for link, _ in up[:steps])
            return (*inverted, *(link for link, _ in reversed(down[: below[arbor]])))
    return ()


def _upwards(kit: Kit, motion: Motion, arbor: str) -> list[tuple[Link, str]]:
    """The links from an arbor back to its root, each with the arbor that its motion is from."""
    path: list[tuple[Link, str]] = []
    seen = {arbor}
    while link := motion.links.get(arbor):
        arbor = link.driver.arbor
        if kit.arbors[arbor].fixed and link.carrier:
            arbor = link.carrier  # a wheel rolls on a fixed one because its carrier goes round
        if arbor in seen:
            break
        seen.add(arbor)
        path.append((link, arbor))
    return path


def _arbors(first: str, path: Iterable[tuple[Link, str]]) -> list[str]:
    return [first, *(arbor for _, arbor in path)]


def _inverted(link: Link) -> Link:
    return Link(link.mesh, link.driven, link.driver, 1 / link.ratio, link.carrier)
