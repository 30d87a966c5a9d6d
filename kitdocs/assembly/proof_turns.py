"""How many turns of the crank make a proof: few, handy, and enough to read the slowest arm by."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import ceil

#: An arm that has moved so far can be read against a printed circle, degrees (our own).
READABLE = 30
#: More than a hand turns for one proof (our own). A slower arm is read from a mark.
MOST_TURNS = 60
#: Up to here half turns are counted too; beyond, whole ones (our own).
HALVES_UP_TO = 5
#: A round angle is a multiple of this, and one that is off by less reads as round, degrees.
ROUND, NEAR_ROUND = 15, 1


def handy_turns(speeds: Iterable[Fraction]) -> Fraction:
    """Turns for arbors of these speeds, in turns for one turn of the crank.

    The slowest of them moves a readable angle, and where half as many turns again would let it
    end on a round one, it does. 1 where nothing moves.
    """
    slowest = min((abs(speed) for speed in speeds if speed), default=None)
    if slowest is None:
        return Fraction(1)
    least = _up(Fraction(READABLE, 360) / slowest)
    if least >= MOST_TURNS:
        return Fraction(MOST_TURNS)
    most = max(least + Fraction(1, 2), min(Fraction(MOST_TURNS), least * Fraction(3, 2)))
    best, turns = None, least
    while turns <= most:
        off = _off_round(turns * slowest * 360)
        if off <= NEAR_ROUND:
            return turns
        if best is None or off < best[0]:
            best = off, turns
        turns = _up(turns + Fraction(1, 2))
    return best[1] if best else least


def _up(turns: Fraction) -> Fraction:
    """The next number of turns that is easily counted."""
    halves = Fraction(ceil(turns * 2), 2)
    return halves if halves <= HALVES_UP_TO else Fraction(ceil(halves))


def _off_round(degrees: Fraction) -> Fraction:
    over = degrees % ROUND
    return min(over, ROUND - over)
