"""Speeds against published trains, textbook epicyclics, and rolling circles."""

from __future__ import annotations

from fractions import Fraction
from math import cos, sin, tau

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from machines import compound_train, machine

from kitdocs.mechanism.motion import solve

F = Fraction


def _speeds(tmp_path, *args, **kwargs):
    motion = solve(machine(tmp_path, *args, **kwargs))
    assert not motion.locks
    assert not motion.uncoupled
    return motion.speeds


# Antikythera mechanism after Freeth et al., Nature 2006 (Saros and Metonic tooth counts from
# memory); Huygens' planetarium of 1682 after Dietzschold 1894.
@pytest.mark.parametrize(
    ("train", "ratio"),
    [
        ("64/38*48/24*127/32", "254/19"),  # sidereal months a year
        ("64/38*53/96*15/53", "5/19"),  # Metonic spiral
        ("64/38*53/96*27/223*188/53*30/54", "940/4237"),  # Saros spiral
        ("64/38*53/96*27/223", "477/4237"),
        ("121/17*7/12", "847/204"),  # Mercury
        ("52/32", "13/8"),  # Venus
        ("60/60", "1"),
        ("84/158", "42/79"),  # Mars
        ("14/166", "7/83"),  # Jupiter
        ("7/206", "7/206"),  # Saturn
    ],
)
def test_published_compound_trains(tmp_path, train, ratio):
    arbors, meshes = compound_train(train)
    last = list(_speeds(tmp_path, arbors, meshes).values())[-1]
    assert last == F(ratio) * (-1) ** len(meshes)  # each external mesh turns the sense about


def _epicyclic(tmp_path, sun: int, planet: int, ring: int, *, crank: str, fixed: str):
    """Speeds of an epicyclic set by member for one turn of the crank."""
    arbors = {
        "sun@post": {"s": f"wheel-{sun}"},
        "arm@post": {},
        "planet": {"p": f"wheel-{planet}"},
        "ring@post": {"r": f"ring-{ring}"},
    }
    return _speeds(
        tmp_path, arbors, [["s", "p"], ["p", "r"]], carried={"planet": "arm"}, crank=crank,
        fixed=[fixed],
    )  # fmt: skip


@pytest.mark.parametrize(
    ("teeth", "crank", "fixed", "member", "turns"),
    [
        # studylib, solved problem 1: annulus 72 fixed, arm 18 rpm: sun 58.5, planet -46.8
        ((32, 20, 72), "arm", "ring", "sun", F("58.5") / 18),
        ((32, 20, 72), "arm", "ring", "planet", F("-46.8") / 18),
        # SDP/SI T-115, section 13.3
        ((16, 16, 48), "sun", "ring", "arm", F(1, 4)),
        ((16, 16, 48), "ring", "sun", "arm", F(3, 4)),
        ((16, 16, 48), "sun", "arm", "ring", F(-1, 3)),
        # Mott, Machine Elements: sun 33, planet 21, so ring 75
        ((33, 21, 75), "arm", "ring", "sun", F(36, 11)),
        # Shigley, example 13-5 (from memory): sun at -100 rpm gives the arm -20
        ((20, 30, 80), "sun", "ring", "arm", F(-20, -100)),
        # The classic slip of sign would give the ring 2/3
        ((30, 30, 90), "arm", "sun", "ring", F(4, 3)),
    ],
)
def test_textbook_epicyclics(tmp_path, teeth, crank, fixed, member, turns):
    assert _epicyclic(tmp_path, *teeth, crank=crank, fixed=fixed)[member] == turns


def test_fergusons_paradox(tmp_path):
    """Norton, Design of Machinery, fig. 9-38: one planet of 20 on suns of 100, 99 and 101."""
    arbors = {
        "arm@post": {},
        "s100@post": {"a": "wheel-100"},
        "s99@post": {"b": "wheel-99"},
        "s101@post": {"c": "wheel-101"},
        "planet": {"p": "wheel-20"},
    }
    meshes = [["a", "p"], ["p", "b"], ["p", "c"]]
    speeds = _speeds(tmp_path, arbors, meshes, carried={"planet": "arm"}, fixed=["s100"])
    assert speeds["s99"] == F(-1, 99)
    assert speeds["s101"] == F(1, 101)
    assert speeds["planet"] == 6  # rolls 100/20 = 5 times round, and once with the arm


def test_equal_wheel_over_an_idler_keeps_its_heading(tmp_path):
    """How an orrery holds the Earth's axis in one direction (common practice)."""
    arbors = {
        "arm@post": {},
        "post": {"s": "wheel-40"},
        "idler": {"i": "wheel-17"},
        "earth": {"e": "wheel-40"},
    }
    carried = {"idler": "arm", "earth": "arm"}
    meshes = [["s", "i"], ["i", "e"]]
    assert _speeds(tmp_path, arbors, meshes, carried=carried, fixed=["post"])["earth"] == 0


def test_axes_carried_by_something_fixed_stand_in_the_frame(tmp_path):
    arbors = {"a": {"x": "wheel-20"}, "b@q": {"y": "wheel-40"}, "cock@post": {}}
    speeds = _speeds(tmp_path, arbors, [["x", "y"]], carried={"q": "cock"}, fixed=["cock"])
    assert speeds["b"] == F(-1, 2)


def test_wheel_on_an_axis_that_hangs_from_an_arm(tmp_path):
    """A gondola: its axis goes round with the arm, itself it never turns. Rolling by hand: k
    rolls once round an equal fixed wheel and turns twice; y, on the gondola, turns with half of
    that the other way."""
    arbors = {
        "arm@post": {},
        "post@post": {"s": "wheel-20"},
        "gondola@q": {},
        "k@q": {"kw": "wheel-20"},
        "y": {"yw": "wheel-40"},
    }
    speeds = _speeds(
        tmp_path, arbors, [["s", "kw"], ["kw", "yw"]], carried={"q": "arm", "y": "gondola"},
        fixed=["post", "gondola"],
    )  # fmt: skip
    assert (speeds["k"], speeds["y"]) == (2, -1)


def test_wheels_geared_to_their_own_arm_stand_still_on_it(tmp_path):
    arbors = {
        "crank": {"c": "wheel-30"},
        "arm@post": {"w": "wheel-30"},
        "p": {"pw": "wheel-20"},
        "q": {"qw": "wheel-17"},
    }
    meshes = [["w", "pw"], ["w", "qw"], ["pw", "qw"]]
    carried = {"p": "arm", "q": "arm"}
    assert _speeds(tmp_path, arbors, meshes, carried=carried) == {"crank": 1}
    speeds = _speeds(tmp_path, arbors, [*meshes, ["c", "w"]], carried=carried)
    assert speeds == {"crank": 1, "arm": -1, "p": -1, "q": -1}


# Sense and ratio of pairs that are not plain (common practice).
@pytest.mark.parametrize(
    ("driver", "driven", "turns", "speed"),
    [
        ("wheel-20", "ring-60", None, F(1, 3)),
        ("ring-60", "wheel-20", None, F(3)),
        ("wheel-20", "wheel-60", "same", F(-1, 3)),  # parallel axes: `turns` has no say
        ("worm-1", "wheel-40", "opposite", F(-1, 40)),
        ("worm-2", "wheel-40", "same", F(1, 20)),
        ("bevel-20", "bevel-30", "same", F(2, 3)),
        ("bevel-20", "bevel-30", "opposite", F(-2, 3)),
        ("wheel-12", "contrate-48", "same", F(1, 4)),
        ("pulley-20", "pulley-50", None, F(2, 5)),
        ("pulley-20", "pulley-50", "opposite", F(-2, 5)),
        ("sprocket-11", "sprocket-22", None, F(1, 2)),
    ],
)
def test_kinds_of_pair(tmp_path, driver, driven, turns, speed):
    mesh = {"pair": ["x", "y"], "turns": turns} if turns else ["x", "y"]
    assert _speeds(tmp_path, {"a": {"x": driver}, "b": {"y": driven}}, [mesh])["b"] == speed


def _bevel_differential(left_train: int, right_train: int):
    """Crank to both side wheels; one side by way of an idler, so they can go opposite ways."""
    arbors = {
        "crank": {"c": "wheel-20"},
        "left@post": {"l": f"wheel-{left_train}", "lb": "bevel-24"},
        "idler": {"i": "wheel-15"},
        "right@post": {"r": f"wheel-{right_train}", "rb": "bevel-24"},
        "cage@post": {},
        "spider": {"sb": "bevel-16"},
    }
    meshes = [
        ["c", "l"], ["c", "i"], ["i", "r"],
        {"pair": ["lb", "sb"], "turns": "same"},
        {"pair": ["sb", "rb"], "turns": "opposite"},
    ]  # fmt: skip
    return arbors, meshes


def test_differential_takes_the_mean_of_two_inputs(tmp_path):
    """As in the back axle of a car (common knowledge)."""
    arbors, meshes = _bevel_differential(40, 50)
    speeds = _speeds(tmp_path, arbors, meshes, carried={"spider": "cage"}, level=["spider"])
    assert (speeds["left"], speeds["right"]) == (F(-1, 2), F(2, 5))
    assert speeds["cage"] == (F(-1, 2) + F(2, 5)) / 2


def test_spider_of_a_differential_stands_when_both_sides_go_alike(tmp_path):
    """A car on a straight road: the cage turns, the spider wheels do not turn on their pins."""
    arbors, meshes = _bevel_differential(40, 40)
    meshes[1:3] = [["c", "r"]]
    del arbors["idler"]
    speeds = _speeds(tmp_path, arbors, meshes, carried={"spider": "cage"}, level=["spider"])
    assert speeds["cage"] == speeds["left"] == F(-1, 2)
    assert speeds["spider"] == 0


def test_differential_with_one_input_is_undetermined(tmp_path):
    arbors, meshes = _bevel_differential(40, 50)
    del meshes[2]
    kit = machine(tmp_path, arbors, meshes, carried={"spider": "cage"}, level=["spider"])
    motion = solve(kit)
    assert motion.undetermined == ("right", "cage", "spider")
    assert set(motion.speeds) == {"crank", "left", "idler"}
    assert not motion.locks


def test_differential_whose_outputs_are_geared_together(tmp_path):
    """Sun driven, ring and arm geared together by a lay arbor: no mesh finds a speed alone.

    By hand (Willis): 30 (sun - arm) = -90 (ring - arm). The lay arbor goes against the arm at
    its speed, the ring goes with the lay arbor at half of that: ring = -arm / 2.
    So 30 = 120 arm + 45 arm.
    """
    arbors = {
        "sun@post": {"s": "wheel-30"},
        "arm@post": {"aw": "wheel-50"},
        "planet": {"p": "wheel-30"},
        "ring@post": {"r": "ring-90", "rw": "wheel-50"},
        "lay": {"la": "wheel-50", "lr": "wheel-25"},
        "idler": {"i": "wheel-25"},
    }
    meshes = [["s", "p"], ["p", "r"], ["aw", "la"], ["lr", "i"], ["i", "rw"]]
    speeds = _speeds(tmp_path, arbors, meshes, carried={"planet": "arm"})
    assert speeds["arm"] == F(30, 165)
    assert speeds["ring"] == F(-15, 165)


def test_loop_of_three_wheels_is_locked(tmp_path):
    """An odd ring of outside wheels cannot turn (common knowledge)."""
    arbors = {
        "a": {"x": "wheel-20"},
        "b": {"y": "wheel-30"},
        "c": {"z": "wheel-40", "out": "wheel-10"},
        "d": {"in": "wheel-20"},
        "e": {"in-e": "wheel-40"},
    }
    meshes = [["x", "y"], ["x", "z"], ["y", "z"], ["out", "in"], ["in", "in-e"]]
    motion = solve(machine(tmp_path, arbors, meshes))
    [lock] = motion.locks
    assert {lock.mesh.a.id, lock.mesh.b.id} == {"y", "z"}
    assert {frozenset((m.a.id, m.b.id)) for m in lock.loop} == {
        frozenset("xy"), frozenset("xz"), frozenset("yz")
    }  # fmt: skip
    assert lock.arbor == "c"
    assert lock.speeds == (F(-1, 2), F(1, 2))
    assert motion.speeds["d"] == F(1, 4)  # the first speeds stand


def test_loop_of_four_wheels_turns(tmp_path):
    teeth = {"a": 9, "b": 20, "c": 31, "d": 13}
    arbors = {name: {f"w{name}": f"wheel-{count}"} for name, count in teeth.items()}
    meshes = [["wa", "wb"], ["wb", "wc"], ["wc", "wd"], ["wd", "wa"]]
    assert _speeds(tmp_path, arbors, meshes)["c"] == F(9, 31)


def test_lock_names_only_the_loop_and_not_the_way_to_it(tmp_path):
    arbors = {
        "crank": {"c": "wheel-20"},
        "a": {"a1": "wheel-30", "a2": "wheel-20", "a3": "wheel-25"},
        "b": {"b1": "wheel-40", "b2": "wheel-35"},
    }
    motion = solve(machine(tmp_path, arbors, [["c", "a1"], ["a2", "b1"], ["a3", "b2"]]))
    [lock] = motion.locks
    assert {(m.a.id, m.b.id) for m in lock.loop} == {("a2", "b1"), ("a3", "b2")}
    # By the first pair -2/3 x -1/2, by the second -2/3 x -5/7.
    assert set(lock.speeds) == {F(1, 3), F(10, 21)}


def test_train_that_runs_into_a_fixed_wheel(tmp_path):
    arbors = {"crank": {"c": "wheel-20"}, "a": {"x": "wheel-40"}, "post": {"p": "wheel-20"}}
    motion = solve(machine(tmp_path, arbors, [["p", "x"], ["c", "x"]], fixed=["post"]))
    [lock] = motion.locks
    assert (lock.arbor, lock.speeds) == ("post", (0, 1))
    assert {m.a.id for m in lock.loop} == {"c", "p"}
    assert motion.speeds == {"crank": 1, "a": F(-1, 2), "post": 0}


def test_crank_that_is_fixed(tmp_path):
    arbors = {"crank": {"c": "wheel-20"}, "a": {"x": "wheel-40"}}
    [lock] = solve(machine(tmp_path, arbors, [["c", "x"]], fixed=["crank"])).locks
    assert (lock.mesh, lock.arbor, lock.speeds) == (None, "crank", (1, 0))


def test_each_bad_mesh_is_told_once(tmp_path):
    """Two bad pairs between the same two arbors, and a sound one after them."""
    arbors = {
        "a": {"a1": "wheel-20", "a2": "wheel-25", "a3": "wheel-30"},
        "b": {"b1": "wheel-40", "b2": "wheel-35", "b3": "wheel-30", "b4": "wheel-8"},
        "c": {"c1": "wheel-16"},
    }
    meshes = [["a1", "b1"], ["a2", "b2"], ["a3", "b3"], ["b4", "c1"]]
    motion = solve(machine(tmp_path, arbors, meshes))
    assert [lock.mesh.a.id for lock in motion.locks] == ["a2", "a3"]
    assert motion.speeds["c"] == F(1, 4)


@pytest.mark.parametrize(
    ("carrier", "undetermined"),
    [("crank", ("a", "b", "c", "other")), ("other", ("a", "b", "c", "other"))],
)
def test_locked_loop_on_a_carrier(tmp_path, carrier, undetermined):
    """The arm may go round; the three wheels on it cannot turn on it."""
    arbors = {
        "crank@post": {},
        "a": {"x": "wheel-20"},
        "b": {"y": "wheel-30"},
        "c": {"z": "wheel-40"},
        "other": {},
    }
    meshes = [["x", "y"], ["x", "z"], ["y", "z"]]
    kit = machine(tmp_path, arbors, meshes, carried=dict.fromkeys("abc", carrier))
    motion = solve(kit)
    [lock] = motion.locks
    assert len(lock.loop) == 3
    assert set(lock.speeds) == {F(-1, 2), F(1, 2)}  # for one turn of a on its arm
    assert motion.undetermined == undetermined


def test_planet_that_does_not_fit_its_ring_and_sun(tmp_path):
    """One of two compound planets has a wrong tooth count; nothing else holds the ring."""
    arbors = {
        "sun@post": {"s": "wheel-30"},
        "ring@post": {"r": "ring-90"},
        "arm@post": {},
        "p": {"p1": "wheel-30"},
        "q": {"q1": "wheel-30", "q2": "wheel-29"},
    }
    meshes = [["s", "p1"], ["p1", "r"], ["s", "q1"], ["q2", "r"]]
    motion = solve(machine(tmp_path, arbors, meshes, carried={"p": "arm", "q": "arm"}))
    [lock] = motion.locks
    assert len(lock.loop) == 4
    assert motion.undetermined == ("ring", "arm", "p", "q")


def test_undriven_arbors_are_named(tmp_path):
    arbors = {"crank": {"c": "wheel-20"}, "a": {"x": "wheel-40"}, "b": {"y": "wheel-30"}, "z": {}}
    motion = solve(machine(tmp_path, arbors, [["x", "y"]]))
    assert motion.undetermined == ("a", "b", "z")
    assert motion.speeds == {"crank": 1}


def test_meshes_on_axes_that_part_are_uncoupled(tmp_path):
    arbors = {
        "one@post": {},
        "two@post": {},
        "p": {"x": "wheel-20"},
        "q": {"y": "wheel-20"},
        "r": {"z": "wheel-20"},
    }
    motion = solve(
        machine(tmp_path, arbors, [["x", "y"], ["y", "z"]], carried={"p": "one", "q": "two"})
    )
    assert [(m.a.id, m.b.id) for m in motion.uncoupled] == [("x", "y"), ("y", "z")]
    assert motion.undetermined == ("two", "p", "q", "r")


def test_links_are_a_tree_from_the_crank(tmp_path):
    arbors, meshes = compound_train("64/38*48/24*127/32")
    meshes[1].reverse()  # the order in the file says nothing of which drives
    motion = solve(machine(tmp_path, arbors, meshes))
    link = motion.links["a2"]
    assert (link.driver.id, link.driven.id, link.ratio, link.carrier) == (
        "driver-1", "driven-1", F(-2), None,
    )  # fmt: skip
    assert "a0" not in motion.links


def test_links_after_elimination(tmp_path):
    """Sun drives, ring fixed: the planet hangs on the sun, the arm on nothing alone."""
    arbors = {
        "sun@post": {"s": "wheel-16"},
        "arm@post": {"aw": "wheel-20"},
        "planet": {"p": "wheel-16"},
        "ring@post": {"r": "ring-48"},
        "out": {"o": "wheel-40"},
    }
    kit = machine(
        tmp_path, arbors, [["s", "p"], ["p", "r"], ["aw", "o"]], carried={"planet": "arm"},
        fixed=["ring"],
    )  # fmt: skip
    motion = solve(kit)
    assert motion.speeds["out"] == F(-1, 8)
    assert motion.links["planet"].driver.id == "s"
    assert motion.links["planet"].carrier == "arm"
    assert motion.links["out"].driver.id == "aw"
    assert "arm" not in motion.links


def test_a_very_large_machine_is_solved(tmp_path):
    """A tree of ten thousand arbors, a hundred deep, half of it not joined to the crank.

    Anything that grew with the square of its size would take minutes here.
    """
    arbors = {f"a{n}": {f"x{n}": f"wheel-{17 + n % 40}"} for n in range(10_000)}
    meshes = [[f"x{n - 100}", f"x{n}"] for n in range(100, 10_000)]
    meshes += [[f"x{n}", f"x{n + 1}"] for n in range(50)]
    kit = machine(tmp_path, arbors, meshes)
    motion = solve(kit)
    assert len(motion.undetermined) == 4900
    assert not motion.locks


TEETH = st.integers(8, 90)
SLOW = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@st.composite
def _trees(draw):
    """Each further wheel's parent, kind of mesh and the two tooth counts."""
    return [
        (draw(st.integers(0, n)), draw(st.sampled_from(["out", "into", "round"])), draw(TEETH),
         draw(TEETH))
        for n in range(draw(st.integers(1, 9)))
    ]  # fmt: skip


@SLOW
@given(tree=_trees())
def test_a_random_tree_turns_as_rolling_circles_do(tmp_path, tree):
    """The crank goes round in small steps; at each mesh the circles roll off equal arcs."""
    arbors: dict[str, dict[str, str]] = {"a0": {}}
    meshes = []
    for n, (parent, kind, z, y) in enumerate(tree, start=1):
        arbors[f"a{parent}"][f"d{n}"] = f"{'ring' if kind == 'round' else 'wheel'}-{z}"
        arbors[f"a{n}"] = {f"w{n}": f"{'ring' if kind == 'into' else 'wheel'}-{y}"}
        meshes.append([f"d{n}", f"w{n}"] if n % 2 else [f"w{n}", f"d{n}"])
    speeds = _speeds(tmp_path, arbors, meshes)

    steps = 200
    angles = [0.0] * (len(tree) + 1)
    for _ in range(steps):
        moved = [tau / steps] + [0.0] * len(tree)
        for n, (parent, kind, z, y) in enumerate(tree, start=1):
            arc = moved[parent] * z / 2  # pitch radius at module 1
            # Outside each other, the arc that runs off one way runs on the other way.
            moved[n] = (-arc if kind == "out" else arc) / (y / 2)
        angles = [a + m for a, m in zip(angles, moved, strict=True)]
    for n, angle in enumerate(angles):
        assert float(speeds[f"a{n}"]) == pytest.approx(angle / tau, rel=1e-9)


@st.composite
def _epicyclics(draw):
    """Arbors on three nested levels of axes, meshes between any that keep their distance."""
    axes = ["post"]
    carried: dict[str, str] = {}
    on: list[str] = ["post"]  # axis of each arbor
    for _ in range(draw(st.integers(2, 7))):
        if draw(st.booleans()):
            on.append(draw(st.sampled_from(axes)))
        else:
            axis = f"q{len(axes)}"
            carrier = draw(st.integers(0, len(on)))
            if carrier < len(on):
                carried[axis] = f"a{carrier}"
            axes.append(axis)
            on.append(axis)
    fixed = [n for n in range(1, len(on)) if draw(st.integers(0, 4)) == 0]
    meshes = []
    for a in range(len(on)):
        for b in range(a):
            at_a, at_b = carried.get(on[a]), carried.get(on[b])
            keeps = at_a == at_b or (at_a and on[int(at_a[1:])] == on[b])
            keeps = keeps or (at_b and on[int(at_b[1:])] == on[a])
            if on[a] != on[b] and keeps and draw(st.integers(0, 2)):
                inside = draw(st.booleans())
                z, y = draw(TEETH), draw(TEETH)
                meshes.append((a, b, z, y, inside and z != y))
    return on, carried, fixed, meshes


def _rolling(on, carried, fixed, meshes, skip):
    """One row a mesh: the two circles do not slip at the point where they touch.

    Velocities of the points of rigid bodies in the plane, for one unit of each arbor's speed;
    neither tooth ratios nor carriers' relative speeds come into it.
    """
    where, moves = {}, {}

    def place(axis):  # position, and velocity of the axis per unit of each arbor's speed
        if axis not in where:
            n = 0 if axis == "post" else int(axis[1:])  # no two axes in one place
            offset = (1 + 0.37 * n) * np.array([cos(2.1 * n), sin(2.1 * n)])
            centre, velocity = np.zeros(2), np.zeros((2, len(on)))
            if axis in carried:
                arm = int(carried[axis][1:])
                centre, velocity = place(on[arm])
                velocity = velocity.copy()
                velocity[:, arm] += (-offset[1], offset[0])
            where[axis], moves[axis] = centre + offset, velocity
        return where[axis], moves[axis]

    rows = []
    for number, (a, b, z, y, inside) in enumerate(meshes):
        if number in skip:
            continue
        (at_a, move_a), (at_b, move_b) = place(on[a]), place(on[b])
        between = at_b - at_a
        point = at_a + between * (z / (z - y) if inside else z / (z + y))
        slip = move_a - move_b
        slip[:, a] += (-(point - at_a)[1], (point - at_a)[0])
        slip[:, b] -= (-(point - at_b)[1], (point - at_b)[0])
        along = np.array([-between[1], between[0]])
        rows.append(along @ slip / np.abs(along @ slip).max())
    for arbor in fixed:
        rows.append(np.eye(len(on))[arbor])
    rows.append(np.eye(len(on))[0])
    return np.array(rows)


@SLOW
@given(case=_epicyclics())
def test_a_random_epicyclic_turns_as_rolling_circles_do(tmp_path, case):
    on, carried, fixed, meshes = case
    arbors: dict[str, dict[str, str]] = {f"a{n}@{axis}": {} for n, axis in enumerate(on)}
    keys = list(arbors)
    pairs = []
    for n, (a, b, z, y, inside) in enumerate(meshes):
        # The larger of an inside pair is the ring.
        arbors[keys[a]][f"x{n}"] = f"{'ring' if inside and z > y else 'wheel'}-{z}"
        arbors[keys[b]][f"y{n}"] = f"{'ring' if inside and y > z else 'wheel'}-{y}"
        pairs.append([f"x{n}", f"y{n}"])
    motion = solve(
        machine(tmp_path, arbors, pairs, carried=carried, fixed=[f"a{n}" for n in fixed])
    )
    assert not motion.uncoupled
    bad = {int(lock.mesh.a.id[1:]) for lock in motion.locks}
    rows = _rolling(*case, skip=bad)
    right = np.zeros(len(rows))
    right[-1] = 1
    solution = np.linalg.lstsq(rows, right, rcond=None)[0]
    assert rows @ solution == pytest.approx(right, abs=1e-7)
    _, sizes, free = np.linalg.svd(rows)
    free = free[int((sizes > 1e-9).sum()) :]
    for n, speed in enumerate(solution):
        if f"a{n}" in motion.speeds:
            assert float(motion.speeds[f"a{n}"]) == pytest.approx(speed, rel=1e-6, abs=1e-7)
            assert np.abs(free[:, n]).max(initial=0) < 1e-6
        else:
            assert np.abs(free[:, n]).max(initial=0) > 1e-9
    for lock in motion.locks:
        number = int(lock.mesh.a.id[1:])
        [row] = _rolling(*case, skip=set(range(len(meshes))) - {number})[:1]
        if all(f"a{n}" in motion.speeds for n in np.flatnonzero(np.abs(row) > 1e-9)):
            assert abs(row @ solution) > 1e-9
