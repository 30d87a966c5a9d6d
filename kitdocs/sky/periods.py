"""Reference periods of the bodies and dials that a kit may show, each with its source.

Planets have their long-term mean periods, not those of the present century: Jupiter and Saturn
pull each other's up to 0.03 % off the mean for centuries at a time (JPL's elements for
1800-2050 give Saturn 10755.88 days, the long-term mean is 10759.23).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True)
class Reference:
    """A period to compare with: `days` of 86,400 s, exactly as its `source` prints it.

    `kind` is sidereal (against the stars), synodic (against the Sun), tropical (against the
    equinox), draconic (node to node), anomalistic (apsis to apsis), solar, or `given`: the
    kit's own.
    """

    body: str
    kind: str
    days: Fraction
    source: str


_LONGITUDE = "IERS Conventions 2003 mean longitude"
_ARGUMENTS = "IERS Conventions 2003 lunar arguments"
_ALMANAC = "Astronomical Almanac 2012, Section F"

# Functions of ERFA, which carries the IERS expressions, are named beside what came from them.
_PERIODS: tuple[tuple[str, str, str, str], ...] = (
    ("mercury", "sidereal", "87.9692561", _LONGITUDE),  # fame03
    ("venus", "sidereal", "224.7008001", _LONGITUDE),  # fave03
    ("earth", "sidereal", "365.256363004", _LONGITUDE),  # fae03
    ("mars", "sidereal", "686.9798529", _LONGITUDE),  # fama03
    ("jupiter", "sidereal", "4332.58937", _LONGITUDE),  # faju03; NASA fact sheet 4332.589
    ("saturn", "sidereal", "10759.22674", _LONGITUDE),  # fasa03; NASA fact sheet 10759.22
    ("uranus", "sidereal", "30688.47788", _LONGITUDE),  # faur03
    ("neptune", "sidereal", "60182.29063", _LONGITUDE),  # fane03
    # The IERS has no Pluto: from the longitude rate of JPL's elements for 3000 BC to AD 3000.
    ("pluto", "sidereal", "90570.05884", "JPL approximate elements, Table 2a"),
    # Proper elements: what is left when the planets' pull is averaged out (osculating periods
    # go from 1679.97 in 2006 to 1683.26 in 2020).
    ("ceres", "sidereal", "1681.60", "asteroid proper elements"),
    ("eris", "sidereal", "205267", "Minor Planet Center elements of 2024, a = 68.10 au"),
    ("moon", "sidereal", "27.321661556", _ARGUMENTS),  # faf03 + faom03 - fapa03
    ("moon", "synodic", "29.530588858", _ARGUMENTS),  # fad03
    ("moon", "tropical", "27.321582249", _ARGUMENTS),  # faf03 + faom03
    ("moon", "draconic", "27.212220821", _ARGUMENTS),  # faf03
    ("moon", "anomalistic", "27.554549882", _ARGUMENTS),  # fal03
    ("phobos", "sidereal", "0.31891023", _ALMANAC),
    ("deimos", "sidereal", "1.2624407", _ALMANAC),
    ("io", "sidereal", "1.769137786", _ALMANAC),
    ("europa", "sidereal", "3.551181041", _ALMANAC),
    ("ganymede", "sidereal", "7.15455296", _ALMANAC),
    ("callisto", "sidereal", "16.6890184", _ALMANAC),
    ("titan", "sidereal", "15.945421", "NASA/JPL planetary satellite figures"),
    ("year", "tropical", "365.2421896", f"{_LONGITUDE} and general precession"),  # + fapa03
    ("year", "sidereal", "365.256363004", _LONGITUDE),  # fae03
    ("year", "anomalistic", "365.2596358", _ARGUMENTS),  # falp03
    ("year", "draconic", "346.6200759", _ARGUMENTS),  # faf03 - fad03
    ("month", "synodic", "29.530588858", _ARGUMENTS),  # fad03
    ("day", "solar", "1", "by definition"),
    ("day", "sidereal", "0.99726957", "IAU 2006 mean sidereal time"),  # gmst06
)

_KNOWN = {
    f"{body} {kind}": Reference(body, kind, Fraction(days), source)
    for body, kind, days, source in _PERIODS
}


def _texts(text: str) -> Iterator[str]:
    words = text.split()
    if len(words) != 1:
        yield " ".join(words)
    elif words[0] == "month":
        yield "month synodic"
    elif words[0] == "day":
        yield "day solar"
    elif words[0] != "year":  # four kinds are in daily use, so none goes without saying
        yield f"{words[0]} sidereal"


def reference(text: str) -> Reference | None:
    """The period that a text such as `moon synodic` names; None when there is none such.

    A body by itself means its sidereal period, `month` the synodic month, `day` the solar day.
    """
    return next((_KNOWN[t] for t in _texts(text) if t in _KNOWN), None)


def known() -> tuple[str, ...]:
    """Every text that `reference` knows, in full: planets outwards, then moons, then dials."""
    return tuple(_KNOWN)
