"""Longitudes over a calendar, as a table small enough to stand in a page.

A `Track` holds one body's longitude at equal steps, in hundredths of a degree beside uniform
motion; between them a cubic through the four nearest is taken. The step is the longest that stays
within `TOLERANCE` of the library on every day. `site_templates/assets/setting.js` reads the same
table in the same way.

Days are counted from the first of the calendar, each at 12:00 UT.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from math import floor

from kitdocs.sky.positions import longitudes

#: Degrees that the table may be off the library.
TOLERANCE = 0.05
#: Samples before the calendar's first day reach back beyond the new moon before it.
BEFORE = 32
_STEPS = (64, 32, 16, 8, 4, 2, 1)
_HUNDRED = 100

#: TT less UT, days: 69.2 s in the 2020s (IERS). In the years of the Moon's positions it is
#: between 29 s and some 200 s, which moves the Moon by 0.02 degrees at most.
_TT_LESS_UT = 69.2 / 86400
_ORDINAL_0 = 1721425.0  # Julian date at noon of the day before 0001-01-01


def julian_date(day: date) -> float:
    """The Julian date in TT at 12:00 UT of a day."""
    return day.toordinal() + _ORDINAL_0 + _TT_LESS_UT


@dataclass(frozen=True)
class Track:
    """A body's longitude: at day `first + i * step` it is `start + i * rate + values[i] / 100`
    degrees, counted on over whole turns."""

    first: int
    step: int
    start: float
    rate: float
    values: tuple[int, ...]

    def at(self, day: float) -> float:
        """The longitude on a day, degrees, counted on over whole turns."""
        where = (day - self.first) / self.step
        i = min(max(floor(where), 1), len(self.values) - 3)
        t = where - i
        before, this, after, beyond = self.values[i - 1 : i + 3]
        cubic = (
            -before * t * (t - 1) * (t - 2) / 6
            + this * (t + 1) * (t - 1) * (t - 2) / 2
            - after * (t + 1) * t * (t - 2) / 2
            + beyond * (t + 1) * t * (t - 1) / 6
        )
        return self.start + where * self.rate + cubic / _HUNDRED


def tracks(bodies: Iterable[str], first: date, last: date) -> Mapping[str, Track]:
    """The track of each body over a calendar, both days included."""
    return {body: _track(body, first, (last - first).days) for body in bodies}


def _track(body: str, first: date, days: int) -> Track:
    earliest, latest = -BEFORE - 2 * _STEPS[0], days + 2 * _STEPS[0]
    start = julian_date(first)
    daily = _counted_on(longitudes(body, [start + day for day in range(earliest, latest + 1)]))
    truth = {day: daily[day - earliest] for day in range(earliest, latest + 1)}
    for step in _STEPS:
        track = _sampled(truth, step, days)
        wanted = range(-BEFORE, days + 1)
        if all(abs(track.at(day) - truth[day]) <= TOLERANCE for day in wanted):
            break  # the last step is a day, which leaves nothing between
    return track


def _counted_on(degrees: list[float]) -> list[float]:
    """Longitudes a day apart, each within half a turn of the one before it."""
    found = degrees[:1]
    for value in degrees[1:]:
        found.append(found[-1] + (value - found[-1] + 180) % 360 - 180)
    return found


def _sampled(truth: Mapping[int, float], step: int, days: int) -> Track:
    before = -(-BEFORE // step) + 1
    first = -before * step
    count = before + -(-days // step) + 2
    samples = [truth[first + i * step] for i in range(count)]
    start = round(samples[0], 2)
    rate = round((samples[-1] - samples[0]) / (count - 1), 4)
    values = (round((s - start - i * rate) * _HUNDRED) for i, s in enumerate(samples))
    return Track(first, step, start, rate, tuple(values))


def days_since_new_moon(moon: Track, earth: Track, day: float) -> float:
    """The Moon's age in days: the time since its longitude was last that of the Sun.

    The Sun stands opposite to where the Earth stands as seen from it.
    """

    def elongation(at: float) -> float:
        return moon.at(at) - earth.at(at) - 180

    new = floor(elongation(day) / 360) * 360
    early, late = day - 31, day  # no lunation is longer than 29.9 days
    while late - early > 1e-4:
        middle = (early + late) / 2
        early, late = (early, middle) if elongation(middle) > new else (middle, late)
    return day - late
