"""Findings about fits, as the rules on them word them."""

from __future__ import annotations

from kitdocs.finding import Finding, Place
from kitdocs.kit.limits import Limit
from kitdocs.mechanism.fits import Pairing
from kitdocs.words.numbers import millimetres, plain


def fit_finding(pairing: Pairing, rule: str, limit: Limit, sign: int = 1) -> Finding | None:
    """What is wrong with a fit; None when it holds. A `sign` of -1 counts interference.

    A fit by class has to be of nominal sizes that agree, and at its loosest and tightest
    clear, or hold, at all; without a class the sizes are the real ones and the limit decides.
    """
    inner, outer = pairing.inner, pairing.outer
    axis = (pairing.axis_place,) if pairing.axis_place else ()
    facts = (pairing.shaft_place, pairing.hole_place, inner.place, outer.place, *axis)
    if pairing.hole is None:
        found = f"{outer.id} has no hole for {inner.id} ({millimetres(pairing.shaft)})"
        return Finding(pairing.hole_place, rule, found, "a bore or a hole there", facts=facts)
    sizes = f"{inner.id} ({millimetres(pairing.shaft)}) in {outer.id} ({millimetres(pairing.hole)})"
    if pairing.fit is not None:
        return _class_finding(pairing, rule, sizes, facts, sign)
    value = sign * (pairing.hole - pairing.shaft)
    if limit.below(value) or (limit.above(value) and not (pairing.soft and sign < 0)):
        what = "a clearance" if sign > 0 else "an interference"
        return Finding(
            pairing.hole_place,
            rule,
            f"{sizes} has {what} of {plain(value, 4)}\u00a0mm",
            limit.text,
            facts=facts,
        )
    return None


def _class_finding(
    pairing: Pairing, rule: str, sizes: str, facts: tuple[Place, ...], sign: int
) -> Finding | None:
    place = pairing.outer.part.place("fit")
    if abs((pairing.hole or 0.0) - pairing.shaft) > 1e-9:
        expected = f"one nominal size for {pairing.fit}"
        return Finding(place, rule, sizes, expected, facts=facts)
    ends = pairing.clearance
    if ends is None:
        found = f"no limits are known here for {pairing.fit} at {millimetres(pairing.shaft)}"
        expected = "a class such as H7/g6, H7/f7, H8/f7 or H7/p6"
        return Finding(place, rule, found, expected, facts=facts)
    tightest = sign * ends[0] if sign > 0 else -ends[1]
    if tightest < 0:
        shown = f"{plain(ends[0] * 1000, 0)} … {plain(ends[1] * 1000, 0)} µm of clearance"
        expected = "clearance at both ends" if sign > 0 else "interference at both ends"
        return Finding(place, rule, f"{sizes}, {pairing.fit}: {shown}", expected, facts=facts)
    return None
