"""The machine: axes, arbors with their stacks, meshes, and what holds what (`mechanism.yml`)."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from kitdocs.kit.fact import Fact
from kitdocs.kit.values import AlsoWritten, Count, Flag, Id, Length, Number, Text
from kitdocs.kit.yaml_reader import Mapping, Sequence


class Axis(Fact):
    """A line an arbor turns about.

    Either `at` [x, y] mm in the frame, or `distance` mm and `bearing` degrees (anticlockwise
    from +x, seen from above) `from` another axis. `at` too may be counted `from` another axis.
    `carried_by` names the arbor that takes the axis round; its position is then from that
    arbor's own axis, with the carrier at 0 degrees.
    """

    at: tuple[Number, Number] | None = None
    from_: Id | None = None
    distance: Length | None = None
    bearing: Number = 0.0
    carried_by: Id | None = None
    lies: Literal["upright", "level"] = "upright"


Level = dict[Id, Text]


class Arbor(Fact):
    """Everything that turns as one: the shaft or pipe and the items fixed on it.

    `stack` lists what stands on it from its shoulder up, each level a mapping of item to part
    (several items in one level stand side by side). `end_stack` lists what ends flush with its
    upper end. Heights follow from the order and the parts; they are never typed. An arbor that
    `stands_on` an item has its shoulder on that item's upper face. `runs_on` names the post or
    pipe it turns upon. A `fixed` arbor does not turn against what carries its axis: the frame (the
    frame itself is one), or the arm that a ball's rod is fixed in.
    """

    axis: Id | None = None
    part: Text | None = None
    runs_on: Id | None = None
    stands_on: Id | None = None
    fixed: Flag = False
    stack: tuple[Level, ...] = ()
    end_stack: tuple[Level, ...] = ()


def _pair(value: object) -> object:
    if not isinstance(value, Sequence):
        return value
    mapping = Mapping(value.place)
    mapping["pair"], mapping.places["pair"] = value, value.place
    return mapping


class MeshFact(Fact):
    """Two toothed items in contact, driver first by custom; `[a, b]` is short for `pair`.

    `turns` says whether the second goes the same way as the first or the opposite way. It
    follows from the kinds of wheel where the axes are parallel (a belt is open unless it says
    `opposite`); where they cross it must be written: both are seen from the end of their axis
    that points up, or away from the post for an axis that lies level.
    """

    pair: tuple[Id, Id]
    turns: Literal["same", "opposite"] | None = None


MeshEntry = Annotated[
    MeshFact,
    AlsoWritten(
        _pair, {"type": "array", "items": {"type": "string"}, "minItems": 2, "maxItems": 2}
    ),
]


class Held(Fact):
    """What holds an item: `by` a fastener, an adhesive part, or `press`, `to` another item.

    `holes` are the numbers of the host's tapped holes that the screws go into, one screw each.
    `washer` names a washer under each head.
    """

    to: Id
    by: Text
    holes: tuple[Count, ...] = ()
    washer: Text | None = None


class MechanismFile(Fact):
    """`mechanism.yml`."""

    crank: Id
    axes: dict[Id, Axis]
    arbors: dict[Id, Arbor]
    meshes: tuple[MeshEntry, ...] = ()
    held: dict[Id, Held] = Field(default_factory=dict)
