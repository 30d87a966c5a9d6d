"""crank-feel: the crank is neither heavy nor tedious to turn."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.mechanism.trains import turns_per_year
from kitdocs.rules.rule import rule
from kitdocs.words.numbers import plain, significant


@rule(
    "crank-feel",
    group="Motion",
    demand="the fastest arbor does not turn too many times for one turn of the crank, and a year "
    "takes neither a small part of a turn nor too many",
    formula="largest |turns per turn of the crank|: {crank-feel}; a year: {crank-feel-year}",
    source="our own: what a hand can feel and will do",
    example="a moon arbor geared up 40 to 1 from the crank",
    after=("train-driven", "train-locked"),
)
def crank_feel(design: Design) -> Iterator[Finding]:
    kit, motion = design.kit, design.motion
    fastest = max(motion.speeds, key=lambda name: abs(motion.speeds[name]), default=None)
    limit = design.limit("crank-feel")
    if fastest is not None and not limit.holds(abs(float(motion.speeds[fastest]))):
        turns = plain(abs(motion.speeds[fastest]), 1)
        yield Finding(
            kit.arbors[fastest].place(),
            "crank-feel",
            f"{fastest} turns {turns} times for one turn of the crank",
            limit.text,
            "Gear the crank down.",
            facts=(kit.mechanism.place("crank"),),
        )
    year = turns_per_year(kit, motion, kit.mechanism.crank)
    limit = design.limit("crank-feel-year")
    if year is not None and not limit.holds(abs(float(year))):
        yield Finding(
            kit.mechanism.place("crank"),
            "crank-feel",
            f"one year takes {significant(abs(year), 3)} turns of the crank",
            limit.text,
            facts=(kit.about.time.place(),),
        )
