"""Names that are not known, and the nearest ones that are."""

from __future__ import annotations

import difflib
from collections.abc import Iterable


def nearest(name: str, known: Iterable[str]) -> str:
    """A sentence that suggests the nearest known name, or lists what is known if few."""
    names = list(known)
    close = difflib.get_close_matches(name, names, n=1, cutoff=0.6)
    if close:
        return f"Did you mean '{close[0]}'?"
    if names and len(names) <= 16:
        return f"Known: {', '.join(names)}."
    return ""
