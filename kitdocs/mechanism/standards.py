"""Threads, holes, heads, drivers and lengths of metric fasteners, from their ISO standards.

Sizes in mm. Only what the tables hold is known: every look-up gives None for the rest.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from kitdocs.kit.designation import Designation

#: Coarse pitch, ISO 261 and ISO 262.
_PITCH = {"M1.6": 0.35, "M2": 0.40, "M2.5": 0.45, "M3": 0.50, "M4": 0.70}


@dataclass(frozen=True)
class Clearance:
    """Diameters of passing holes in the three series of ISO 273."""

    fine: float
    medium: float
    coarse: float


#: ISO 273.
_CLEARANCE = {
    "M1.6": Clearance(1.7, 1.8, 2.0),
    "M2": Clearance(2.2, 2.4, 2.6),
    "M2.5": Clearance(2.7, 2.9, 3.1),
    "M3": Clearance(3.2, 3.4, 3.6),
    "M4": Clearance(4.3, 4.5, 4.8),
}

HeadKind = Literal["socket", "pan", "countersunk", "headless", "nut", "own"]


@dataclass(frozen=True)
class Head:
    """What a fastener offers to a driver: the largest diameter and height it takes up.

    A countersunk head's height lies within the nominal length of the screw. A headless screw
    has no diameter or height of its own.
    """

    diameter: float | None
    height: float | None
    driver: str
    kind: HeadKind


def _hex_key(size: float) -> str:
    return f"{size:g} mm hex key"


# ISO 4762: dk max of knurled heads (they come knurled unless ordered plain), k, key size s.
_SOCKET = {
    "M1.6": (3.14, 1.6, 1.5),
    "M2": (3.98, 2.0, 1.5),
    "M2.5": (4.68, 2.5, 2.0),
    "M3": (5.68, 3.0, 2.5),
    "M4": (7.22, 4.0, 3.0),
}
# ISO 7045: dk, k, cross recess of ISO 4757.
_PAN = {
    "M1.6": (3.2, 1.3, "PH0"),
    "M2": (4.0, 1.6, "PH0"),
    "M2.5": (5.0, 2.1, "PH1"),
    "M3": (5.6, 2.4, "PH1"),
    "M4": (8.0, 3.1, "PH2"),
}
# ISO 7046: actual dk max, k max. Its recess is that of ISO 7045 in these sizes (from memory).
_COUNTERSUNK = {
    "M1.6": (3.0, 0.96),
    "M2": (3.8, 1.2),
    "M2.5": (4.7, 1.5),
    "M3": (5.5, 1.65),
    "M4": (8.4, 2.7),
}
# ISO 10642: theoretical dk, k, key size s. The standard begins at M3.
_SOCKET_COUNTERSUNK = {"M3": (6.72, 1.86, 2.0), "M4": (8.96, 2.48, 2.5)}
# ISO 4026, ISO 4027 and ISO 4029: key size s.
_SET_SCREW = {"M1.6": 0.7, "M2": 0.9, "M2.5": 1.3, "M3": 1.5, "M4": 2.0}
_SET_SCREWS = ("ISO 4026", "ISO 4027", "ISO 4029")
# ISO 4032: width across flats s, m max.
_NUT = {
    "M1.6": (3.2, 1.3),
    "M2": (4.0, 1.6),
    "M2.5": (5.0, 2.0),
    "M3": (5.5, 2.4),
    "M4": (7.0, 3.2),
}

#: Nominal lengths of small screws, first choice (ISO 888).
_LENGTHS = (2, 2.5, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 30, 35, 40)

_Ends = dict[str, tuple[float, float]]  # shortest and longest, by thread
_SHORT_LONG: _Ends = {
    "M1.6": (3, 16),
    "M2": (3, 20),
    "M2.5": (3, 25),
    "M3": (4, 30),
    "M4": (5, 40),
}
_SET_SHORT_LONG: _Ends = {
    "M1.6": (2, 8),
    "M2": (2, 10),
    "M2.5": (2.5, 12),
    "M3": (3, 16),
    "M4": (4, 20),
}
_LENGTH_ENDS: dict[str, _Ends] = {
    "ISO 4762": {"M1.6": (2.5, 16), "M2": (3, 20), "M2.5": (4, 25), "M3": (5, 30), "M4": (6, 40)},
    "ISO 7045": _SHORT_LONG,
    "ISO 7046": _SHORT_LONG,
    "ISO 10642": {"M3": (8, 30), "M4": (8, 40)},
    **dict.fromkeys(_SET_SCREWS, _SET_SHORT_LONG),
}


@dataclass(frozen=True)
class WasherSize:
    """A plain washer: least bore, greatest outside, nominal thickness."""

    bore: float
    outside: float
    thickness: float


#: ISO 7089. Tables often give the greatest thickness as if it were the nominal one.
_WASHER = {
    "M1.6": WasherSize(1.7, 4.0, 0.3),
    "M2": WasherSize(2.2, 5.0, 0.3),
    "M2.5": WasherSize(2.7, 6.0, 0.5),
    "M3": WasherSize(3.2, 7.0, 0.5),
    "M4": WasherSize(4.3, 9.0, 0.8),
}


def _size(thread: str) -> str:
    """The thread without its fine pitch: holes, heads and washers go by diameter."""
    return thread.split("x")[0]


def thread_pitch(thread: str) -> float | None:
    """Pitch of a thread in its one spelling, `M2.5` or `M3x0.35`."""
    size, _, fine = thread.partition("x")
    return float(fine) if fine else _PITCH.get(size)


def clearance(thread: str) -> Clearance | None:
    """The passing holes for a thread."""
    return _CLEARANCE.get(_size(thread))


def washer_size(designation: Designation) -> WasherSize | None:
    """The sizes of an ISO 7089 washer."""
    known = designation.product == "ISO 7089"
    return _WASHER.get(_size(designation.thread)) if known else None


def is_set_screw(designation: Designation) -> bool:
    """Whether this is a headless screw that grips a shaft."""
    return designation.product in _SET_SCREWS


def head(designation: Designation) -> Head | None:
    """The head and driver of a screw, set screw or nut."""
    standard, size = designation.product, _size(designation.thread)
    if standard == "ISO 4762" and size in _SOCKET:
        diameter, height, key = _SOCKET[size]
        return Head(diameter, height, _hex_key(key), "socket")
    if standard == "ISO 7045" and size in _PAN:
        diameter, height, recess = _PAN[size]
        return Head(diameter, height, f"{recess} screwdriver", "pan")
    if standard == "ISO 7046" and size in _COUNTERSUNK:
        diameter, height = _COUNTERSUNK[size]
        return Head(diameter, height, f"{_PAN[size][2]} screwdriver", "countersunk")
    if standard == "ISO 10642" and size in _SOCKET_COUNTERSUNK:
        diameter, height, key = _SOCKET_COUNTERSUNK[size]
        return Head(diameter, height, _hex_key(key), "countersunk")
    if standard in _SET_SCREWS and size in _SET_SCREW:
        return Head(None, None, _hex_key(_SET_SCREW[size]), "headless")
    if standard == "ISO 4032" and size in _NUT:
        flats, height = _NUT[size]
        return Head(flats, height, f"{flats:g} mm spanner", "nut")
    return None


def stocked_lengths(designation: Designation) -> tuple[float, ...] | None:
    """The lengths that its standard lists, those to be had off the shelf; None if not known."""
    ends = _LENGTH_ENDS.get(designation.product, {}).get(designation.thread)
    if ends is None:
        return None
    return tuple(length for length in _LENGTHS if ends[0] <= length <= ends[1])
