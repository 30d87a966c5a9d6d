"""The search for teeth against a published problem, and against trying everything."""

from __future__ import annotations

import csv
import io
import re
from fractions import Fraction
from itertools import product
from math import prod
from pathlib import Path
from types import SimpleNamespace

import pytest
from changed_kit import copy_base
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from machines import compound_train, machine

from kitdocs.cli import main
from kitdocs.commands.teeth import _Bar
from kitdocs.mechanism.motion import solve
from kitdocs.mechanism.tooth_choice.better import better_choices
from kitdocs.mechanism.tooth_choice.problem import (
    NoSearch,
    ToothProblem,
    exact,
    share,
    sums_at,
    sums_of,
)
from kitdocs.mechanism.tooth_choice.search import search
from kitdocs.mechanism.tooth_choice.target import stock, target
from kitdocs.mechanism.trains import trains

F = Fraction

# Gear-train problem of E. Sandgren, Nonlinear integer and discrete programming in mechanical
# design optimization, 1990 (from memory): 1/6.931 with four wheels of 12 to 60 teeth, the
# squared difference to be least. The best, 16 × 19 / 43 × 49 at 2.7009e-12, is in the
# literature; the ranks after it come from an exhaustive numpy search made apart from this code.
_LIST = Path(__file__).parent / "data" / "four_wheels.csv"
FOUR_WHEELS = list(csv.DictReader(_LIST.read_text("utf-8").splitlines()))
SIXTY = ToothProblem(1 / F("6.931"), low=12, high=60)


def _wheels(pairs):
    """Drivers and driven of a train, each sorted: what counts where pairing is free."""
    drivers, driven = zip(*pairs, strict=True)
    return tuple(sorted(drivers)), tuple(sorted(driven))


def test_the_four_wheel_problem_in_order_with_every_factoring():
    found = search(SIXTY, len(FOUR_WHEELS))
    assert [c.ratio for c in found] == [F(row["ratio"]) for row in FOUR_WHEELS]
    for choice, row in zip(found, FOUR_WHEELS, strict=True):
        published = {
            tuple(tuple(map(int, re.findall(r"\d+", half))) for half in way.split("/"))
            for way in row["teeth"].split(" ; ")
        }
        ours = [_wheels(train.pairs) for train in choice.trains]
        assert set(ours) == published
        assert len(ours) == len(published) == choice.ways


def test_the_best_error_is_the_published_one():
    best = search(SIXTY, 1)[0]
    assert float(best.error**2) == pytest.approx(2.700857e-12, rel=1e-6)  # as above


def _rank(problem, pairs):
    teeth = {n for pair in pairs for n in pair}
    error = abs(prod((F(a, b) for a, b in pairs), start=F(1)) - problem.ratio)
    return error, len(teeth - problem.stock), max(teeth), pairs


def _everything(problem: ToothProblem):
    """All trains in order, by trying every wheel in every place."""
    teeth = [n for n in range(problem.low, problem.high + 1)]
    if problem.stock_only:
        teeth = [n for n in teeth if n in problem.stock]
    found = set()
    for wheels in product(teeth, repeat=2 * problem.pairs):
        pairs = tuple(zip(wheels[::2], wheels[1::2], strict=True))
        sums = tuple(map(sum, pairs))
        if problem.sums is None:
            drivers, driven = _wheels(pairs)
            found.add(tuple(zip(drivers, driven[::-1], strict=True)))
        elif problem.sums == "equal":
            if len(set(sums)) == 1:
                found.add(tuple(sorted(pairs)))
        elif sums == problem.sums:
            same = {s: iter(sorted(p for p in pairs if sum(p) == s)) for s in set(sums)}
            found.add(tuple(next(same[s]) for s in sums))
    ranked = [(_rank(problem, pairs), pairs) for pairs in found]
    if problem.within is not None:
        ranked = [r for r in ranked if r[0][0] <= problem.within * problem.ratio]
    return [pairs for _, pairs in sorted(ranked)]


def _found(problem: ToothProblem, best: int, **more):
    return [train.pairs for choice in search(problem, best, **more) for train in choice.trains]


@st.composite
def problems(draw):
    pairs = draw(st.integers(1, 3))
    low = draw(st.integers(2, 30))
    high = low + draw(st.integers(0, {1: 40, 2: 6, 3: 3}[pairs]))
    tooth_sum = st.integers(2 * low, 2 * high)
    return ToothProblem(
        ratio=F(draw(st.integers(1, 60)), draw(st.integers(1, 60))),
        low=low,
        high=high,
        pairs=pairs,
        sums=draw(
            st.none() | st.just("equal") | st.lists(tooth_sum, min_size=pairs, max_size=pairs)
            .map(tuple)
        ),
        stock=draw(st.frozensets(st.integers(low, high), max_size=3)),
        stock_only=draw(st.booleans()),
        within=draw(st.none() | st.sampled_from([F(0), F(1, 1000), F(1, 10), F(2)])),
    )  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(problems(), st.integers(1, 12))
def test_nothing_is_missed_and_the_order_is_right(problem, best):
    everything = _everything(problem)
    ratios = list(dict.fromkeys(prod((F(a, b) for a, b in p), start=F(1)) for p in everything))
    found = search(problem, best)
    # Of two ratios as far off, one above and one below, a later train of the first may come
    # after the first train of the second; ratios stay together.
    assert [c.ratio for c in found] == ratios[:best]
    for choice in found:
        own = [p for p in everything if prod((F(a, b) for a, b in p), start=F(1)) == choice.ratio]
        assert [train.pairs for train in choice.trains] == own
        assert choice.ways == len(own)
        assert choice.error == choice.ratio - problem.ratio
    assert [t for c in search(problem, best, each=1) for t in c.trains] == [
        c.trains[0] for c in found
    ]


def test_the_order_does_not_depend_on_how_many_are_asked_for():
    thirty = search(SIXTY, 30)
    assert all(search(SIXTY, n) == thirty[:n] for n in (1, 7, 16, 29))


def test_ratios_as_far_off_on_both_sides_are_ordered_by_their_wheels():
    # From 12/12 both 11/12 and 13/12 are 1/12 off; 12/11 and 12/13 are not (by hand).
    found = search(ToothProblem(F(1), low=11, high=13, pairs=1), 6)
    assert [train.pairs[0] for c in found[1:] for train in c.trains] == [
        (12, 13), (11, 12), (13, 12), (12, 11), (11, 13),
    ]  # fmt: skip


def test_equal_sums_put_every_pair_on_the_same_axes():
    problem = ToothProblem(F(1, 6), low=12, high=60, sums="equal", module=F("0.8"))
    for choice in search(problem, 10):
        for train in choice.trains:
            assert len(set(train.sums)) == 1
            # ISO 21771: a = m (z1 + z2) / 2
            assert problem.distance(train.sums[0]) == F("0.4") * sum(train.pairs[0])


def test_wheels_of_the_kit_are_preferred_but_never_over_a_smaller_error():
    plain, reusing = SIXTY, ToothProblem(SIXTY.ratio, 12, 60, stock=frozenset({26, 46, 47, 12}))
    assert [c.ratio for c in search(reusing, 10)] == [c.ratio for c in search(plain, 10)]
    # 156/1081 of the published list is (12x13)/(23x47), (12x26)/(46x47) or (13x24)/(46x47).
    first = search(reusing, 10)[9].trains[0]
    assert _wheels(first.pairs) == ((12, 26), (46, 47))
    assert first.to_make == ()


def test_wheels_of_the_kit_alone():
    stock_of = frozenset({13, 20, 34, 53, 70})
    found = search(ToothProblem(SIXTY.ratio, 12, 60, stock=stock_of, stock_only=True), 3)
    assert found[0].ratio == F(130, 901)  # rank 2 of the published list
    assert all(
        n in stock_of and n <= 60 for c in found for t in c.trains for p in t.pairs for n in p
    )


def test_three_pairs_find_a_published_train():
    # Antikythera: 64/38 × 48/24 × 127/32 = 254/19 sidereal months a year (Freeth et al. 2006).
    found = search(ToothProblem(F(254, 19), low=24, high=127, pairs=3), 1)[0]
    assert found.error == 0
    assert ((24, 32, 38), (48, 64, 127)) in [_wheels(t.pairs)[::-1] for t in found.trains]


def test_progress_grows_and_its_best_only_gets_better():
    heard = []
    problem = ToothProblem(SIXTY.ratio, 12, 40, pairs=3)
    found = search(problem, 5, each=1, progress=lambda share, best: heard.append((share, best)))
    shares = [share for share, _ in heard]
    assert shares == sorted(shares)
    assert shares[-1] == 1
    errors = [abs(best - problem.ratio) for _, best in heard if best is not None]
    assert errors == sorted(errors, reverse=True)
    assert heard[-1][1] == found[0].ratio


@pytest.mark.parametrize(
    ("text", "value"),
    [("254/19", F(254, 19)), ("1/6.931", F(1000, 6931)), (" 0.144 ", F(18, 125))],
)
def test_ratios_are_read_exactly(text, value):
    assert exact(text, "ratio") == value


@pytest.mark.parametrize("text", ["", "0", "-1", "1/0", "nan", "inf", "1e999999999", "1//2", "a/b"])
def test_what_is_no_ratio(text):
    with pytest.raises(NoSearch):
        exact(text, "ratio")


def test_sums_and_distances():
    assert sums_of(["58"], 2) == (58, 58)
    assert sums_of(["58", "60"], 2) == (58, 60)
    assert sums_of(["equal"], 3) == "equal"
    assert sums_at([F("46.4")], F("0.8"), 2) == (116, 116)  # a = m (z1 + z2) / 2
    with pytest.raises(NoSearch, match=r"46\.4 mm and 46\.8 mm"):
        sums_at([F("46.5")], F("0.8"), 2)
    assert share("40 ppm") == share("0.004 %") == F(40, 10**6)


@pytest.mark.parametrize(
    "wrong",
    [
        {"ratio": F(0)},
        {"ratio": F(-1, 3)},
        {"ratio": F(10) ** 400},
        {"pairs": 0},
        {"pairs": 4},
        {"low": 1},
        {"low": 40, "high": 30},
        {"high": 100_000},
        {"sums": (58, 60, 62)},
        {"low": 2, "high": 1000, "pairs": 3},
        {"sums": "equal", "sense": "opposite"},  # two external pairs: the same sense
    ],
)
def test_what_cannot_be_searched(wrong):
    with pytest.raises(NoSearch):
        ToothProblem(**{"ratio": F(1, 7), **wrong})


def test_an_idler_is_needed_where_the_pairs_turn_the_wrong_way():
    assert ToothProblem(F(1), pairs=1, sense="same").idler
    assert not ToothProblem(F(1), pairs=2, sense="same").idler
    assert not ToothProblem(F(1), pairs=3, sense="opposite").idler


# --- the ratio that a body asks for


def _kit(tmp_path):
    # Mars 686.9798529 days is the sky room's figure, checked in test_sky.py; a year of 365.25.
    arbors, meshes = compound_train("30/40*25/35")
    return machine(
        tmp_path,
        arbors,
        meshes,
        bodies={
            "mars": {"name": "M", "arbor": "a2", "reference": "mars", "tolerance": "1 %"},
            "back": {
                "name": "B",
                "arbor": "a2",
                "reference": {"days": "730.5", "source": "this test"},
                "tolerance": "1 %",
                "turns": "retrograde",
            },
            "seen": {
                "name": "S",
                "arbor": "a2",
                "seen-from": "a0",
                "reference": {"days": "730.5", "source": "this test"},
                "tolerance": "1 %",
            },
        },
    )


def test_the_ratio_of_a_body(tmp_path):
    kit = _kit(tmp_path)
    motion = solve(kit)
    assert target(kit, motion, "mars").ratio == F("365.25") / F("686.9798529")
    assert target(kit, motion, "mars").sense == "same"
    # a1 turns at −30/40 of a year's turn: half a turn backwards is 2/3 of that, the same way.
    back = target(kit, motion, "back", "a1")
    assert (back.ratio, back.sense) == (F(2, 3), "same")
    # Seen from a0 (one turn), a1 goes at −7/4; half a turn forwards is −2/7 of that.
    seen = target(kit, motion, "seen", "a1")
    assert (seen.ratio, seen.sense) == (F(2, 7), "opposite")
    with pytest.raises(NoSearch, match="stands still"):
        target(kit, motion, "seen")
    with pytest.raises(NoSearch, match="no arbor"):
        target(kit, motion, "mars", "a9")
    with pytest.raises(NoSearch, match="Did you mean 'mars'"):
        target(kit, motion, "marz")


def test_the_wheels_of_a_kit(tmp_path):
    assert stock(_kit(tmp_path), None) == (frozenset({30, 40, 25, 35}), 1)


# --- what other teeth would do on the same axes


def _better(tmp_path, kit):
    motion = solve(kit)
    design = SimpleNamespace(kit=kit, motion=motion, trains=trains(kit, motion))
    return design.trains["b"].error, better_choices(design, "b")


def _error(train: str, days: Fraction) -> Fraction:
    """Of the period of the last wheel, when the first turns once in 365.25 days."""
    ratio = prod((F(pair) for pair in train.split("*")), start=F(1))
    return F("365.25") / ratio / days - 1


def _others(pair, least):
    total = sum(pair)
    return [(a, total - a) for a in range(least, total - least + 1) if a != pair[0]]


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    st.lists(st.tuples(st.integers(12, 24), st.integers(12, 24)), min_size=1, max_size=3),
    st.integers(1000, 200_000),
)
def test_better_choices_are_what_trying_everything_finds(tmp_path, pairs, tenths):
    days = F(tenths, 100)
    text = "*".join(f"{a}/{b}" for a, b in pairs)
    arbors, meshes = compound_train(text)
    sense = "prograde" if len(pairs) % 2 == 0 else "retrograde"
    kit = machine(
        tmp_path,
        arbors,
        meshes,
        bodies={
            "b": {
                "name": "B",
                "arbor": f"a{len(pairs)}",
                "reference": {"days": f"{float(days):.2f}", "source": "this test"},
                "tolerance": "1 %",
                "turns": sense,
            }
        },
    )
    least = min(min(pair) for pair in pairs)
    now, found = _better(tmp_path, kit)
    assert now == _error(text, days)
    assert [choice.teeth for choice in found] == pairs

    def error(changed):
        return abs(_error("*".join(f"{a}/{b}" for a, b in changed), days))

    for n, choice in enumerate(found):
        ones = [error([*pairs[:n], o, *pairs[n + 1 :]]) for o in _others(pairs[n], least)]
        best = min([e for e in ones if e < abs(now)], default=None)
        assert (choice.one and abs(choice.one.error)) == best
        twos = []
        for m in range(len(pairs)):
            for mine, other in product(_others(pairs[n], least), _others(pairs[m], least)):
                if m != n:
                    changed = list(pairs)
                    changed[n], changed[m] = mine, other
                    twos.append(error(changed))
        best = min([e for e in twos if e < min(abs(now), best or 1000)], default=None)
        assert (choice.two and abs(choice.two.error)) == best
        for better in filter(None, (choice.one, choice.two)):
            changed = list(pairs)
            for change in better.changes:
                changed[int(change.driver.removeprefix("driver-"))] = change.teeth
            assert error(changed) == abs(better.error)


MOON = {
    "b": {
        "name": "Moon",
        "arbor": "moon",
        "seen-from": "arm",
        "reference": {"days": "30", "source": "this test"},
        "tolerance": "1 %",
    }
}


def _moon(tmp_path, out=(20, 30), back=(16, 18), first=(70, 20), last=(50, 25)):
    """A moon on the year's arm, driven through a lay arbor and two pairs on the arm itself."""
    arbors = {
        "arm@post": {"arm-wheel": f"wheel-{out[0]}"},
        "lay": {"lay-in": f"wheel-{out[1]}", "lay-out": f"wheel-{back[0]}"},
        "pipe@post": {"pipe-in": f"wheel-{back[1]}", "pipe-out": f"wheel-{first[0]}"},
        "middle": {"middle-in": f"wheel-{first[1]}", "middle-out": f"wheel-{last[0]}"},
        "moon": {"moon-in": f"wheel-{last[1]}"},
    }
    meshes = [
        ["arm-wheel", "lay-in"],
        ["lay-out", "pipe-in"],
        ["pipe-out", "middle-in"],
        ["middle-out", "moon-in"],
    ]
    carried = {"middle": "arm", "moon": "arm"}
    return machine(tmp_path, arbors, meshes, carried=carried, bodies=MOON)


def test_better_choices_on_a_carrier_are_what_solving_each_changed_machine_finds(tmp_path):
    names = {"arm-wheel": "out", "lay-out": "back", "pipe-out": "first", "middle-out": "last"}
    now, found = _better(tmp_path, _moon(tmp_path))
    kit = _moon(tmp_path)
    signed = trains(kit, solve(kit))["b"].ratio
    assert [choice.bound for choice in found] == [None] * 4
    for choice in found:
        errors = {}
        for teeth in _others(choice.teeth, 16):
            changed = _moon(tmp_path, **{names[choice.driver]: teeth})
            train = trains(changed, solve(changed)).get("b")
            if train and train.ratio * signed > 0:
                errors[teeth] = train.error
        best = min((e for e in errors.values() if abs(e) < abs(now)), key=abs, default=None)
        assert (choice.one and choice.one.error) == best
        if choice.two:
            both = {names[c.driver]: c.teeth for c in choice.two.changes}
            changed = _moon(tmp_path, **both)
            train = trains(changed, solve(changed))["b"]
            assert train.error == choice.two.error
            assert train.period_days == choice.two.period_days
            assert train.ratio == choice.two.ratio


def test_pairs_that_do_more_than_drive_the_body_are_left_alone(tmp_path):
    arbors = {
        "year": {"year-wheel": "wheel-30"},
        "idler": {"idler-wheel": "wheel-20"},
        "body": {"body-wheel": "wheel-41", "next": "wheel-20"},
        "other": {"other-wheel": "wheel-50"},
    }
    meshes = [["year-wheel", "idler-wheel"], ["idler-wheel", "body-wheel"], ["next", "other-wheel"]]
    bodies = {
        name: {
            "name": name,
            "arbor": arbor,
            "reference": {"days": days, "source": "this test"},
            "tolerance": "1 %",
        }
        for name, arbor, days in (("b", "body", "500"), ("c", "other", "1250"))
    }
    _, found = _better(tmp_path, machine(tmp_path, arbors, meshes, bodies=bodies))
    assert [choice.bound for choice in found] == ["shared", "shared"]
    assert [choice.also for choice in found] == [("c",), ("c",)]
    assert all(choice.one is choice.two is None for choice in found)


# --- the command


def _run(capsys, *arguments):
    code = main(["teeth", *arguments])
    told = capsys.readouterr()
    return code, told.out, told.err


def test_the_command_lists_the_published_trains(capsys):
    code, out, err = _run(capsys, "1/6.931", "--low", "12", "--high", "60", "--best", "20")
    assert (code, err) == (0, "")
    for row in FOUR_WHEELS[:20]:
        assert re.search(rf"^ *{row['rank']}  .* {row['ratio']} ", out, re.M)
    assert "49" in next(line for line in out.splitlines() if " 304/2107 " in line)
    code, out, _ = _run(capsys, "1/6.931", "--high", "60", "--best", "16", "--all")
    lines = FOUR_WHEELS[15]["teeth"].count(";") + 1  # rank 16 has the most ways by far
    assert len(out.split("\n16  ")[1].split("\n\n")[0].splitlines()) == lines


def test_the_command_on_a_kit(tmp_path, monkeypatch, capsys):
    copy_base(tmp_path)
    monkeypatch.chdir(tmp_path)
    code, out, err = _run(
        capsys,
        "--body",
        "mars",
        "--sum",
        "72",
        "--reuse",
        "--module",
        "0.8",
        "--content",
        "content",
    )
    assert (code, err) == (0, "")
    # The base kit: 43/29 × 19/53, module 0.8, so 28.8 mm (shifted to 28.84 there).
    assert "28.8" in out
    assert "the same way" in out
    assert re.search(r"^ *1 .*43/29.*19/53|^ *1 .*19/53.*43/29", out, re.M)


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ([], "name a ratio"),
        (["2/3", "--body", "mars"], "name a ratio"),
        (["x"], "'x' is no ratio"),
        (["0"], "'0' is no ratio"),
        (["2/3", "--driver", "earth"], "--driver goes with --body"),
        (["2/3", "--pairs", "7"], "7 pairs"),
        (["2/3", "--best", "0"], "0 best"),
        (["2/3", "--sum", "x"], "'x' is no tooth sum"),
        (["2/3", "--sum", "60", "--distance", "30"], "say the same"),
        (["2/3", "--distance", "30"], "without the module"),
        (["2/3", "--within", "2"], "'2' is no share"),
        (["--body", "marz"], "Did you mean 'mars'?"),
        (["--body", "mars", "--driver", "eart"], "Did you mean 'earth'?"),
        (["--body", "mars", "--kit", "benhc"], "Did you mean 'bench'?"),
        (["--body", "moon"], "stands still"),
        (["2/3", "--reuse", "--module", "7"], "no wheels of this module"),
    ],
)
def test_a_wrong_call_gets_one_line(tmp_path, monkeypatch, capsys, arguments, says):
    copy_base(tmp_path)
    monkeypatch.chdir(tmp_path)
    code, out, err = _run(capsys, *arguments, "--content", "content")
    assert (code, out) == (2, "")
    assert says in err
    assert err.count("\n") == 1


def test_no_train_is_not_an_error(capsys):
    code, out, _ = _run(capsys, "7919/7907", "--pairs", "1", "--within", "0 %")
    assert code == 0
    assert "No train within these bounds." in out


def test_the_bar_is_for_terminals_and_for_long_searches(monkeypatch):
    class Terminal(io.StringIO):
        def isatty(self):
            return True

    seconds = [100.0]
    monkeypatch.setattr("kitdocs.commands.teeth.time.monotonic", lambda: seconds[0])
    terminal, file = Terminal(), io.StringIO()
    bars = [_Bar(terminal), _Bar(file)]
    bars[0](0.1, None)
    assert terminal.getvalue() == ""
    seconds[0] += 60
    for bar in bars:
        bar(0.5, F(130, 901))
    assert "50%" in terminal.getvalue()
    assert "130/901" in terminal.getvalue()
    for bar in bars:
        bar.clear()
    assert file.getvalue() == ""
