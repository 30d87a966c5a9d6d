"""How what the design knows is told to an editor whose number it is not."""

from __future__ import annotations

from collections.abc import Iterable

from kitdocs.words.audit.claims.claim import Claim
from kitdocs.words.audit.judging.known import Known
from kitdocs.words.audit.judging.statement import GIVE, write
from kitdocs.words.numbers import plain


def known_told(known: Iterable[Known], claim: Claim) -> str:
    nearest = sorted(known, key=lambda one: abs(one.value - claim.high))
    told = dict.fromkeys(f"{_shown(one)} ({one.label})" for one in nearest)
    return " or ".join([*told][:3]) or "a figure that the design has, or a source for it"


def _shown(known: Known) -> str:
    if known.what == "day" and abs(known.value) < 1:
        return f"{plain(known.value * 1440)} minutes"
    return f"{plain(known.value)} {_UNITS.get(known.what, known.what)}"


_UNITS = {"deg": "°", "day": "days", "turn": "turns"}


def write_one(known: Iterable[Known]) -> str:
    expression = next((k.expression for k in known if k.expression), "")
    return write(expression) or GIVE
