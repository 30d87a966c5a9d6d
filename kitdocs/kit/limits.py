"""Limits: the figures that decide whether a rule holds, and what a kit makes of them.

A kit may tighten a limit as it likes, or loosen it with a written reason, which the design
record shows.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from kitdocs.finding import Place
from kitdocs.kit.fact import Fact
from kitdocs.kit.values import Number, Text


@dataclass(frozen=True)
class Limit:
    """The least and the most that a figure may be; None where that side is open."""

    name: str
    least: float | None
    most: float | None
    unit: str
    of: str
    source: str

    def holds(self, value: float) -> bool:
        """Whether a figure is within, ends included."""
        return not (self.below(value) or self.above(value))

    def below(self, value: float) -> bool:
        return self.least is not None and value < self.least - _ROUNDING

    def above(self, value: float) -> bool:
        return self.most is not None and value > self.most + _ROUNDING

    @property
    def text(self) -> str:
        """`0.05 … 0.3 mm`, `at least 0.3 mm`, `at most 5°`."""
        unit = self.unit if self.unit in ("", "°") else f"\u00a0{self.unit}"
        if self.least is not None and self.most is not None:
            return f"{self.least:g} … {self.most:g}{unit}"
        if self.least is not None:
            return f"at least {self.least:g}{unit}"
        return f"at most {self.most:g}{unit}"


_ROUNDING = 1e-6  # of a unit: sums of lengths are exact to far less

_PRACTICE = "common practice"
_OWN = "our own"
_TIMED_TEXT = "UTK Libraries timed text guide, after Netflix"
_STE = "ASD-STE100 (seen in summary)"


def _table(*rows: tuple[str, float | None, float | None, str, str, str]) -> Mapping[str, Limit]:
    return MappingProxyType({row[0]: Limit(*row) for row in rows})


#: Every limit by its name: a rule's id, or the id and the aspect of it that the limit decides.
LIMITS = _table(
    ("mesh-distance", 0.0, 0.10, "module", "what axes stand apart beyond need", _PRACTICE),
    ("mesh-contact", 1.2, None, "", "contact ratio of a pair", _PRACTICE),
    ("mesh-overlap", 80.0, None, "%", "shared face of a pair, of the narrower one", _PRACTICE),
    ("mesh-foul", 0.3, None, "mm", "gap between things that turn past each other", _OWN),
    ("backlash", 0.02, 0.15, "module", "play of a mesh along the pitch circle", _PRACTICE),
    ("free-play", None, 5.0, "°", "free play of a shown body with the crank held", _OWN),
    ("crank-feel", None, 20.0, "", "turns of the fastest arbor for one of the crank", _OWN),
    ("crank-feel-year", 0.1, 60.0, "turns", "turns of the crank for one year", _OWN),
    ("setting-out", None, 5.0, "°", "what a body may be out before it is set again", _OWN),
    ("stack-height", 0.05, 0.30, "mm", "end play of an arbor", _PRACTICE),
    ("fit-running", 0.02, 0.15, "mm", "a bore less the shaft it runs on", _PRACTICE),
    ("fit-seat", 0.0, 0.10, "mm", "a bore less the shaft it is fixed on", _PRACTICE),
    ("fit-loose", 0.0, 1.0, "mm", "a washer's or spacer's bore less its shaft", _PRACTICE),
    ("fit-press", 0.005, 0.05, "mm", "a shaft less the hole it is pressed in", _PRACTICE),
    ("arm-sweep", 1.0, None, "mm", "gap to the sweep of an arm or a ball", _OWN),
    ("screw-grip", 1.0, None, "d", "thread engaged in metal, in diameters", _PRACTICE),
    ("screw-grip-aluminium", 1.5, None, "d", "thread engaged in aluminium", _PRACTICE),
    ("screw-grip-soft", 2.0, None, "d", "thread engaged in wood or plastics", _PRACTICE),
    ("screw-bottom", 0.5, None, "pitch", "thread left below a screw in a blind hole", _PRACTICE),
    ("screw-bottom-gap", 0.3, None, "mm", "gap from a screw's end to what moves past it", _OWN),
    ("screw-head", 0.3, None, "mm", "gap from a screw's head to what moves past it", _OWN),
    ("stage-minutes", 0.5, 2.0, "", "minutes that a stage claims, of those it takes", _OWN),
    ("plain-length", None, 20, "words", "length of an instruction", _STE),
    ("plain-length-descriptive", None, 25, "words", "length of any other sentence", _STE),
    ("plain-paragraph", None, 6, "sentences", "length of a paragraph", _STE),
    ("plain-cluster", None, 3, "nouns", "nouns in a row", _STE),
    ("caption-limits-line", None, 42, "characters", "length of a line of captions", _TIMED_TEXT),
    ("caption-limits-lines", None, 2, "lines", "lines of a caption", _TIMED_TEXT),
    ("caption-limits-time", 5 / 6, 7, "s", "time that a caption stands", _TIMED_TEXT),
    ("caption-limits-speed", None, 20, "characters/s", "reading speed of captions", _TIMED_TEXT),
)


class LimitEntry(Fact):
    """What a kit makes of one limit: its `least`, its `most`, and why, where it is looser."""

    least: Number | None = None
    most: Number | None = None
    reason: Text | None = None


@dataclass(frozen=True)
class Loosened:
    """A limit that a kit has loosened: the default, what the kit has, why, and where."""

    default: Limit
    limit: Limit
    reason: str
    place: Place


def kit_limits(entries: Mapping[str, LimitEntry]) -> Mapping[str, Limit]:
    """All limits, with what the kit says of them; entries for no limit have no effect."""
    found = dict(LIMITS)
    for name, entry in entries.items():
        if name in LIMITS:
            found[name] = _changed(LIMITS[name], entry)
    return MappingProxyType(found)


def loosened_limits(entries: Mapping[str, LimitEntry]) -> tuple[Loosened, ...]:
    """The limits that are looser than their defaults; `reason` is empty where none is written."""
    found = []
    for name, entry in entries.items():
        default = LIMITS.get(name)
        if default is None:
            continue
        limit = _changed(default, entry)
        # An open side has no limit to loosen: a kit that gives it one only tightens.
        lower, higher = _less(limit.least, default.least), _less(default.most, limit.most)
        if lower or higher:
            place = entry.place("least" if lower else "most")
            found.append(Loosened(default, limit, entry.reason or "", place))
    return tuple(found)


def _less(a: float | None, b: float | None) -> bool:
    return a is not None and b is not None and a < b


def _changed(default: Limit, entry: LimitEntry) -> Limit:
    return replace(
        default,
        least=default.least if entry.least is None else entry.least,
        most=default.most if entry.most is None else entry.most,
    )
