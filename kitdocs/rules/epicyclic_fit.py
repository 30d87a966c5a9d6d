"""epicyclic-fit: several planets between one sun and one ring wheel can be put in."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.kit.parts import Toothed
from kitdocs.mechanism.planets import planet_sets
from kitdocs.rules.rule import rule
from kitdocs.words.numbers import millimetres, plain

#: Positions are written to a thousandth of a millimetre, so teeth may be out by about this much.
_WRITTEN_TO = 0.01


@rule(
    "epicyclic-fit",
    group="Gearing",
    demand="like planets that share sun and ring wheel on one carrier can all be put in, and do "
    "not touch each other",
    formula="(z_s + z_r) · angle / 360 whole for each planet from the first, so (z_s + z_r)/n for "
    "n at equal angles; distance of neighbours > tip diameter",
    source="textbook condition of assembly of planetary trains",
    example="ring 47, planets 16, sun 15, three of them: 62/3 is not whole",
    follows=("mesh-pair", "mesh-distance"),
)
def epicyclic_fit(design: Design) -> Iterator[Finding]:
    for planets in planet_sets(design.kit, design.positions):
        sun, ring = planets.sun.part, planets.ring.part
        assert isinstance(sun, Toothed) and isinstance(ring, Toothed)
        facts = (
            sun.place("teeth"),
            ring.place("teeth"),
            *(design.kit.axes[name].place() for name in planets.axes),
        )
        for planet, step in zip(planets.planets, planets.steps, strict=True):
            if abs(step - round(step)) > _WRITTEN_TO:
                yield Finding(
                    planet.place,
                    "epicyclic-fit",
                    f"{planet.id} stands {plain(step, 2)} teeth of {planets.sun.id} and "
                    f"{planets.ring.id} on from {planets.planets[0].id}",
                    "a whole number, or its teeth do not go in",
                    facts=facts,
                )
                break
        nearest = min(planets.gaps)
        if nearest <= 0:
            at = planets.gaps.index(nearest)
            other = planets.planets[(at + 1) % len(planets.planets)]
            yield Finding(
                planets.planets[at].place,
                "epicyclic-fit",
                f"the tips of {planets.planets[at].id} and {other.id} overlap by "
                f"{millimetres(-nearest)}",
                "room between them",
                facts=facts,
            )
