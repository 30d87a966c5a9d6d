"""Names as findings show them, and the nearest ones that are known."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

_LONGEST = 60  # characters of a written value that a finding shows
_USUAL = frozenset("×µ°²³½–—’“”…\u00a0")


def nearest_name(name: str, known: Iterable[str]) -> str | None:
    """The known name that is most like this one; None when none is at all."""
    close = difflib.get_close_matches(name[:_LONGEST], list(known), n=1, cutoff=0.6)
    return close[0] if close else None


def nearest(name: str, known: Iterable[str]) -> str:
    """A sentence that suggests the nearest known name, or lists what is known if few."""
    names = list(known)
    if close := nearest_name(name, names):
        return f"Did you mean '{close}'?"
    if names and len(names) <= 16:
        return f"Known: {', '.join(names)}."
    return ""


def quoted(text: object) -> str:
    """A written value in quotation marks: long ones shortened, look-alike letters named.

    A Cyrillic `х` in a designation looks like the `x` that it should be, so its code point is
    told.
    """
    shown = str(text)
    if len(shown) > _LONGEST:
        shown = f"{shown[: _LONGEST - 20]}… ({len(shown):,} characters)"
    strange = next((c for c in shown if not c.isascii() and c not in _USUAL), None)
    return f"'{shown}'" + (f" (with U+{ord(strange):04X})" if strange else "")
