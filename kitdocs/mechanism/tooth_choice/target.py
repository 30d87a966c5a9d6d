"""The ratio that a body of a kit asks of its train."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from kitdocs.kit.model import Kit
from kitdocs.kit.names import nearest
from kitdocs.kit.parts import Wheel
from kitdocs.mechanism.motion import Motion
from kitdocs.mechanism.tooth_choice.problem import NoSearch, Sense
from kitdocs.mechanism.trains import JULIAN_YEAR_DAYS, body_reference, turns_per_year
from kitdocs.sky.periods import Reference, reference


@dataclass(frozen=True)
class ToothTarget:
    """What a train from the arbor `driver` to a body must do.

    `ratio` and `sense`: turns of the body for one of the driver, both counted against the arbor
    `seen_from` where there is one, against the frame otherwise.
    """

    body: str
    driver: str
    seen_from: str | None
    ratio: Fraction
    sense: Sense
    reference: Reference


def target(kit: Kit, motion: Motion, body: str, driver: str | None = None) -> ToothTarget:
    """The exact ratio between a driver as it turns now and a body as it ought to turn.

    The driver is the arbor of the time base if nothing else is said. A body that the kit does
    not show is taken by its sidereal period. Raises NoSearch where there is no such ratio.
    """
    driver = driver if driver is not None else kit.about.time.arbor
    if driver not in kit.arbors:
        raise NoSearch(f"no arbor '{driver}'. {nearest(driver, kit.arbors)}".rstrip())
    shown = kit.bodies.get(body)
    compared = body_reference(body, shown) if shown else reference(body)
    if compared is None:
        raise NoSearch(f"no body '{body}'. {nearest(body, kit.bodies)}".rstrip())
    seen_from = shown.seen_from if shown else None
    speed = turns_per_year(kit, motion, driver)
    carrier = turns_per_year(kit, motion, seen_from) if seen_from else Fraction(0)
    if speed is None or carrier is None:
        still = driver if speed is None else seen_from
        raise NoSearch(f"the arbor '{still}' has no speed that can be told in days")
    if speed == carrier:
        against = f" seen from '{seen_from}'" if seen_from else ""
        raise NoSearch(
            f"'{driver}' stands still{against}; name another arbor, a fixed one if need be"
        )
    wanted = JULIAN_YEAR_DAYS / compared.days
    if shown and shown.turns == "retrograde":
        wanted = -wanted
    ratio = wanted / (speed - carrier)
    sense: Sense = "same" if ratio > 0 else "opposite"
    return ToothTarget(body, driver, seen_from, abs(ratio), sense, compared)


def stock(kit: Kit, module: Fraction | None) -> tuple[frozenset[int], Fraction]:
    """The tooth counts of a kit's wheels of one module (mm), and that module.

    Raises NoSearch where there are several modules and none is named, or no wheels.
    """
    by_module: dict[Fraction, set[int]] = {}
    for part in kit.parts.values():
        if isinstance(part, Wheel):
            by_module.setdefault(Fraction(str(part.module)), set()).add(part.teeth)
    if module is None and len(by_module) > 1:
        told = ", ".join(f"{float(m):g}" for m in sorted(by_module))
        raise NoSearch(f"the kit's wheels have several modules ({told} mm): say which one")
    for known, teeth in by_module.items():
        if module in (None, known):
            return frozenset(teeth), known
    raise NoSearch("the kit has no wheels of this module to use again")
