"""What uniform motion cannot show: how far a body strays from it in the course of an orbit."""

from __future__ import annotations

from math import acos, atan2, cos, degrees, sin, sqrt

from kitdocs.sky.positions_orbits import ORBITS

#: Eccentricities of the orbits at J2000: JPL approximate elements, Table 1; the Moon's is the
#: mean one (NASA Moon fact sheet).
ECCENTRICITIES = {
    "mercury": 0.20563593,
    "venus": 0.00677672,
    "earth": 0.01671123,
    "moon": 0.0549,
    "mars": 0.09339410,
    "jupiter": 0.04838624,
    "saturn": 0.05386179,
    "uranus": 0.04725744,
    "neptune": 0.00859048,
    **{body: orbit.eccentricity for body, orbit in ORBITS.items()},
}


def greatest_centre(eccentricity: float) -> float:
    """The largest equation of the centre, degrees: true less mean anomaly at its greatest.

    It is reached where the distance from the focus is the mean proportional of the axes, so
    that both go equally fast: 1 - e cos E = (1 - e²)^(1/4). For small e it is nearly 2e radians.
    """
    if eccentricity == 0:
        return 0.0
    e = eccentricity
    at = acos((1 - (1 - e * e) ** 0.25) / e)
    true = 2 * atan2(sqrt(1 + e) * sin(at / 2), sqrt(1 - e) * cos(at / 2))
    return degrees(true - (at - e * sin(at)))
