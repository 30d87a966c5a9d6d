"""Gear geometry against handbook examples, closed forms and a simulation of contact."""

from __future__ import annotations

from math import asin, atan2, cos, hypot, isclose, pi, radians, sin, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitdocs.kit.parts import (
    BevelWheel,
    ContrateWheel,
    Pulley,
    RingWheel,
    Toothed,
    Wheel,
    Worm,
)
from kitdocs.mechanism.gears import (
    Gear,
    GearPair,
    angle_of_involute,
    involute,
    least_shift,
    least_teeth,
    wanted_distance,
)

STANDARD = GearPair(Gear(12, 3), Gear(24, 3))
SHIFTED = GearPair(Gear(12, 3, shift=0.6), Gear(24, 3, shift=0.36))
SPREAD = GearPair(Gear(12, 3), Gear(24, 3), distance=56.5)
INTERNAL = GearPair(Gear(16, 3), Gear(24, 3, shift=0.5, internal=True))
TOOTH = Gear(12, 10, shift=0.3)
# A rack is a wheel of any size as far as tooth thickness goes: it does not depend on z.
RACK = Gear(1000, 3)


def depth(pair: GearPair) -> float:
    return (pair.tip_diameters[0] - pair.a.root_diameter) / 2


# Gear pair examples of a gear maker's technical handbook (KHK), the rows without a remark quoted
# from memory; "SDP/SI": Elements of Metric Gear Technology. The last column has the same
# quantities computed anew, apart from this program.
HANDBOOK = [
    # standard pair: m 3, 20°, 12 and 24 teeth
    ("centre distance", STANDARD.centre_distance, "54.000", "54.000000"),
    ("base diameter, pinion", STANDARD.a.base_diameter, "33.829", "33.828934"),
    ("base diameter, wheel", STANDARD.b.base_diameter, "67.658", "67.657869"),
    ("tip diameter, pinion", STANDARD.tip_diameters[0], "42", "42.000000"),
    ("tip diameter, wheel", STANDARD.tip_diameters[1], "78", "78.000000"),
    ("root diameter, pinion", STANDARD.a.root_diameter, "28.5", "28.500000"),
    ("root diameter, wheel", STANDARD.b.root_diameter, "64.5", "64.500000"),
    ("contact ratio", STANDARD.contact_ratio, None, "1.511122"),
    # shifted pair: x 0.6 and 0.36
    ("inv of working angle", SHIFTED.working_involute, "0.034316", "0.0343161"),
    ("working angle", SHIFTED.working_angle, "26.0886", "26.0885634"),
    ("y", SHIFTED.distance_modification, "0.83329", "0.8332899"),
    ("shifted centre distance", SHIFTED.centre_distance, "56.4999", "56.4998697"),
    ("addendum, pinion", SHIFTED.addenda[0], "4.420", "4.419870"),  # to the contact ratio: SDP/SI
    ("addendum, wheel", SHIFTED.addenda[1], "3.700", "3.699870"),
    ("whole depth", depth(SHIFTED), "6.370", "6.369870"),
    ("shifted tip, pinion", SHIFTED.tip_diameters[0], "44.840", "44.839739"),
    ("shifted tip, wheel", SHIFTED.tip_diameters[1], "79.400", "79.399739"),
    ("shifted root, pinion", SHIFTED.a.root_diameter, "32.100", "32.100000"),
    ("shifted root, wheel", SHIFTED.b.root_diameter, "66.660", "66.660000"),
    ("shifted contact ratio", SHIFTED.contact_ratio, "1.202", "1.202102"),
    # the same wheels held at 56.5 mm (SDP/SI)
    ("angle at 56.5", SPREAD.working_angle, "26.0888", "26.088833"),
    ("inv at 56.5", involute(SPREAD.working_angle), "0.034317", "0.0343173"),
    ("y at 56.5", SPREAD.distance_modification, "0.83333", "0.8333333"),
    ("sum of shifts at 56.5", SPREAD.shift_for_distance, "0.960", "0.9600558"),
    # internal pair: 16 in 24, x 0 and 0.5
    ("internal working angle", INTERNAL.working_angle, "31.0937", "31.0936207"),
    ("internal inv", INTERNAL.working_involute, "0.060401", "0.0604007"),
    ("internal y", INTERNAL.distance_modification, "0.38943", "0.3894226"),
    ("internal distance", INTERNAL.centre_distance, "13.1683", "13.1682677"),
    ("internal tip, pinion", INTERNAL.tip_diameters[0], "54.000", "54.000000"),
    ("internal tip, ring", INTERNAL.tip_diameters[1], "69.000", "69.000000"),
    ("internal root, pinion", INTERNAL.a.root_diameter, "40.500", "40.500000"),
    ("internal root, ring", INTERNAL.b.root_diameter, "82.500", "82.500000"),
    ("internal contact ratio", INTERNAL.contact_ratio, None, "1.679495"),
    # tooth thickness: m 10, 20°, 12 teeth, x 0.3 (SDP/SI table 10-1); rack m 3 (table 10-2)
    ("tooth thickness", TOOTH.tooth_thickness, "17.8918", "17.891785"),
    ("half tooth angle", TOOTH.half_tooth_angle, "8.54270", "8.542698"),
    ("rack tooth thickness", RACK.tooth_thickness, "4.7124", "4.712389"),
    ("inv 20°", involute(20), "0.014904", "0.014904384"),
    # 2/sin²α, by closed form
    ("undercut at 14.5°", least_teeth(14.5), "32", "31.902940"),
    ("undercut at 20°", least_teeth(20), "17.097", "17.097264"),
    ("undercut at 25°", least_teeth(25), None, "11.197820"),
    ("undercut at 30°", least_teeth(30), None, "8.000000"),
    # contact ratios of unshifted 20° pairs, computed apart from this program
    *(
        (f"contact {a}/{b}", GearPair(Gear(a, 1), Gear(b, 1)).contact_ratio, None, ratio)
        for a, b, ratio in [
            (20, 40, "1.63519"),
            (30, 60, "1.71911"),
            (25, 50, "1.68316"),
            (17, 17, "1.51480"),
            (100, 100, "1.85251"),
        ]
    ),
    # least shift 1 − z sin²α/2 at 20°, computed apart from this program
    *(
        (f"least shift {z}", least_shift(z, 20), None, shift)
        for z, shift in [
            (8, "0.5321"),
            (10, "0.4151"),
            (12, "0.2981"),
            (14, "0.1812"),
            (16, "0.0642"),
        ]
    ),
]


def unit(printed: str) -> float:
    """One unit of the last digit printed."""
    return 10.0 ** -len(printed.partition(".")[2])


@pytest.mark.parametrize(
    ("value", "published", "anew"), [row[1:] for row in HANDBOOK], ids=[row[0] for row in HANDBOOK]
)
def test_handbook_figures_to_all_printed_digits(value, published, anew):
    assert abs(value - float(anew)) <= 0.5001 * unit(anew)
    if published is not None:  # handbooks round on the way: allow one unit
        assert abs(value - float(published)) <= unit(published)


def simulated_contact_ratio(a: Gear, b: Gear, distance: float, tips: tuple[float, float]) -> float:
    """Contact ratio by turning one drawn flank and watching where it can touch the other wheel.

    Independent of the closed form: by the law of gearing a flank touches where its normal goes
    through the pitch point. Each point of the drawn flank is turned until it does; those turns
    during which the touching point lies within both wheels' teeth are counted in tooth pitches.
    Pairs are chosen whose tips stay short of interference at the base circles, which the closed
    form leaves out of account.
    """
    inwards = -1 if b.internal else 1
    pitch_x = distance * a.teeth / (b.teeth + inwards * a.teeth)
    centre_x = inwards * distance
    base = a.module * a.teeth * cos(radians(a.pressure_angle)) / 2
    turns = []
    steps = 40_000
    for i in range(1, steps):
        t = 1.2 * i / steps  # roll angle along the involute
        x, y = base * (cos(t) + t * sin(t)), base * (sin(t) - t * cos(t))
        if hypot(x, y) > tips[0] / 2:
            break
        nx, ny = sin(t), -cos(t)
        # Turned by phi, the normal passes (pitch_x, 0) when pitch_x·sin(angle + phi) = x·ny − y·nx.
        lever = (x * ny - y * nx) / pitch_x
        phi = asin(lever) - atan2(ny, nx)
        px, py = x * cos(phi) - y * sin(phi), x * sin(phi) + y * cos(phi)
        from_b = hypot(px - centre_x, py)
        in_teeth = from_b >= tips[1] / 2 if b.internal else from_b <= tips[1] / 2
        if in_teeth:
            turns.append(phi)
    assert turns
    return (max(turns) - min(turns)) / (2 * pi / a.teeth)


@pytest.mark.parametrize(
    "pair",
    [
        SHIFTED,
        GearPair(Gear(20, 1), Gear(40, 1)),
        GearPair(Gear(17, 0.8), Gear(17, 0.8)),
        GearPair(Gear(20, 1), Gear(40, 1), distance=30.4),
        GearPair(Gear(40, 1), Gear(80, 1, internal=True)),
        GearPair(Gear(30, 0.8, shift=0.3), Gear(90, 0.8, shift=0.7, internal=True)),
    ],
    ids=["shifted", "20/40", "17/17", "20/40 spread", "40 in 80", "30 in 90 shifted"],
)
def test_contact_ratio_equals_a_simulation_of_contact(pair):
    simulated = simulated_contact_ratio(pair.a, pair.b, pair.centre_distance, pair.tip_diameters)
    assert pair.contact_ratio == pytest.approx(simulated, abs=2e-3)


@given(st.floats(0.5, 89))
def test_angle_of_involute_undoes_involute(angle):
    assert isclose(angle_of_involute(involute(angle)), angle, rel_tol=1e-8)


def test_angle_of_involute_at_and_below_nothing():
    assert angle_of_involute(0) == 0
    with pytest.raises(ValueError):
        angle_of_involute(-0.001)


def test_wheels_too_near_have_no_working_angle():
    with pytest.raises(ValueError):
        _ = GearPair(Gear(12, 3), Gear(24, 3), distance=50).working_angle


def wheel(teeth: int, kind=Wheel, **facts) -> Toothed:
    names = {Wheel: "wheel", RingWheel: "ring-wheel", BevelWheel: "bevel-wheel"}
    given = {"kind": names.get(kind, "contrate-wheel"), "teeth": str(teeth), "module": "0.8"}
    if kind is RingWheel:
        given["outside"] = "200"
    written = {key.replace("_", "-"): str(value) for key, value in facts.items()}
    return kind.model_validate({**given, "face": "2", **written})


WORM = Worm.model_validate({"kind": "worm", "starts": "1", "module": "0.8", "length": "10"})
PULLEY = Pulley.model_validate({"kind": "pulley", "teeth": "20", "pitch": "2", "face": "6"})


def test_pairs_of_one_module_and_one_sum_want_one_distance():
    # Common practice: pairs of one module between the same two axes have equal tooth sums.
    assert wanted_distance(wheel(33), wheel(61)) == pytest.approx(0.8 * 94 / 2)
    assert wanted_distance(wheel(20), wheel(74)) == wanted_distance(wheel(33), wheel(61))
    assert wanted_distance(wheel(34), wheel(61)) != wanted_distance(wheel(33), wheel(61))


def test_wanted_distance_of_shifted_and_internal_pairs():
    # Handbook pairs above.
    first = wheel(12, module=3, shift="0.6"), wheel(24, module=3, shift="0.36")
    assert wanted_distance(*first) == pytest.approx(56.4998697, abs=5e-8)
    ring = wheel(24, RingWheel, module=3, shift="0.5")
    assert wanted_distance(wheel(16, module=3), ring) == pytest.approx(13.1682677, abs=5e-8)


def test_cycloidal_pairs_go_by_their_pitch_circles():
    # Clock practice: pitch circles of a cycloidal pair touch; there is no shift.
    pair = wheel(8, form="cycloidal", shift="0.3"), wheel(60, form="cycloidal")
    assert wanted_distance(*pair) == pytest.approx(0.8 * 68 / 2)


@pytest.mark.parametrize(
    "pair",
    [
        (wheel(20), WORM),
        (wheel(20, BevelWheel), wheel(20, BevelWheel)),
        (wheel(20), wheel(20, ContrateWheel)),
        (PULLEY, PULLEY),
        (wheel(20, RingWheel), wheel(40, RingWheel)),
        (wheel(20), wheel(20, module="1")),
        (wheel(20), wheel(20, form="cycloidal")),
        (wheel(20), wheel(20, pressure_angle="14.5")),
        (wheel(60), wheel(60, RingWheel)),
        (wheel(12, shift="-3"), wheel(12)),
        (wheel(12, pressure_angle="90"), wheel(12, pressure_angle="90")),
    ],
)
def test_no_distance_where_the_facts_give_none(pair):
    assert wanted_distance(*pair) is None
    assert wanted_distance(*reversed(pair)) is None


shifts = st.integers(-60, 100).map(lambda hundredths: f"{hundredths / 100:.2f}")


@given(st.integers(6, 150), st.integers(6, 300), shifts, shifts, st.booleans())
def test_wanted_distance_is_the_same_either_way_round(z1, z2, x1, x2, internal):
    a = wheel(z1, shift=x1)
    b = wheel(z2, RingWheel if internal else Wheel, shift=x2)
    assert wanted_distance(a, b) == wanted_distance(b, a)


@given(st.integers(6, 150), st.integers(6, 300), shifts, shifts)
def test_wheels_at_their_wanted_distance_have_no_backlash(z1, z2, x1, x2):
    """On their working circles the two tooth thicknesses fill one pitch."""
    a, b = Gear(z1, 1, shift=float(x1)), Gear(z2, 1, shift=float(x2))
    distance = wanted_distance(wheel(z1, module=1, shift=x1), wheel(z2, module=1, shift=x2))
    if distance is None:
        return
    filled = 0.0
    for gear in (a, b):
        working = 2 * distance * gear.teeth / (a.teeth + b.teeth)
        angle = involute(20) - (tan_minus(gear, working))
        filled += working * (gear.tooth_thickness / gear.reference_diameter + angle)
    assert filled == pytest.approx(pi * 2 * distance / (a.teeth + b.teeth), rel=1e-6)


def tan_minus(gear: Gear, diameter: float) -> float:
    """inv of the pressure angle on a circle, from the base circle's definition."""
    cosine = min(1.0, gear.base_diameter / diameter)
    angle = pi / 2 - asin(cosine)
    return tan(angle) - angle
