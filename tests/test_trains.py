"""What bodies show, against published trains and the figures of the almanacs."""

from __future__ import annotations

from fractions import Fraction

import pytest
from machines import compound_train, machine

from kitdocs.mechanism.motion import solve
from kitdocs.mechanism.trains import links_to, trains, turns_per_year

F = Fraction


def _body(arbor: str, reference: object = "mars", **more) -> dict[str, object]:
    return {"name": "Body", "arbor": arbor, "reference": reference, "tolerance": "1 %", **more}


def _trains(kit):
    return trains(kit, solve(kit))


def _shown(tmp_path, product: str, reference: object, time: dict[str, object], **more):
    """The train of a body at the end of a product of pairs that begins at the crank."""
    arbors, meshes = compound_train(product)
    bodies = {"body": _body(list(arbors)[-1], reference, **more)}
    kit = machine(tmp_path, arbors, meshes, bodies=bodies, time={"arbor": "a0", **time})
    return _trains(kit)["body"]


def test_jupiter_of_the_edinburgh_encyclopaedia(tmp_path):
    """Article Planetary Machines: 14 into 166 from a year arbor of 365 d 5 h 48 min 48 s (that
    year from memory) gives 4330.72916 days."""
    train = _shown(tmp_path, "14/166", "jupiter", {"days": "365.242222222"})
    assert float(train.period_days) == pytest.approx(4330.72916, abs=1e-4)
    assert float(train.error) == pytest.approx(4330.72916 / 4332.589 - 1, abs=1e-6)


def test_huygens_saturn_is_the_best_fraction_of_its_size(tmp_path):
    """Huygens 1682: 77708431 to 2640858, of which 206 to 7 is a convergent; so its error is
    below that of 59 to 2, the convergent before it, and below 1 / 7 / 40 (the next has 40)."""
    days = f"{float(F(77708431, 2640858) * F('365.25')):.9f}"
    own = {"days": days, "source": "Huygens"}
    seven = _shown(tmp_path, "7/206", own, {"days": "365.25"})
    two = _shown(tmp_path, "2/59", own, {"days": "365.25"})
    assert seven.period_days == F(206, 7) * F("365.25")
    assert abs(seven.error) < abs(two.error)
    assert abs(seven.error * F(77708431, 2640858)) < F(1, 7 * 40)
    assert (seven.reference.kind, seven.reference.source) == ("given", "Huygens")


def test_venus_of_huygens_after_twenty_years(tmp_path):
    """52 into 32, three times and a half of a degree off in twenty years (a newspaper of the
    rebuilt machine says "about 3.5")."""
    train = _shown(tmp_path, "52/32", "venus", {"period": "year sidereal"})
    assert float(train.drift_deg_per_year) * 20 == pytest.approx(-3.5, abs=0.5)
    assert train.years_per_degree == -1 / train.drift_deg_per_year


def test_antikythera_moon_and_the_metonic_cycle(tmp_path):
    """254/19 months a year. 235 synodic months outlast 19 tropical years by 2 h 5 min (the
    textbook figure, from memory), so the machine's months are short by that."""
    arbors, meshes = compound_train("64/38*48/24*127/32")
    arbors["sun"] = {"sun-in": "wheel-64"}  # one turn a year, the way the Moon goes
    arbors["idler"] = {"idler-wheel": "wheel-64"}
    arbors["a0"]["out"] = "wheel-64"
    arbors["a0"]["out-moon"] = "wheel-32"
    bodies = {
        "moon": _body("a3", "moon tropical"),
        "month": _body("a3", "moon synodic", **{"seen-from": "sun"}),
    }
    # Three outside pairs turn the Moon against the year arbor, and so does one pair the Sun.
    kit = machine(
        tmp_path, arbors, [*meshes, ["out", "sun-in"]], bodies=bodies,
        time={"arbor": "sun", "period": "year tropical"},
    )  # fmt: skip
    found = _trains(kit)
    assert found["moon"].ratio == F(254, 19)
    assert found["month"].ratio == F(235, 19)
    short = 235 * (found["month"].reference.days - found["month"].period_days)
    assert float(short) * 24 * 60 == pytest.approx(125, abs=1)
    assert [link.driver.id for link in found["moon"].chain] == [
        "sun-in", "driver-0", "driver-1", "driver-2",
    ]  # fmt: skip


def test_julian_year_drifts_a_day_in_128_years(tmp_path):
    """The reason for the reform of the calendar (common knowledge)."""
    train = _shown(tmp_path, "40/40", "year tropical", {"days": "365.25"})
    days_a_degree = F("365.2421896") / 360
    assert float(train.years_per_degree) == pytest.approx(128 * float(days_a_degree), rel=0.01)
    assert train.drift_deg_per_year < 0  # it takes longer than the reference, so it falls behind


def test_sense_follows_the_time_arbor(tmp_path):
    assert _shown(tmp_path, "20/40", "mars", {"days": "365.25"}).sense == "retrograde"
    train = _shown(tmp_path, "20/40*30/30", "mars", {"days": "365.25"})
    assert (train.sense, train.ratio, train.turns_per_year) == ("prograde", F(1, 2), F(1, 2))


def test_time_base_need_not_be_the_crank(tmp_path):
    """The crank goes the other way and faster than the year arbor: nothing changes."""
    arbors = {
        "crank": {"c": "wheel-12"},
        "year": {"y": "wheel-60", "d": "wheel-84"},
        "mars": {"m": "wheel-158"},
    }
    kit = machine(
        tmp_path, arbors, [["c", "y"], ["m", "d"]], bodies={"mars": _body("mars")},
        time={"arbor": "year", "period": "earth sidereal"},
    )  # fmt: skip
    motion = solve(kit)
    train = trains(kit, motion)["mars"]
    assert train.ratio == -F(42, 79)  # Huygens 1682, by one outside pair
    assert [(link.driver.id, link.driven.id) for link in train.chain] == [("d", "m")]
    assert [link.driven.id for link in links_to(kit, motion, "mars")] == ["y", "m"]
    assert links_to(kit, motion, "crank") == ()
    assert turns_per_year(kit, motion, "crank") == -5 * F("365.25") / F("365.256363004")


def test_chain_goes_back_from_the_time_arbor_and_out_to_the_body(tmp_path):
    """A lay arbor drives both; the ratios of the chain multiply up to the ratio of the body."""
    arbors = {
        "crank": {"c": "wheel-12"},
        "lay": {"l0": "wheel-60", "l1": "wheel-33", "l2": "wheel-25"},
        "earth": {"e": "wheel-61"},
        "mars": {"m": "wheel-87"},
    }
    kit = machine(
        tmp_path, arbors, [["c", "l0"], ["l1", "e"], ["l2", "m"]],
        bodies={"mars": _body("mars"), "earth": _body("earth", "earth")},
        time={"arbor": "earth", "period": "earth sidereal"},
    )  # fmt: skip
    found = _trains(kit)
    steps = [(link.driver.id, link.driven.id, link.ratio) for link in found["mars"].chain]
    assert steps == [("e", "l1", -F(61, 33)), ("l2", "m", -F(25, 87))]
    assert found["mars"].ratio == F(61, 33) * F(25, 87)
    assert found["earth"].chain == ()
    assert found["earth"].drift_deg_per_year == 0
    assert found["earth"].years_per_degree is None


def test_moon_on_an_arm_over_a_fixed_wheel(tmp_path):
    """The tellurion's way: the arm goes round a fixed wheel of 62, an idler, and a pinion of 5
    on the arm. Rolling: the pinion turns 62/5 round on the arm the other way about, and by way
    of the idler with it: seen from the arm, -62/5 times -1 (Willis, by hand)."""
    arbors = {
        "earth@post": {"ew": "wheel-60"},
        "post@post": {"sun": "wheel-62"},
        "idler": {"i": "wheel-20"},
        "moon": {"mw": "wheel-5"},
        "crank": {"c": "wheel-12"},
    }
    kit = machine(
        tmp_path, arbors, [["c", "ew"], ["sun", "i"], ["i", "mw"]], crank="crank",
        carried={"idler": "earth", "moon": "earth"}, fixed=["post"],
        bodies={"moon": _body("moon", "moon synodic", **{"seen-from": "earth"})},
        time={"arbor": "earth", "period": "earth sidereal"},
    )  # fmt: skip
    motion = solve(kit)
    train = trains(kit, motion)["moon"]
    assert train.ratio == -F(62, 5)
    steps = [(x.driver.id, x.driven.id, x.carrier) for x in train.chain]
    assert steps == [("sun", "i", "earth"), ("i", "mw", "earth")]
    assert [x.driven.id for x in links_to(kit, motion, "moon")] == ["ew", "i", "mw"]


def test_what_several_meshes_decide_has_no_chain(tmp_path):
    """SDP/SI T-115: sun 16, ring 48 fixed: a quarter."""
    arbors = {
        "sun@post": {"s": "wheel-16"},
        "arm@post": {},
        "p": {"pw": "wheel-16"},
        "ring@post": {"r": "ring-48"},
    }
    kit = machine(
        tmp_path, arbors, [["s", "pw"], ["pw", "r"]], carried={"p": "arm"}, fixed=["ring"],
        bodies={"mars": _body("arm")},
    )  # fmt: skip
    train = _trains(kit)["mars"]
    assert (train.ratio, train.chain) == (F(1, 4), ())


def test_bodies_that_show_nothing_have_no_train(tmp_path):
    arbors = {"crank": {"c": "wheel-20"}, "a": {"x": "wheel-40"}, "post": {}, "loose": {}}
    bodies = {
        "still": _body("post"),
        "loose": _body("loose"),
        "with-it": _body("a", **{"seen-from": "a"}),
        "good": _body("a"),
    }
    kit = machine(tmp_path, arbors, [["c", "x"]], bodies=bodies, fixed=["post"])
    assert set(_trains(kit)) == {"good"}


@pytest.mark.parametrize("arbor", ["post", "loose"])
def test_without_a_moving_time_base_there_are_no_trains(tmp_path, arbor):
    arbors = {"crank": {"c": "wheel-20"}, "a": {"x": "wheel-40"}, "post": {}, "loose": {}}
    kit = machine(
        tmp_path, arbors, [["c", "x"]], bodies={"mars": _body("a")}, fixed=["post"],
        time={"arbor": arbor, "days": "1"},
    )  # fmt: skip
    assert _trains(kit) == {}
    assert turns_per_year(kit, solve(kit), "a") is None
