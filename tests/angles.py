"""Angles that tests compare with, straight from ERFA, and how far two angles are apart."""

from __future__ import annotations

from datetime import date
from math import cos, degrees, radians, sin

import erfa
import numpy as np


def longitude(body: str, day: date) -> float:
    """The ecliptic longitude of a body at 12:00 UT, degrees, from the equinox of J2000. Obliquity:
    IAU 1976. TT less UT: 69 s (IERS, 2025)."""
    jd = day.toordinal() + 1721425 + 69 / 86400
    if body == "moon":
        place = erfa.moon98(jd, 0.0)["p"]
    elif body == "earth":
        place = erfa.epv00(jd, 0.0)[0]["p"]
    else:
        order = ("mercury", "venus", "", "mars", "jupiter", "saturn", "uranus", "neptune")
        place = erfa.plan94(jd, 0.0, order.index(body) + 1)["p"]
    x, y, z = place
    tilt = radians(84381.448 / 3600)
    return float(degrees(np.arctan2(y * cos(tilt) + z * sin(tilt), x)))


def from_sun(day: date) -> float:
    """How far the Moon is from the Sun, seen from the Earth, degrees."""
    return longitude("moon", day) - longitude("earth", day) - 180


def apart(one: float, other: float) -> float:
    """How far two angles are apart, degrees."""
    return abs((one - other + 180) % 360 - 180)
