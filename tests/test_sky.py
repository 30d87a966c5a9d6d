"""Reference periods against ERFA (IERS expressions), DE421 and published figures."""

from __future__ import annotations

from fractions import Fraction
from importlib.resources import files
from math import cos, radians, sin, tau

import erfa
import numpy as np
import pytest
from jplephem.spk import SPK

from kitdocs.sky.periods import Reference, known, reference


def _days(text: str) -> float:
    found = reference(text)
    assert found is not None, text
    return float(found.days)


def _period(argument, days: float, centuries: float) -> float:
    """Days of one turn of an IERS argument, from its change over a span about J2000.

    The argument comes less whole turns; the period in question needs to be right only to half
    a turn in the span to say how many those are.
    """
    part = float(argument(centuries / 2) - argument(-centuries / 2)) / tau
    span = 36525 * centuries
    return span / (round(span / days - part) + part)


# IERS Conventions 2003, section 5.7.3 (eq. 5.44), as ERFA computes them. The planets' mean
# longitudes count from the fixed equinox of J2000, so their rates are sidereal as they stand.
@pytest.mark.parametrize(
    ("body", "longitude"),
    [
        ("mercury", erfa.fame03),
        ("venus", erfa.fave03),
        ("earth", erfa.fae03),
        ("mars", erfa.fama03),
        ("jupiter", erfa.faju03),
        ("saturn", erfa.fasa03),
        ("uranus", erfa.faur03),
        ("neptune", erfa.fane03),
    ],
)
def test_planets_have_the_iers_periods(body, longitude):
    days = _days(f"{body} sidereal")
    assert days == pytest.approx(_period(longitude, days, 10), rel=1e-9)


# The same source; the Moon's arguments are polynomials, so the span is short: at 20 years their
# curvature is far below the tolerance.
@pytest.mark.parametrize(
    ("text", "argument"),
    [
        ("moon sidereal", lambda t: erfa.faf03(t) + erfa.faom03(t) - erfa.fapa03(t)),
        ("moon tropical", lambda t: erfa.faf03(t) + erfa.faom03(t)),
        ("moon draconic", erfa.faf03),
        ("moon anomalistic", erfa.fal03),
        ("moon synodic", erfa.fad03),
        ("month", erfa.fad03),
        ("year tropical", lambda t: erfa.fae03(t) + erfa.fapa03(t)),
        ("year sidereal", erfa.fae03),
        ("year anomalistic", erfa.falp03),
        ("year draconic", lambda t: erfa.faf03(t) - erfa.fad03(t)),
    ],
)
def test_moon_and_years_have_the_iers_periods(text, argument):
    days = _days(text)
    assert days == pytest.approx(_period(argument, days, 0.2), rel=1e-9)


def test_sidereal_day_is_that_of_iau_2006_sidereal_time():
    def turn(days: float) -> float:
        return float(erfa.gmst06(2451545.0, days, 2451545.0, days)) / tau

    # 366.24 sidereal days a year: 1002 whole ones in 1000 days and part of another.
    turns = 1002 + (turn(1000) - turn(0)) % 1
    assert _days("day sidereal") == pytest.approx(1000 / turns, rel=1e-8)


@pytest.fixture(scope="module")
def de421():
    with SPK.open(str(files("skyfield_data") / "data" / "de421.bsp")) as kernel:
        yield kernel


def _fitted_period(kernel, code: int, guess: float) -> float:
    """Mean sidereal period 1900-2050 from JPL's DE421: a straight line through the longitudes.

    Harmonics of the period are fitted with it, since the orbits are eccentric.
    """
    obliquity = radians(84381.448 / 3600)  # IAU 1976, J2000
    jd = np.arange(2415020.5, 2469807.5, guess / 12.3)
    x, y, z = kernel[0, code].compute(jd)[:3] - kernel[0, 10].compute(jd)[:3]
    longitude = np.unwrap(np.arctan2(y * cos(obliquity) + z * sin(obliquity), x))
    days = jd - jd.mean()
    phases = [k * tau * days / guess for k in range(1, 6)]
    waves = [wave(phase) for phase in phases for wave in (np.sin, np.cos)]
    columns = np.stack([np.ones_like(days), days, *waves], axis=1)
    return tau / float(np.linalg.lstsq(columns, longitude, rcond=None)[0][1])


# 150 years leave the neighbours' pull unaveraged: a few parts in ten million (Mars 1.2e-7).
# From Jupiter on the span is too short for a mean.
@pytest.mark.parametrize(
    ("body", "code", "tolerance"),
    [("mercury", 1, 5e-8), ("venus", 2, 2e-7), ("earth", 3, 2e-7), ("mars", 4, 5e-7)],
)
def test_inner_planets_agree_with_de421(de421, body, code, tolerance):
    days = _days(body)
    assert _fitted_period(de421, code, days) == pytest.approx(days, rel=tolerance)


@pytest.mark.parametrize(
    ("text", "published", "tolerance"),
    [
        # JPL Solar System Dynamics, periods in years of 365.25 days
        ("mercury", 0.2408467 * 365.25, 1e-7),
        ("venus", 0.61519726 * 365.25, 1e-7),
        ("mars", 1.8808476 * 365.25, 1e-6),
        # NASA planetary fact sheets; Uranus from memory
        ("jupiter", 4332.589, 1e-6),
        ("saturn", 10759.22, 2e-6),
        ("uranus", 30685.4, 2e-4),
        ("neptune", 60189, 2e-4),
        # NASA fact sheet, from memory; JPL Table 1 (1800-2050) 145.20780515 deg per century
        ("pluto", 90560, 2e-4),
        ("pluto", 36525 * 360 / 145.20780515, 5e-4),
        # Horizons, osculating mean motions 2006 and 2020 in degrees per day: the mean is between
        ("ceres", 360 / 0.214289342, 2e-3),
        ("ceres", 360 / 0.213870844, 2e-3),
        # Kepler's third law from the semi-major axis, 68.10 au, and the Gaussian year
        ("eris", 68.10**1.5 * 365.2568983, 2e-4),
        # Astronomy and Astrophysics Suppl. 1998, mean longitude of Titan 1966-2013, deg/s
        ("titan", 360 / 2.61307579580e-4 / 86400, 2e-6),
    ],
)
def test_periods_agree_with_published_ones(text, published, tolerance):
    assert _days(text) == pytest.approx(published, rel=tolerance)


def test_inner_moons_of_jupiter_keep_laplaces_resonance():
    """n(Io) - 3 n(Europa) + 2 n(Ganymede) = 0 (Laplace)."""
    io, europa, ganymede = (1 / _days(moon) for moon in ("io", "europa", "ganymede"))
    assert io - 3 * europa + 2 * ganymede == pytest.approx(0, abs=1e-8)


def test_moons_of_mars_and_callisto_obey_kepler():
    """Semi-major axes 9376 and 23463 km; Io 421,700 and Callisto 1,882,700 (JPL, from memory)."""
    assert _days("deimos") / _days("phobos") == pytest.approx((23463 / 9376) ** 1.5, rel=2e-3)
    assert _days("callisto") / _days("io") == pytest.approx((1882.7 / 421.7) ** 1.5, rel=2e-3)


def test_a_body_alone_means_its_sidereal_period():
    assert reference("mars") == reference("mars sidereal") == reference("  mars   sidereal ")
    assert reference("moon") == reference("moon sidereal")
    assert reference("month").days == reference("moon synodic").days
    assert reference("day").days == 1


@pytest.mark.parametrize("text", ["", "year", "Mars", "mars synodic", "vulcan", "mars sidereal x"])
def test_what_names_no_period_gives_none(text):
    assert reference(text) is None


def test_known_texts_are_all_known_and_sourced():
    for text in known():
        found = reference(text)
        assert isinstance(found, Reference)
        assert f"{found.body} {found.kind}" == text
        assert isinstance(found.days, Fraction)
        assert found.days > 0
        assert found.source
    bodies = (
        "mercury venus earth mars jupiter saturn uranus neptune pluto ceres eris moon "
        "io europa ganymede callisto titan phobos deimos"
    )
    assert {f"{body} sidereal" for body in bodies.split()} <= set(known())
