"""The setting page: where every arm stands on a day, how it is brought there, how long it holds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass
from datetime import date
from math import floor, log10
from typing import Any

from kitdocs.kit.about import Setting
from kitdocs.mechanism.setting import SetBody, needed_positions, pointer, set_bodies
from kitdocs.pages.handbook import Handbook
from kitdocs.pages.setting_dial import Dial, dial
from kitdocs.pages.sky_cache import SkyCache
from kitdocs.sky.calendar import Track, days_since_new_moon
from kitdocs.sky.positions import positions_of
from kitdocs.sky.positions_uneven import ECCENTRICITIES, greatest_centre

#: After so many years the page tells how far each body is out.
YEARS = (1, 5, 25, 100)
_BLOCK = 5  # years in one table, which fill a printed page


@dataclass(frozen=True)
class SetLine:
    """How one body is set.

    `angle` is what it is set to on the day that the page shows before a script changes it,
    `place` the Moon's longitude, and `age` its days since new moon. `item` is what is slackened,
    `pointer` what shows the body.
    """

    id: str
    name: str
    sky: str
    shows: str
    way: str
    clockwise: bool
    angle: str
    place: str
    age: str
    screw: str
    item: str
    pointer: str
    driver: str
    flat: bool
    carried: bool


@dataclass(frozen=True)
class Months:
    """The positions on the first days of the months of some years."""

    years: tuple[int, int]
    rows: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True)
class OutLine:
    """How far a body is out after the `YEARS`, and after how many years it is set again (empty
    where it never drifts)."""

    name: str
    after: tuple[str, ...]
    again: str


@dataclass(frozen=True)
class CentreLine:
    """How far a body strays from uniform motion: text and degrees."""

    name: str
    eccentricity: str
    text: str
    degrees: float


@dataclass(frozen=True)
class SourceLine:
    name: str
    source: str
    years: tuple[int, int]
    accuracy: str


@dataclass(frozen=True)
class SettingView:
    """`table` is what the script reads: plain data for JSON, the same bytes on every machine.

    `from_crank` is how far longitude 0 lies from the crank, anticlockwise seen from above; empty
    where the crank does not stand beside the bodies.
    """

    first: str
    last: str
    lines: tuple[SetLine, ...]
    unknown: tuple[str, ...]
    dial: Dial | None
    from_crank: str
    columns: tuple[SetLine, ...]
    months: tuple[Months, ...]
    limit: str
    out: tuple[OutLine, ...]
    centre: tuple[CentreLine, ...]
    sources: tuple[SourceLine, ...]
    table: Mapping[str, Any]


def setting_view(book: Handbook, calendar: Setting, sky: SkyCache) -> SettingView:
    """What the page shows of a kit with a calendar."""
    return _Setting(book, calendar, sky).view()


class _Setting:
    def __init__(self, book: Handbook, calendar: Setting, sky: SkyCache):
        self.book, self.calendar = book, calendar
        self.numbers = book.numbers
        self.first, self.last = (date.fromisoformat(d) for d in (calendar.from_, calendar.to))
        design = book.design
        self.order = set_bodies(book.kit, design.heights, design.fastenings)
        shown = {body.body: body for body in self.order if body.shows != "date"}
        self.columns = [shown[name] for name in book.kit.bodies if name in shown]
        needed = needed_positions(book.kit)
        self.tracks: Mapping[str, Track] = sky.tracks(needed, self.first, self.last)

    def view(self) -> SettingView:
        lines = tuple(self._line(body) for body in self.order)
        known = {line.id: line for line in lines}
        bodies = self.book.kit.bodies
        drawn = dial(self.book, self.order, self.calendar.bearing, self._longitude)
        return SettingView(
            first=self.calendar.from_,
            last=self.calendar.to,
            lines=lines,
            unknown=tuple(self.book.names.body(n) for n in bodies if n not in known),
            dial=drawn,
            from_crank=self._degrees(drawn.from_crank, 1) if drawn and drawn.crank else "",
            columns=tuple(known[body.body] for body in self.columns),
            months=tuple(self._months()),
            limit=self._degrees(self._limit, 1),
            out=tuple(self._out()),
            centre=tuple(self._centre()),
            sources=tuple(self._sources()),
            table=self._table(drawn),
        )

    @property
    def _limit(self) -> float:
        return self.book.design.limit("setting-out").most or 0.0

    def _degrees(self, value: float, decimals: int) -> str:
        turned = round(value, decimals) % 360  # 359.96 is shown as 0, not as 360
        return self.numbers.with_unit(self.numbers.plain(turned, decimals), "°")

    # What is set

    def _longitude(self, sky: str, day: float = 0) -> float:
        return self.tracks[sky].at(day)

    def _angle(self, body: SetBody, day: float) -> float:
        """What a body is set to on a day of the calendar, degrees."""
        if body.shows == "date":
            at = date.fromordinal(self.first.toordinal() + floor(day))
            return (
                360 * (at - date(at.year, 1, 1)).days / (date(at.year, 12, 31).timetuple().tm_yday)
            )
        if body.shows == "elongation":
            return self._longitude("moon", day) - self._longitude("earth", day) - 180
        return self._longitude(body.sky, day)

    def _line(self, body: SetBody) -> SetLine:
        held, names = body.fastening, self.book.names
        arbor = self.book.kit.bodies[body.body].arbor
        shows, moon = pointer(self.book.kit, arbor), body.sky == "moon"
        age = days_since_new_moon(self.tracks["moon"], self.tracks["earth"], 0) if moon else 0.0
        return SetLine(
            id=body.body,
            name=self.book.names.body(body.body),
            sky=body.sky,
            shows=body.shows,
            way=body.way,
            clockwise=body.clockwise,
            angle=self._degrees(self._angle(body, 0), 1),
            place=self._degrees(self._longitude("moon"), 1) if moon else "",
            age=self.numbers.plain(age, 1) if moon else "",
            screw=names.one(held.part) if held and held.part else "",
            item=names.one(held.item.part) if held else "",
            pointer=names.one(shows.part) if shows else "",
            driver=names.driver(held.driver) if held and held.driver else "",
            flat=body.flat,
            carried=self.book.kit.carrier(arbor) is not None,
        )

    def _months(self) -> Iterator[Months]:
        for begin in range(self.first.year, self.last.year + 1, _BLOCK):
            end = min(begin + _BLOCK - 1, self.last.year)
            rows = []
            for at in (date(y, m, 1) for y in range(begin, end + 1) for m in range(1, 13)):
                if self.first <= at <= self.last:
                    day = (at - self.first).days
                    cells = (self._degrees(self._angle(body, day), 0) for body in self.columns)
                    rows.append((f"{at:%Y-%m}", tuple(cells)))
            if rows and self.columns:
                yield Months((begin, end), tuple(rows))

    # How long it holds, and what it cannot show

    def _out(self) -> Iterator[OutLine]:
        for name in self.book.kit.bodies:
            train = self.book.design.trains.get(name)
            if train is None:
                continue
            rate = abs(float(train.drift_deg_per_year))
            after = tuple(
                self.numbers.with_unit(self.numbers.significant(rate * years, 2), "°")
                for years in YEARS
            )
            again = self.numbers.years(_rounded_down(self._limit / rate), 2) if rate else ""
            yield OutLine(self.book.names.body(name), after, again)

    def _centre(self) -> Iterator[CentreLine]:
        for body in self.columns:
            eccentricity = ECCENTRICITIES[body.sky]
            most = greatest_centre(eccentricity)
            text = self.numbers.with_unit(self.numbers.plain(most, 1), "°")
            name = self.book.names.body(body.body)
            yield CentreLine(name, self.numbers.plain(eccentricity, 3), text, most)

    def _sources(self) -> Iterator[SourceLine]:
        names = {body.sky: self.book.names.body(body.body) for body in reversed(self.order)}
        for sky in self.tracks:
            found = positions_of(sky)
            if found is not None:
                accuracy = self.numbers.with_unit(self.numbers.plain(found.accuracy), "°")
                years = (found.first, found.last)
                yield SourceLine(names.get(sky, sky.capitalize()), found.source, years, accuracy)

    def _table(self, drawn: Dial | None) -> dict[str, Any]:
        body_keys = ("sky", "shows")
        arm_keys = ("id", "sky", "base", "clockwise", "length")
        return {
            "from": self.calendar.from_,
            "to": self.calendar.to,
            "bearing": self.calendar.bearing,
            "bodies": [{"id": b.body, **_picked(b, body_keys)} for b in self.order],
            "arms": [_picked(arm, arm_keys) for arm in (drawn.arms if drawn else ())],
            "tracks": {sky: asdict(track) for sky, track in self.tracks.items()},
        }


def _picked(thing: object, keys: Iterable[str]) -> dict[str, Any]:
    return {key: getattr(thing, key) for key in keys}


def _rounded_down(years: float) -> float:
    """To two significant digits, never more than it is: what is told must still hold."""
    if years >= 1000:
        return floor(years / 100) * 100
    unit = 10.0 ** (floor(log10(years)) - 1)
    return floor(years / unit + 1e-9) * unit
