"""Where the bodies stand: longitudes in the ecliptic, each source with its years and accuracy.

All longitudes are degrees from the mean equinox of J2000 in the mean ecliptic of J2000: a frame
that is fixed to the stars, as the arms of a machine with sidereal trains are. (The equinox of
date goes back from it by 1.4 degrees in a century.) Planets and minor bodies are seen from the
Sun, the Moon from the Earth's centre; none is corrected for the time that light takes.

ERFA comes with numpy, so it is imported only where a longitude of its bodies is computed.
"""

from __future__ import annotations

import warnings
from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin

from kitdocs.sky.positions_orbits import ORBITS, orbit_longitude

#: Mean obliquity of the ecliptic at J2000, degrees (IAU 1976: 84381.448 arcseconds).
OBLIQUITY = 84381.448 / 3600
_J2000 = 2451545.0


@dataclass(frozen=True)
class Positions:
    """How the positions of a body are known.

    They hold from the first day of the year `first` to the last of `last`, and are right to
    `accuracy` degrees of longitude by what `source` says of itself.
    """

    body: str
    first: int
    last: int
    accuracy: float
    source: str


_PLANETS = "ERFA plan94 (Simon et al. 1994)"
# The greatest difference of longitude, rounded up, that ERFA notes from DE200 over 1800-2100 or
# that a daily comparison with DE421 over 1900-2050 shows; they agree to 0.0002 degrees.
_PLAN94 = {
    "mercury": (1, 0.002), "venus": (2, 0.002), "mars": (4, 0.008), "jupiter": (5, 0.022),
    "saturn": (6, 0.025), "uranus": (7, 0.025), "neptune": (8, 0.004),
}  # fmt: skip

_KNOWN = (
    *(Positions(body, 1800, 2100, worst, _PLANETS) for body, (_, worst) in _PLAN94.items()),
    # ERFA notes 11.2 km at most from DE405 over 1900-2100, far below what matters here.
    Positions("earth", 1900, 2100, 0.001, "ERFA epv00 (VSOP2000, simplified)"),
    # ERFA notes 18.3 arcseconds at most from ELP/MPP02 over 1950-2100.
    Positions("moon", 1950, 2100, 0.006, "ERFA moon98 (Meeus 1998)"),
    *(Positions(o.body, o.first, o.last, o.accuracy, o.source) for o in ORBITS.values()),
)
_BY_BODY = {known.body: known for known in _KNOWN}


def positions_of(body: str) -> Positions | None:
    """How the positions of a body are known; None where they are not."""
    return _BY_BODY.get(body)


def longitudes(body: str, days: Sequence[float]) -> list[float]:
    """Longitudes in degrees, 0 to 360, on Julian dates in TT. Raises KeyError for no such body."""
    if body in ORBITS:
        return [orbit_longitude(ORBITS[body], day) for day in days]
    import erfa  # noqa: PLC0415  (brings numpy: only when a longitude is computed)
    import numpy as np  # noqa: PLC0415  (as above)

    after = np.asarray(days, dtype=float) - _J2000
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", erfa.ErfaWarning)  # of years; rules look at those
        if body == "earth":
            place = erfa.epv00(_J2000, after)[0]["p"]
        elif body == "moon":
            place = erfa.moon98(_J2000, after)["p"]
        else:
            place = erfa.plan94(_J2000, after, _PLAN94[body][0])["p"]
    x, y, z = place[..., 0], place[..., 1], place[..., 2]
    tilt = radians(OBLIQUITY)
    return [float(d) for d in np.degrees(np.arctan2(y * cos(tilt) + z * sin(tilt), x)) % 360]
