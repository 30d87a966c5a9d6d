"""Lengths that the product standards list for each screw: what can be bought off the shelf."""

from __future__ import annotations

import re

from kitdocs.kit.designation import Designation

#: Nominal lengths of small screws, mm, first choice (ISO 888).
_SERIES = (2, 2.5, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 30, 35, 40)

_PAN = {"M1.6": (3, 16), "M2": (3, 20), "M2.5": (3, 25), "M3": (4, 30), "M4": (5, 40)}
_SET = {"M1.6": (2, 8), "M2": (2, 10), "M2.5": (2.5, 12), "M3": (3, 16), "M4": (4, 20)}

#: Shortest and longest length by standard and thread.
_RANGE: dict[str, dict[str, tuple[float, float]]] = {
    "ISO 4762": {"M1.6": (2.5, 16), "M2": (3, 20), "M2.5": (4, 25), "M3": (5, 30), "M4": (6, 40)},
    "ISO 7045": _PAN,
    "ISO 7046": _PAN,
    "ISO 10642": {"M3": (8, 30), "M4": (8, 40)},
    "ISO 4026": _SET,
    "ISO 4027": _SET,
    "ISO 4029": _SET,
}


def stocked_lengths(designation: Designation) -> tuple[float, ...] | None:
    """The lengths that its standard lists, mm; None for what is not in the table."""
    standard = re.sub(r"-[0-9]$", "", designation.standard)
    ends = _RANGE.get(standard, {}).get(designation.thread)
    if ends is None:
        return None
    return tuple(length for length in _SERIES if ends[0] <= length <= ends[1])
