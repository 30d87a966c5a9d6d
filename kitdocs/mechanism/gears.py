"""Involute gear geometry after ISO 21771 on the basic rack of ISO 53; clock forms by pitch circle.

Lengths in mm, angles in degrees. A positive shift moves the teeth outwards on a wheel and, on an
internal wheel, its tooth spaces outwards; an internal pair then counts the difference of teeth
and of shifts where an external one counts the sum.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, atan, cos, degrees, pi, radians, sin, sqrt, tan

from kitdocs.kit.parts import Part, RingWheel, Toothed
from kitdocs.mechanism.meshes import pair_kind

ADDENDUM = 1.0  # of the module: ISO 53 rack, haP
DEDENDUM = 1.25  # of the module: ISO 53 profile A, hfP


@dataclass(frozen=True)
class Gear:
    """The toothing of one wheel, as far as its geometry goes."""

    teeth: int
    module: float
    pressure_angle: float = 20.0
    shift: float = 0.0
    internal: bool = False

    @property
    def reference_diameter(self) -> float:
        return self.module * self.teeth

    @property
    def base_diameter(self) -> float:
        return self.reference_diameter * cos(radians(self.pressure_angle))

    @property
    def root_diameter(self) -> float:
        depth = DEDENDUM + self.shift if self.internal else self.shift - DEDENDUM
        return self.reference_diameter + 2 * self.module * depth

    @property
    def tooth_thickness(self) -> float:
        """Along the reference circle."""
        shift = -self.shift if self.internal else self.shift
        return self.module * (pi / 2 + 2 * shift * tan(radians(self.pressure_angle)))

    @property
    def half_tooth_angle(self) -> float:
        """Angle at the centre under half a tooth's thickness."""
        return degrees(self.tooth_thickness / self.reference_diameter)


def gear_of(part: Toothed) -> Gear:
    """The toothing of a kit's wheel."""
    internal = isinstance(part, RingWheel)
    return Gear(part.teeth, part.module, part.pressure_angle, part.shift, internal)


def involute(angle: float) -> float:
    """inv α = tan α − α, in radians, of an angle in degrees."""
    return tan(radians(angle)) - radians(angle)


def angle_of_involute(value: float) -> float:
    """The angle whose involute function is `value`. Raises ValueError below 0."""
    if value < 0:
        raise ValueError(f"no angle has the involute {value:g}")
    # tan α − α ≥ α³/3 and α < 90° bound the root from above, and from above Newton's steps on
    # this convex function only go down to it.
    angle = min((3 * value) ** (1 / 3), atan(value + pi / 2))
    for _ in range(60):
        slope = tan(angle) ** 2
        step = (tan(angle) - angle - value) / slope if slope else 0.0
        angle -= step
        if step < 1e-15:
            break
    return degrees(angle)


@dataclass(frozen=True)
class GearPair:
    """Two wheels in mesh; `b` is the internal one where there is one.

    Both have one module and one pressure angle. Where no distance is given they run at their
    own distance, without backlash.
    """

    a: Gear
    b: Gear
    distance: float | None = None

    @property
    def teeth(self) -> int:
        """Sum of teeth; of an internal pair the difference."""
        return self.b.teeth - self.a.teeth if self.b.internal else self.a.teeth + self.b.teeth

    @property
    def shift(self) -> float:
        """Sum of shifts; of an internal pair the difference."""
        return self.b.shift - self.a.shift if self.b.internal else self.a.shift + self.b.shift

    @property
    def reference_distance(self) -> float:
        """Where the reference circles touch."""
        return self.a.module * self.teeth / 2

    @property
    def working_involute(self) -> float:
        """inv αw of the pair's own distance."""
        alpha = self.a.pressure_angle
        return involute(alpha) + 2 * tan(radians(alpha)) * self.shift / self.teeth

    @property
    def working_angle(self) -> float:
        """Working pressure angle. Raises ValueError where no distance lets the teeth mesh."""
        if self.distance is None:
            return angle_of_involute(self.working_involute)
        ratio = self.reference_distance * cos(radians(self.a.pressure_angle)) / self.distance
        if not 0 < ratio <= 1:
            raise ValueError(f"at {self.distance:g} mm the base circles leave no line of action")
        return degrees(acos(ratio))

    @property
    def centre_distance(self) -> float:
        if self.distance is not None:
            return self.distance
        alpha, working = radians(self.a.pressure_angle), radians(self.working_angle)
        return self.reference_distance * cos(alpha) / cos(working)

    @property
    def distance_modification(self) -> float:
        """y: how far the centres are beyond the reference distance, in modules."""
        return (self.centre_distance - self.reference_distance) / self.a.module

    @property
    def shift_for_distance(self) -> float:
        """The sum (internal: difference) of shifts that runs without backlash here."""
        alpha = self.a.pressure_angle
        gain = involute(self.working_angle) - involute(alpha)
        return self.teeth * gain / (2 * tan(radians(alpha)))

    @property
    def addenda(self) -> tuple[float, float]:
        """From the reference circle to the tip, in the direction of the tooth.

        Teeth of a shifted external pair are shortened so that the tip clearance stays that of
        the rack; those of an internal pair are not.
        """
        if self.b.internal:
            modules = ADDENDUM + self.a.shift, ADDENDUM - self.b.shift
        else:
            y = self.distance_modification
            modules = ADDENDUM + y - self.b.shift, ADDENDUM + y - self.a.shift
        return self.a.module * modules[0], self.a.module * modules[1]

    @property
    def tip_diameters(self) -> tuple[float, float]:
        first, second = self.addenda
        inwards = -1 if self.b.internal else 1
        return (
            self.a.reference_diameter + 2 * first,
            self.b.reference_diameter + inwards * 2 * second,
        )

    @property
    def contact_ratio(self) -> float | None:
        """At the pair's own distance."""
        return self.contact_ratio_at(self.centre_distance)

    def contact_ratio_at(self, distance: float) -> float | None:
        """Length of the line of action between the tips, in base pitches (ISO 21771).

        The tips stay those of the pair's own distance. What undercut or interference at a base
        circle takes away is not counted. The flank begins at the base circle, so a tip inside it
        adds nothing. None where the base circles leave no line of action.
        """
        base_a, base_b = self.a.base_diameter / 2, self.b.base_diameter / 2
        between = base_b - base_a if self.b.internal else base_a + base_b
        if distance < between:
            return None
        tip_a, tip_b = (tip / 2 for tip in self.tip_diameters)
        approach = sqrt(max(0.0, tip_a**2 - base_a**2))
        recess = sqrt(max(0.0, tip_b**2 - base_b**2))
        span = sqrt(distance**2 - between**2)
        length = approach - recess + span if self.b.internal else approach + recess - span
        return length / (pi * self.a.module * cos(radians(self.a.pressure_angle)))


def least_teeth(pressure_angle: float) -> float:
    """Teeth that a rack cuts without undercut and without shift: 2 / sin² α."""
    return 2 / sin(radians(pressure_angle)) ** 2


def least_shift(teeth: int, pressure_angle: float) -> float:
    """The shift from which a rack does not undercut so few teeth: 1 − z sin² α / 2."""
    return 1 - teeth / least_teeth(pressure_angle)


def wanted_distance(part_a: Part, part_b: Part) -> float | None:
    """How far apart the axes of two wheels in mesh should be, mm; the same in either order.

    Cycloidal teeth have no shift: their pitch circles touch. None for pairs whose facts give no
    distance: worms (no diameter), crossing axes, belts, and wheels that cannot mesh.
    """
    if pair_kind(part_a, part_b) not in ("external", "internal"):
        return None
    assert isinstance(part_a, Toothed) and isinstance(part_b, Toothed)
    if (part_a.module, part_a.form) != (part_b.module, part_b.form):
        return None
    small, large = sorted((gear_of(part_a), gear_of(part_b)), key=lambda g: (g.internal, g.teeth))
    pair = GearPair(small, large)
    if pair.teeth <= 0:
        return None
    if part_a.form == "cycloidal":
        return pair.reference_distance
    alpha = small.pressure_angle
    possible = 0 < alpha < 45 and alpha == large.pressure_angle and pair.working_involute >= 0
    return pair.centre_distance if possible else None
