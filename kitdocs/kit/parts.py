"""Parts: the kinds of thing that can be bought or counted (`parts.yml`)."""

from __future__ import annotations

import re
from typing import Annotated, Literal

from pydantic import Field

from kitdocs.kit.designation import Designation, parse_designation, parse_thread
from kitdocs.kit.fact import Fact
from kitdocs.kit.names import quoted
from kitdocs.kit.values import (
    LENGTH_SCHEMA,
    AlsoWritten,
    Count,
    Flag,
    Id,
    Length,
    Number,
    Offset,
    Read,
    Text,
    fault,
    read_length,
    text_of,
)

Hazard = Literal[
    "small-parts",
    "magnet",
    "coin-cell",
    "blade",
    "adhesive",
    "solvent",
    "brass-dust",
    "oil",
    "hot-lamp",
    "mains",
]


def _thread(text: str) -> str:
    thread = parse_thread(text)
    if thread is None:
        raise fault(quoted(text), "a thread such as M2.5")
    return thread


def _fit(text: str) -> str:
    if not re.fullmatch(r"[A-Z]{1,2}[0-9]{1,2}/[a-z]{1,2}[0-9]{1,2}", text):
        raise fault(f"'{text}'", "a fit such as H7/g6 (hole, then shaft)")
    return text


def _depth(value: object) -> float | None:
    return None if value == "through" else read_length(value)


Thread = Annotated[str, text_of(_thread)]
Fit = Annotated[str, text_of(_fit)]
Depth = Annotated[float | None, Read(_depth, {"anyOf": [{"const": "through"}, LENGTH_SCHEMA]})]


class Holes(Fact):
    """Holes of one size; numbered on through a part's list of hole patterns, from 1.

    `size` is a plain hole's diameter, `thread` makes a tapped one; a `depth` of `through` (the
    default) goes all the way. `circle` is the diameter of the circle that they stand on, at equal
    angles.
    """

    count: Count
    circle: Length | None = None
    size: Length | None = None
    thread: Thread | None = None
    depth: Depth = None


class CrossHole(Fact):
    """Tapped holes through the side for set screws that grip what is in the bore."""

    thread: Thread
    count: Count = 1


class Part(Fact):
    """What every part may say of itself. `spoken` is its name as a presenter says it,
    `also` other names for it, which words must not use.

    `tolerance` is how far its height along a stack may be off, ± mm. `fit` is the ISO 286 fit
    that its bore, or a hole that something is pressed into, is made to with what goes in it:
    `H7/g6`.
    """

    kind: str
    name: Text | None = None
    plural: Text | None = None
    spoken: Text | None = None
    also: tuple[Text, ...] = ()
    material: Text | None = None
    mark: Text | None = None
    note: Text | None = None
    tolerance: Offset = 0.0
    fit: Fit | None = None
    hazards: tuple[Hazard, ...] = ()
    holes: tuple[Holes, ...] = ()
    set_screw: CrossHole | None = None

    @property
    def height(self) -> float:
        """How much of a stack the part takes up along its axis, mm."""
        return 0.0

    @property
    def hole_patterns(self) -> dict[int, Holes]:
        """Each hole's pattern, by hole number."""
        numbered = [pattern for pattern in self.holes for _ in range(pattern.count)]
        return dict(enumerate(numbered, start=1))


class Toothed(Part):
    """Wheels that mesh: tooth count, module (mm), pressure angle (degrees), profile shift.

    `thinning` is how much thinner than half the pitch each tooth is cut, mm along the pitch
    circle, so that it runs with backlash.
    """

    teeth: Count
    module: Length
    pressure_angle: Number = 20.0
    form: Literal["involute", "cycloidal"] = "involute"
    shift: Number = 0.0
    thinning: Offset = 0.0
    face: Length
    bore: Offset = 0.0

    @property
    def height(self) -> float:
        return self.face


class Wheel(Toothed):
    kind: Literal["wheel"]


class RingWheel(Toothed):
    """An internal wheel: its teeth point inwards."""

    kind: Literal["ring-wheel"]
    outside: Length


class BevelWheel(Toothed):
    kind: Literal["bevel-wheel"]


class ContrateWheel(Toothed):
    kind: Literal["contrate-wheel"]


class Worm(Part):
    kind: Literal["worm"]
    starts: Count
    module: Length
    hand: Literal["right", "left"] = "right"
    length: Length
    bore: Offset = 0.0

    @property
    def height(self) -> float:
        return self.length


class Pulley(Part):
    """A wheel for a toothed belt or a chain; `pitch` in mm."""

    kind: Literal["pulley", "chain-wheel"]
    teeth: Count
    pitch: Length
    face: Length
    bore: Offset = 0.0

    @property
    def height(self) -> float:
        return self.face


class Shaft(Part):
    """Arbors, pipes and posts. `shoulder` is how far above the lower end the stack begins.

    A pipe has a `bore`. `flat` says that set screws find a flat to bear on.
    """

    kind: Literal["arbor", "pipe", "post"]
    diameter: Length
    length: Length
    bore: Offset = 0.0
    shoulder: Offset = 0.0
    flat: Flag = False

    @property
    def height(self) -> float:
        return self.length


class Round(Part):
    """Turned parts that sit on a shaft or stand on a plate."""

    kind: Literal["hub", "collet", "spacer", "bush", "pillar", "foot", "knob"]
    outside: Length
    bore: Offset = 0.0
    length: Length

    @property
    def height(self) -> float:
        return self.length


class Washer(Part):
    kind: Literal["washer"]
    outside: Length
    bore: Length
    thickness: Length

    @property
    def height(self) -> float:
        return self.thickness


class Plate(Part):
    """A plate or ring-shaped flat part: round (`outside`) or oblong (`width` by `depth`)."""

    kind: Literal["plate", "dial"]
    thickness: Length
    outside: Length | None = None
    width: Length | None = None
    depth: Length | None = None
    bore: Offset = 0.0

    @property
    def height(self) -> float:
        return self.thickness


class Arm(Part):
    """An arm or a hand: `reach` from its axis to what it carries, `hub` its boss's diameter.

    A hole for a further axis that it carries stands on a `circle` of twice its distance.
    """

    kind: Literal["arm", "hand", "crank-handle"]
    reach: Length
    thickness: Length
    bore: Offset = 0.0
    hub: Length

    @property
    def height(self) -> float:
        return self.thickness


class Ball(Part):
    kind: Literal["ball"]
    diameter: Length
    bore: Offset = 0.0

    @property
    def height(self) -> float:
        return self.diameter


class Tool(Part):
    """Something the builder works with and keeps; `own` when the kit does not bring it."""

    kind: Literal["tool"]
    name: Text
    own: Flag = False


class Supply(Part):
    """Adhesive, oil and the like: used by the drop, counted by the bottle.

    `joins` names what an adhesive is made for.
    """

    kind: Literal["adhesive", "oil"]
    name: Text
    own: Flag = False
    joins: tuple[Literal["metal", "wood", "plastic"], ...] = ()


class Fastener(Part):
    """A screw, nut or washer by its designation; the product standard gives head and driver.

    Without a standard, `head` (diameter), `head_height` and `driver` are the kit's to say.
    """

    kind: Literal["fastener"] = "fastener"
    designation: Text
    material: Text | None = "steel"
    head: Length | None = None
    head_height: Length | None = None
    driver: Text | None = None

    @property
    def parsed(self) -> Designation:
        """The designation, taken apart; reading has made sure that it can be."""
        parsed = parse_designation(self.designation)
        assert parsed is not None
        return parsed


PartKind = Annotated[
    Wheel
    | RingWheel
    | BevelWheel
    | ContrateWheel
    | Worm
    | Pulley
    | Shaft
    | Round
    | Washer
    | Plate
    | Arm
    | Ball
    | Tool
    | Supply,
    Field(discriminator="kind"),
]


def bore_of(part: Part) -> float:
    """The diameter of the hole through a part's middle, mm; 0 where its kind has none."""
    return getattr(part, "bore", 0.0)


def _fastener(value: object) -> object:
    return {"designation": value} if isinstance(value, str) else value


FastenerEntry = Annotated[
    Fastener,
    AlsoWritten(_fastener, {"type": "string", "examples": ["ISO 7045 M2.5 x 6"]}),
]


class PartsFile(Fact):
    """`parts.yml`: every kind of thing once."""

    parts: dict[Id, PartKind]
    fasteners: tuple[FastenerEntry, ...] = ()
