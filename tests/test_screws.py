"""Fasteners against rows of their ISO standards, and fastenings against sums done by hand."""

from __future__ import annotations

from csv import DictReader

import pytest
from kits import good_kit

from kitdocs.kit.designation import parse_designation
from kitdocs.kit.limits import LIMITS
from kitdocs.mechanism.heights import heights
from kitdocs.mechanism.screws import ENGAGEMENT, fastenings, needed_engagement
from kitdocs.mechanism.standards import (
    clearance,
    head,
    is_set_screw,
    thread_pitch,
    washer_size,
)

# Rows of ISO 261/262 (pitch), tap makers' tables (tapping drill), ISO 273, 4762, 4026, 4029,
# 7045, 7046, 10642, 7089 and 4032, as suppliers print them; ISO 4762 dk is that of a knurled
# head, ISO 7046 M1.6 and the Phillips numbers partly from memory.
ROWS = """\
size,pitch,tap_drill,273_fine,273_medium,273_coarse,4762_dk,4762_k,4762_s,set_s,7045_dk,7045_k,7045_ph,7046_dk,7046_k,10642_dk,10642_k,10642_s,7089_d1,7089_d2,7089_h,7089_hmax,4032_s,4032_m
M1.6,0.35,1.25,1.7,1.8,2.0,3.14,1.6,1.5,0.7,3.2,1.3,PH0,3.0,0.96,,,,1.7,4.0,0.3,0.35,3.2,1.3
M2,0.40,1.60,2.2,2.4,2.6,3.98,2.0,1.5,0.9,4.0,1.6,PH0,3.8,1.2,,,,2.2,5.0,0.3,0.35,4.0,1.6
M2.5,0.45,2.05,2.7,2.9,3.1,4.68,2.5,2.0,1.3,5.0,2.1,PH1,4.7,1.5,,,,2.7,6.0,0.5,0.55,5.0,2.0
M3,0.50,2.50,3.2,3.4,3.6,5.68,3.0,2.5,1.5,5.6,2.4,PH1,5.5,1.65,6.72,1.86,2.0,3.2,7.0,0.5,0.55,5.5,2.4
M4,0.70,3.30,4.3,4.5,4.8,7.22,4.0,3.0,2.0,8.0,3.1,PH2,8.4,2.7,8.96,2.48,2.5,4.3,9.0,0.8,0.90,7.0,3.2
"""


def named(text: str):
    designation = parse_designation(text)
    assert designation is not None
    return designation


@pytest.mark.parametrize("row", list(DictReader(ROWS.splitlines())), ids=lambda row: row["size"])
def test_rows_of_the_product_standards(row):
    size = row["size"]
    number = {
        key: float(value) for key, value in row.items() if key[-2:] != "ph" and value[:1].isdigit()
    }

    def socket(standard: str) -> tuple[float | None, float | None, str]:
        found = head(named(f"{standard} {size} x 6"))
        assert found is not None
        return found.diameter, found.height, found.driver

    assert thread_pitch(size) == number["pitch"]
    # Tapping drill = d − P (common practice), so the printed drill tells of the pitch too.
    assert named(size).nominal - thread_pitch(size) == pytest.approx(number["tap_drill"])
    holes = clearance(size)
    wanted = [number[f"273_{series}"] for series in ("fine", "medium", "coarse")]
    assert [holes.fine, holes.medium, holes.coarse] == wanted

    key = f"{number['4762_s']:g} mm hex key"
    assert socket("ISO 4762") == (number["4762_dk"], number["4762_k"], key)
    recess = f"{row['7045_ph']} screwdriver"
    assert socket("ISO 7045") == (number["7045_dk"], number["7045_k"], recess)
    for standard in ("ISO 7046", "ISO 7046-1", "ISO 7046-2"):
        assert socket(standard) == (number["7046_dk"], number["7046_k"], recess)
    for standard in ("ISO 4026", "ISO 4027", "ISO 4029"):
        assert socket(standard) == (None, None, f"{number['set_s']:g} mm hex key")
        assert is_set_screw(named(f"{standard} {size} x 4"))
    if row["10642_dk"]:
        key = f"{number['10642_s']:g} mm hex key"
        assert socket("ISO 10642") == (number["10642_dk"], number["10642_k"], key)
    else:  # the standard begins at M3
        assert head(named(f"ISO 10642 {size} x 6")) is None

    washer = washer_size(named(f"ISO 7089 {size}"))
    assert (washer.bore, washer.outside) == (number["7089_d1"], number["7089_d2"])
    assert washer.thickness == number["7089_h"]
    nut = head(named(f"ISO 4032 {size}"))
    flats, thick = number["4032_s"], number["4032_m"]
    assert (nut.diameter, nut.height, nut.driver) == (flats, thick, f"{flats:g} mm spanner")


def test_what_no_table_holds_is_unknown():
    assert head(named("ISO 1207 M3 x 6")) is None
    assert head(named("M3 x 6")) is None
    assert head(named("ISO 7045 M36 x 6")) is None
    assert clearance("M36") is None
    assert thread_pitch("M36") is None
    assert washer_size(named("ISO 7090 M3")) is None


def test_a_fine_thread_has_its_own_pitch_and_the_holes_of_its_size():
    # ISO 261: M3 fine is 0.35. ISO 273 goes by diameter alone.
    assert thread_pitch("M3x0.35") == 0.35
    assert clearance("M3x0.35") == clearance("M3")


@pytest.mark.parametrize(
    ("material", "factor"),
    [  # common practice: 1 d in steel and brass, 1.5 d in aluminium, 2 d in plastics and wood
        ("brass", 1.0),
        ("Stainless steel", 1.0),
        ("zinc-plated steel", 1.0),
        ("aluminium", 1.5),
        ("aluminum 6061", 1.5),
        ("birch ply", 2.0),
        ("plywood", 2.0),
        ("oak wood", 2.0),
        ("acetal", 2.0),
        ("Nylon", 2.0),
        ("plastic", 2.0),
        ("plastic with brass inserts", 2.0),
        (None, 1.0),
        ("moon rock", 1.0),
    ],
)
def test_needed_engagement(material, factor):
    assert needed_engagement(2.5, material) == pytest.approx(2.5 * factor)
    assert max(LIMITS[name].least for name in ENGAGEMENT.values()) == 2.0


PARTS = """
parts:
  foot: {kind: foot, outside: 12, length: 20, material: brass,
         holes: [{count: 1, thread: M4, depth: 8}]}
  plate: {kind: plate, thickness: 6, width: 200, depth: 90, material: birch ply,
          holes: [{count: 4, size: 4.5}, {count: 2, thread: M3, circle: 30}]}
  post: {kind: post, diameter: 8, length: 100, material: steel,
         holes: [{count: 1, thread: M3, depth: 9}]}
  pipe: {kind: pipe, diameter: 10, bore: 8.05, length: 60, flat: true}
  wheel: {kind: wheel, teeth: 40, module: 0.8, face: 2, bore: 8, material: brass,
          holes: [{count: 6, circle: 24, size: 5}, {count: 3, circle: 16, size: 2.9}]}
  odd-wheel: {kind: wheel, teeth: 40, module: 0.8, face: 2,
              holes: [{count: 2, circle: 24, size: 6}, {count: 3, circle: 18, size: 2.7}]}
  hub: {kind: hub, outside: 22, bore: 10, length: 6.5, material: aluminium,
        set-screw: {thread: M3, count: 2}, holes: [{count: 6, circle: 16, thread: M2.5}]}
  spacer: {kind: spacer, outside: 14, bore: 10, length: 1.5}
  bush: {kind: bush, outside: 12, bore: 8, length: 6}
  ball: {kind: ball, diameter: 9, bore: 3.4}
  cover: {kind: plate, thickness: 3, outside: 30, holes: [{count: 2, circle: 30, size: 3.4}]}
  epoxy: {kind: adhesive, name: epoxy}
fasteners:
  - ISO 7045 M2.5 x 6
  - ISO 7045 M2.5 x 10
  - ISO 10642 M3 x 8
  - ISO 4762 M4 x 12
  - ISO 4762 M3 x 12
  - ISO 4026 M3 x 4
  - ISO 7089 M4
  - ISO 7089 M3
  - ISO 1207 M2.5 x 16
  - {designation: M2.5 x 5, driver: slotted screwdriver, head: 4.5, head-height: 1.6}
  - ISO 1207 M2.5 x 12
"""

MECHANISM = """
crank: earth
axes: {post: {at: [0, 0]}, level: {at: [0, -90], lies: level}}
arbors:
  frame: {fixed: true, stack: [{foot: foot}, {base: plate}, {cover: cover}]}
  post:
    axis: post
    part: post
    fixed: true
    stands-on: base
    stack: [{bush: bush}]
    end-stack: [{sun: ball}]
  earth:
    axis: post
    part: pipe
    stands-on: bush
    stack: [{low-wheel: odd-wheel}, {hub: hub}, {spacer: spacer}, {wheel: wheel}, {loose: wheel},
            {short: wheel}]
    end-stack: [{far: wheel}]
  drive: {axis: level, part: pipe, stack: [{drive-hub: hub}, {drive-wheel: wheel}]}
held:
  base: {to: foot, by: M4 x 12, holes: [1], washer: ISO 7089 M4}
  cover: {to: base, by: M3 x 8, holes: [5, 6]}
  hub: {to: earth, by: ISO 4026 M3 x 4}
  spacer: {to: earth, by: ISO 4026 M3 x 4}
  wheel: {to: hub, by: M2.5 x 10, holes: [1, 3, 5]}
  low-wheel: {to: hub, by: M2.5 x 6, holes: [2, 4, 9]}
  loose: {to: hub, by: ISO 1207 M2.5 x 16, holes: [2]}
  short: {to: hub, by: M2.5 x 5, holes: [2]}
  far: {to: hub, by: M2.5 x 6, holes: [6]}
  drive-wheel: {to: drive-hub, by: M2.5 x 6, holes: [1]}
  sun: {to: post, by: M3 x 12, holes: [1], washer: ISO 7089 M3}
  bush: {to: base, by: press}
  foot: {to: base, by: epoxy}
"""


@pytest.fixture
def found(tmp_path):
    kit = good_kit(tmp_path, parts=PARTS, mechanism=MECHANISM)
    return fastenings(kit, heights(kit))


@pytest.mark.parametrize(
    ("item", "grip", "engagement", "needed"),
    [  # worked by hand from the parts above
        # 6 mm plate and 0.8 mm washer (ISO 7089); 12 − 6.8 = 5.2 of 8 mm tapped; 1 d of M4
        ("base", 6.8, 5.2, 4.0),
        # countersunk: 8 mm over all, 3 mm cover, 5 mm into birch ply; 2 d of M3
        ("cover", 3.0, 5.0, 6.0),
        # 2 mm wheel and the 1.5 mm spacer under it; all 6.5 left in the 6.5 hub; 1.5 d of M2.5
        ("wheel", 3.5, 6.5, 3.75),
        ("low-wheel", 2.0, 4.0, 3.75),  # from below
        ("loose", 5.5, 6.5, 3.75),  # 16 − 5.5 = 10.5, but the hub is only 6.5 high
        ("short", 7.5, 0.0, 3.75),  # a 5 mm screw does not come through
        ("far", None, None, 3.75),  # neither next to the hub nor in one stack with it
        ("drive-wheel", 2.0, 4.0, 3.75),  # on a level arbor
        # into the end of the post, flush: the 0.5 mm washer alone; 9 mm tapped
        ("sun", 0.5, 9.0, 3.0),
    ],
)
def test_grip_and_engagement(found, item, grip, engagement, needed):
    fastening = found[item]
    assert fastening.kind == "screw"
    assert fastening.grip == (grip if grip is None else pytest.approx(grip))
    assert fastening.engagement == (engagement if engagement is None else pytest.approx(engagement))
    assert fastening.needed == pytest.approx(needed)


def test_screws_are_counted_by_their_holes_and_told_with_their_driver(found):
    wheel = found["wheel"]
    assert (wheel.count, wheel.holes, wheel.host.id) == (3, (1, 3, 5), "hub")
    assert [(part.id, count) for part, count in wheel.takes] == [("ISO 7045 M2.5 x 10", 3)]
    assert wheel.driver == "PH1 screwdriver"
    base = found["base"]
    assert [(part.id, count) for part, count in base.takes] == [
        ("ISO 4762 M4 x 12", 1),
        ("ISO 7089 M4", 1),
    ]
    assert base.driver == "3 mm hex key"


def test_holes_are_found_by_number_and_by_circle(found):
    assert found["wheel"].threads == ("M2.5", "M2.5", "M2.5")
    assert found["low-wheel"].threads == ("M2.5", "M2.5", None)  # the hub has no hole 9
    assert found["cover"].threads == ("M3", "M3")  # after four plain ones
    assert found["wheel"].passing_size == 2.9  # on the hub's circle
    assert found["low-wheel"].passing_size == 2.7  # on no circle of the hub's, but of a size
    assert found["base"].passing_size == 4.5
    assert found["sun"].passing_size == 3.4  # on the axis: through the bore


def test_set_screws_sit_in_the_held_items_own_cross_holes(found):
    hub = found["hub"]
    assert (hub.kind, hub.count, hub.threads) == ("set-screw", 2, ("M3",))
    assert hub.driver == "1.5 mm hex key"  # ISO 4026
    assert hub.holes == () and hub.grip is None and hub.needed is None
    spacer = found["spacer"]  # which has none
    assert (spacer.kind, spacer.count, spacer.threads) == ("set-screw", 0, (None,))


def test_press_and_adhesive(found):
    assert (found["bush"].kind, found["bush"].takes) == ("press", ())
    foot = found["foot"]
    assert (foot.kind, foot.count, foot.driver) == ("adhesive", 0, None)
    assert [(part.id, count) for part, count in foot.takes] == [("epoxy", 1)]


def test_a_head_that_no_table_knows_is_the_kits_to_tell(found):
    assert found["loose"].head is None and found["loose"].driver is None
    own = found["short"].head
    assert (own.diameter, own.height, own.driver) == (4.5, 1.6, "slotted screwdriver")
