"""One thing that a builder sees of a machine built wrong."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

#: What is seen, in the order in which a builder meets it.
SightKind = Literal[
    "jam", "clear", "apart", "shifted", "locked", "stray", "still", "reversed", "angle", "binds",
    "rubs", "short", "loose", "proud", "sunk", "bottoms", "thread", "opposite",
]  # fmt: skip
ORDER: tuple[str, ...] = get_args(SightKind)

#: Less cannot be seen or felt, mm (our own); positions are written to a thousandth.
FELT = 0.05
WRITTEN_TO = 0.001


@dataclass(frozen=True)
class Sight:
    """One thing that is seen.

    `items` are what it is seen at, `arbor` what moves wrongly or not. `amount` is in mm, of
    `angle` and `reversed` in degrees after the proof's turns, positive anticlockwise, and
    `should_be` the same of the right machine:

    - `jam`: the axes are too near for two wheels; `apart`: too far for them to carry each other;
    - `clear`: their faces miss each other in height, positive where the first is the higher;
    - `short`: they share only so much of their faces;
    - `shifted`: the first stands so much too high (negative: too low) for a crossing pair;
    - `binds`: an arbor is so much too tall for its room; `loose`: its end play is so much;
    - `stray`: two wheels run together that should not;
    - `rubs`: two things are so much in each other's way; at the `screws` of one or the other;
    - `opposite`: an arm points that many degrees another way;
    - `proud`, `sunk`: a screw stands out of its item, or ends below its surface; `bottoms`: it is
      too long for its hole; `thread`: so much thread is missing.
    """

    kind: SightKind
    items: tuple[str, ...] = ()
    arbor: str = ""
    amount: float = 0.0
    should_be: float = 0.0
    screws: bool = False
