"""period-error: each body keeps its time."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding, Place
from kitdocs.mechanism.trains import Train
from kitdocs.rules.rule import rule
from kitdocs.words.numbers import days, per_cent, plain


@rule(
    "period-error",
    group="Motion",
    demand="the period that the wheels give is within the body's tolerance of the true one",
    formula="|T_model / T_reference − 1| ≤ tolerance",
    source="reference periods: IERS Conventions (2003) mean longitudes and others named with each "
    "body; the tolerance is the kit's",
    example="Mars at 690 days is 0.44 % slow, where 0.25 % is allowed",
    after=("train-driven", "train-locked"),
    follows=("mesh-pair", "mesh-distance"),
)
def period_error(design: Design) -> Iterator[Finding]:
    for name, body in design.kit.bodies.items():
        train = design.trains.get(name)
        if train is None:
            against = f" as seen from {body.seen_from}" if body.seen_from else ""
            yield Finding(
                body.place("arbor"), "period-error", f"{body.name} stands still{against}", "turns"
            )
            continue
        if abs(train.error) <= body.tolerance:
            continue
        allowed = plain(body.tolerance * 100, 6)
        yield Finding(
            body.place(),
            "period-error",
            f"{body.name} takes {days(train.period_days)} by its wheels, "
            f"{per_cent(train.error)} off {days(train.reference.days)}",
            f"within {allowed}\u00a0%",
            "Choose other teeth, or a wider tolerance.",
            facts=(body.place("reference"), body.place("tolerance"), *_facts(train)),
        )


def _facts(train: Train) -> list[Place]:
    facts = []
    for link in train.chain:
        facts += [link.driver.part.place("teeth"), link.driven.part.place("teeth")]
    return facts
