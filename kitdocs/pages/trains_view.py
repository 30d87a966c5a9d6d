"""Trains: the wheels of each body in order, the exact fraction, and what comes of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from kitdocs.mechanism.meshes import mesh_kind, tooth_count
from kitdocs.mechanism.motion import Link
from kitdocs.mechanism.trains import Train
from kitdocs.pages.charts import DriftChart, DriftLine, PeriodChart, PeriodRow
from kitdocs.pages.handbook import Handbook, slug
from kitdocs.sky.periods import reference
from kitdocs.words.numbers import fraction

_LEAST_DRAWN = 0.0001  # degrees per year; less would flatten the chart's other lines


@dataclass(frozen=True)
class Wheels:
    """One mesh of a train. `seen_from` names the carrier that it counts against, if any."""

    driver: str
    driver_arbor: str
    driven: str
    driven_arbor: str
    kind: str
    factor: str
    seen_from: str


@dataclass(frozen=True)
class Working:
    """One line of the working: what is worked out, and the sum with its result."""

    of: str
    sum: str


@dataclass(frozen=True)
class TrainView:
    """A body's train in readers' words; every figure is text as `words.numbers` prints it.

    `sense` is `prograde` or `retrograde`; `years`, with its unit, is empty for what never drifts.
    """

    id: str
    name: str
    seen_from: str
    time_arbor: str
    wheels: tuple[Wheels, ...]
    working: tuple[Working, ...]
    ratio: str
    decimal: str
    time: str
    period: str
    reference: str
    source: str
    error: str
    tolerance: str
    drift: str
    years: str
    sense: str
    turns: str


def train_view(book: Handbook, train: Train) -> TrainView:
    """A train as the pages show it."""
    body = book.kit.bodies[train.body]
    time = book.kit.about.time
    period = reference(time.period) if time.period else None
    lasts = train.years_per_degree
    numbers = book.numbers
    return TrainView(
        id=train.body,
        name=book.names.body(train.body),
        seen_from=book.arbor_name(body.seen_from) if body.seen_from else "",
        time_arbor=book.arbor_name(time.arbor),
        wheels=tuple(_wheels(book, link) for link in train.chain),
        working=tuple(_working(book, train)),
        ratio=numbers.fraction(abs(train.ratio)),
        decimal=numbers.significant(abs(train.ratio), 9),
        time=numbers.days(period.days if period else time.days or 0),
        period=numbers.days(train.period_days),
        reference=numbers.days(train.reference.days),
        source=train.reference.source,
        error=numbers.per_cent(train.error),
        tolerance=_tolerance(book, body.tolerance),
        drift=numbers.with_unit(numbers.signed(train.drift_deg_per_year, 2), "°"),
        years=numbers.years(lasts) if lasts else "",
        sense=train.sense,
        turns=numbers.significant(train.turns_per_year, 6),
    )


def _tolerance(book: Handbook, share: Fraction) -> str:
    shown = book.numbers.significant(share * 100, 3)
    return f"±{book.numbers.with_unit(shown, '%')}"


def _wheels(book: Handbook, link: Link) -> Wheels:
    return Wheels(
        driver=book.names.one(link.driver.part),
        driver_arbor=book.arbor_name(link.driver.arbor),
        driven=book.names.one(link.driven.part),
        driven_arbor=book.arbor_name(link.driven.arbor),
        kind=mesh_kind(link.mesh) or "",
        factor=_teeth(link),
        seen_from=book.arbor_name(link.carrier) if link.carrier else "",
    )


def _teeth(link: Link) -> str:
    return f"{tooth_count(link.driver.part)}/{tooth_count(link.driven.part)}"


def _working(book: Handbook, train: Train) -> Iterable[Working]:
    """The sums that lead from one turn of the time base to the body's turns."""
    body, time = book.kit.bodies[train.body], book.kit.about.time.arbor
    speeds = book.design.motion.speeds
    # Wheels on fixed axes only multiply; their sense is told in words, which reads more easily.
    signs = any(link.carrier for link in train.chain) or bool(body.seen_from)
    for carrier, links in groupby(train.chain, key=lambda link: link.carrier):
        run = list(links)
        yield _run(book, run, carrier, speeds, speeds[time], signs)
    if body.seen_from:
        own, other = (speeds[a] / speeds[time] for a in (body.arbor, body.seen_from))
        of = book.text(
            "%(body)s seen from the %(arbor)s",
            body=book.names.body(train.body),
            arbor=book.arbor_name(body.seen_from),
        )
        yield Working(of, f"{fraction(own)} − {_bracketed(other)} = {fraction(own - other)}")


def _run(
    book: Handbook,
    run: list[Link],
    carrier: str | None,
    speeds,
    time_speed: Fraction,
    signs: bool,
) -> Working:
    """A run of meshes that count against one carrier, or against the frame."""
    first, last = (speeds[a] / time_speed for a in (run[0].driver.arbor, run[-1].driven.arbor))
    factors = " × ".join(
        f"({'−' * (link.ratio < 0)}{_teeth(link)})" if signs else _teeth(link) for link in run
    )
    arbor = book.arbor_name(run[-1].driven.arbor)
    if carrier is not None:
        of = book.text(
            "Turns of the %(arbor)s, carried by the %(carrier)s",
            arbor=arbor,
            carrier=book.arbor_name(carrier),
        )
        c = speeds[carrier] / time_speed
        sum_ = f"({fraction(first)} − {_bracketed(c)}) × {factors} + {_bracketed(c)}"
        return Working(of, f"{sum_} = {fraction(last)}")
    of = book.text("Turns of the %(arbor)s", arbor=arbor)
    begin = "" if abs(first) == 1 and not (signs and first < 0) else f"{fraction(first)} × "
    results = _unreduced(run), fraction(last if signs else abs(last))
    shown = results[1:] if begin or len(run) == 1 or signs else results
    return Working(of, " = ".join(dict.fromkeys([f"{begin}{factors}", *shown])))


def _unreduced(run: list[Link]) -> str:
    over = under = 1
    for link in run:
        over *= tooth_count(link.driver.part) or 1
        under *= tooth_count(link.driven.part) or 1
    return f"{over}/{under}"


def _bracketed(value: Fraction) -> str:
    return f"({fraction(value)})" if value < 0 else fraction(value)


def period_chart(book: Handbook, trains: Iterable[Train], chart_id: str) -> PeriodChart:
    """How far the periods of these bodies are off, within their tolerances."""
    rows = []
    for train in trains:
        body = book.kit.bodies[train.body]
        label = book.text(
            "%(error)s of %(allowed)s",
            error=book.numbers.per_cent(train.error),
            allowed=_tolerance(book, body.tolerance),
        )
        share = float(train.error / body.tolerance) if body.tolerance else 0.0
        rows.append(PeriodRow(book.names.body(train.body), share, label))
    told = "; ".join(f"{row.name}: {row.label}" for row in rows)
    return PeriodChart(
        id=slug(chart_id),
        title=book.text("Period error within the tolerance"),
        description=book.text(
            "A diamond for each body between two dashed limits. %(told)s.", told=told
        ),
        axis=book.text("Error of the period as a share of its tolerance"),
        ends=(book.text("too short"), book.text("exact"), book.text("too long")),
        rows=tuple(rows),
    )


@dataclass(frozen=True)
class Drifts:
    """The drift chart, and the bodies that drift too little to be drawn."""

    chart: DriftChart | None
    still: tuple[str, ...]


def drifts(book: Handbook, trains: Iterable[Train], chart_id: str) -> Drifts:
    """How many degrees each body is out after so many years."""
    lines, still = [], []
    for train in trains:
        name, rate = book.names.body(train.body), abs(float(train.drift_deg_per_year))
        if rate < _LEAST_DRAWN:
            still.append(name)
        else:
            lines.append(DriftLine(name, rate))
    if not lines:
        return Drifts(None, tuple(still))
    told = "; ".join(
        book.text(
            "%(body)s: %(drift)s a year",
            body=line.name,
            drift=book.numbers.degrees(line.per_year, 2),
        )
        for line in lines
    )
    chart = DriftChart(
        id=slug(chart_id),
        title=book.text("Drift over the years"),
        description=book.text(
            "A rising line for each body on scales of powers of ten. %(told)s.", told=told
        ),
        across=book.text("Years since the model was set"),
        up=book.text("Degrees out"),
        point=book.numbers.point,
        lines=tuple(lines),
    )
    return Drifts(chart, tuple(still))
