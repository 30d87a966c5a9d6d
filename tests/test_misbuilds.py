"""Misbuilds: what each mistake shows, against the same mistake made on paper.

Every fault of both demo kits is built wrong a second time, in the YAML of the kit (`Paper`), and
every figure that a reader sees is computed there again: heights by addition, distances by
trigonometry, speeds by going round the meshes.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from changed_kit import BASE, change, copy_base
from paper_machine import Paper

from kitdocs.assembly.design import Design
from kitdocs.assembly.misbuild import MOST_FAULTS, Fault
from kitdocs.assembly.misbuild_changes import with_parts
from kitdocs.assembly.misbuild_kinds import Mistake, Mistakes
from kitdocs.assembly.misbuild_sight import ORDER, Sight
from kitdocs.assembly.misbuild_sights import Bench
from kitdocs.assembly.proof import Shown
from kitdocs.survey import survey

CONTENT = Path(__file__).parent.parent / "content"


def design_of(content: Path, kit: str) -> Design:
    kits = survey(content.parent, content).kits
    found = next(k for k in kits if k.design and k.design.kit.id == kit)
    assert found.design is not None
    return found.design


@pytest.fixture(scope="module", params=("quayside", "tellurion"))
def demo(request: pytest.FixtureRequest) -> tuple[Design, Paper]:
    return design_of(CONTENT, request.param), Paper(CONTENT / request.param)


def spoil(paper: Paper, mistake: Mistake, built: set[str]) -> Paper:
    """The machine on paper with one mistake in it."""
    wrong = paper.wrong()
    first = mistake.items[0]
    if mistake.kind == "exchanged":
        right, other = mistake.parts
        wrong.put(first, other)
        wrong.put(mistake.items[1], right)
    elif mistake.kind == "taken":
        wrong.put(first, mistake.parts[1])
    elif mistake.kind in ("left-out", "no-idler"):
        arbor, stack, n = wrong.find(first)
        level = wrong.arbors[arbor][stack]
        below = next(iter(level[n - 1])) if n else wrong.arbors[arbor].get("stands-on")
        for fact in wrong.arbors.values():
            if fact.get("stands-on") == first:
                fact["stands-on"] = below
        del level[n]
    elif mistake.kind in ("flipped", "misplaced"):
        arbor, stack, n = wrong.find(first)
        levels = wrong.arbors[arbor][stack]
        if mistake.kind == "flipped":
            other = wrong.find(mistake.items[1])[2]
            levels[n], levels[other] = levels[other], levels[n]
        else:
            wheel = wrong.find(mistake.items[1])[2]
            block = [wheel]
            host = paper.machine["held"].get(mistake.items[1], {}).get("to")
            if host and host in {i for level in levels for i in level}:
                block.append(wrong.find(host)[2])
            one = levels.pop(n)
            levels.insert(max(block) if wheel > n else min(block), one)
    elif mistake.kind == "inverted":
        arbor = wrong.find(first)[0]
        fact = wrong.arbors[arbor]
        for stack in ("stack", "end-stack"):
            fact[stack] = [lv for lv in fact.get(stack, []) if set(lv) <= built]
        fact["stack"], fact["end-stack"] = fact["end-stack"][::-1], fact["stack"][::-1]
    return wrong


class Trial:
    """One fault on paper: the right machine, the wrong one, and what is built of them."""

    def __init__(self, design: Design, paper: Paper, fault: Fault, mistake: Mistake):
        self.design, self.paper, self.fault = design, paper, fault
        self.built = set(design.built[fault.shown_at])
        self.wrong = spoil(paper, mistake, set(design.built[mistake.stage]))
        left_out = mistake.kind in ("left-out", "no-idler")
        self.items = self.built - set(mistake.items[:1] if left_out else ())
        self.proof = design.proofs.get(fault.shown_at)
        self.mistake = mistake

    def holds(self, sight: Sight) -> None:
        getattr(self, sight.kind)(sight, *sight.items)

    # Teeth

    def jam(self, sight: Sight, a: str, b: str) -> None:
        near = self.wrong.wanted(a, b) - self.wrong.apart(a, b)
        assert near == pytest.approx(sight.amount) and near > 0

    def apart(self, sight: Sight, a: str, b: str) -> None:
        far = self.wrong.apart(a, b) - self.wrong.wanted(a, b)
        assert far == pytest.approx(sight.amount) and far > 0.5  # 0.6 mm module: teeth 1.2 mm deep

    def clear(self, sight: Sight, a: str, b: str) -> None:
        assert self.wrong.shared(a, b) == pytest.approx(-abs(sight.amount), abs=1e-6)
        higher = self.wrong.bottom(a) > self.wrong.bottom(b)
        assert higher == (sight.amount > 0) or abs(sight.amount) < 1e-6

    def short(self, sight: Sight, a: str, b: str) -> None:
        assert self.wrong.shared(a, b) == pytest.approx(sight.amount)
        assert self.paper.shared(a, b) == pytest.approx(sight.should_be)

    def shifted(self, sight: Sight, a: str, _: str) -> None:
        assert self.wrong.bottom(a) - self.paper.bottom(a) == pytest.approx(sight.amount)

    def stray(self, sight: Sight, a: str, b: str) -> None:
        assert frozenset((a, b)) not in {frozenset(m[:2]) for m in self.paper.meshes}
        assert self.wrong.shared(a, b) > 0
        assert 0 <= self.wrong.apart(a, b) - self.wrong.wanted(a, b) < 0.3

    # Heights

    def binds(self, sight: Sight, low: str, high: str) -> None:
        assert self.wrong.top(low) - self.wrong.bottom(high) == pytest.approx(sight.amount)

    def loose(self, sight: Sight, low: str, high: str) -> None:
        assert self.wrong.bottom(high) - self.wrong.top(low) == pytest.approx(sight.amount)
        assert 0 < sight.should_be <= 0.3  # end play as the design has it: common practice

    def rubs(self, sight: Sight, a: str, b: str) -> None:
        assert sight.amount > 0
        if not sight.screws and {a, b} <= self.items:
            assert self.wrong.shared(a, b) > 0
            # The nearer way out, upwards or downwards; there may be a nearer one sideways.
            tops, bottoms = map(self.wrong.top, (a, b)), map(self.wrong.bottom, (b, a))
            ways = [top - bottom for top, bottom in zip(tops, bottoms, strict=True)]
            assert sight.amount <= min(ways) + 1e-6

    # Screws: lengths are in their designations, M3 x 6; the wall is what is left beside the bore.

    def proud(self, sight: Sight, item: str) -> None:
        assert self._stands_out(item) == pytest.approx(sight.amount)

    def sunk(self, sight: Sight, item: str) -> None:
        assert self._stands_out(item) == pytest.approx(-sight.amount)

    def _stands_out(self, item: str) -> float:
        length = float(self.mistake.parts[1].rsplit(" x ", 1)[1])
        part = self.wrong.part(item)
        if "set-screw" in part:
            outside = part["hub"] if part["kind"] in ("arm", "hand") else part["outside"]
            return length - (outside - part["bore"]) / 2
        host = self.wrong.machine["held"][item]["to"]
        return length - self.wrong.thick(item) - self.wrong.thick(host)

    def thread(self, sight: Sight, item: str) -> None:
        # ISO 7089 M3 is 0.5 mm thick; one diameter of thread in brass (common practice).
        length = float(self.mistake.parts[1].rsplit(" x ", 1)[1])
        held = max(0.0, length - self.wrong.thick(item) - 0.5)
        assert 3 - held == pytest.approx(sight.amount)

    # Motion

    def _speeds(self) -> dict[str, float]:
        gone = {
            frozenset(m[:2]) for m in self.wrong.meshes if set(m[:2]) <= self.items and self._out(m)
        }
        more = [s.items for s in self.fault.sights if s.kind == "stray"]
        assert self.proof is not None
        return self.wrong.speeds(self.proof.arbor, self.items, gone, more)

    def _out(self, mesh: tuple) -> bool:
        a, b, turns = mesh
        if turns:  # bevels: out when one is a tooth's depth, two modules, away
            off = [abs(self._lifted(i)) for i in (a, b)]
            return max(off) >= 2 * self.wrong.part(a)["module"] - 1e-6
        too_far = self.wrong.apart(a, b) - self.wrong.wanted(a, b) > 0.6
        return self.wrong.shared(a, b) <= 0 or too_far

    def _lifted(self, item: str) -> float:
        axis = self.wrong.axes[self.wrong.arbors[self.wrong.find(item)[0]]["axis"]]
        level = axis.get("lies") == "level"
        return 0.0 if level else self.wrong.bottom(item) - self.paper.bottom(item)

    def _of(self, shown: Shown) -> float | None:
        speeds = self._speeds()
        if shown.arbor not in speeds or (shown.against and shown.against not in speeds):
            return None
        against = speeds[shown.against] if shown.against else 0.0
        return (speeds[shown.arbor] - against) * float(self.proof.turns) * 360

    def _shown(self, sight: Sight) -> Shown:
        return next(s for s in self.proof.shown if s.arbor == sight.arbor)

    def still(self, sight: Sight, *_: str) -> None:
        assert not self._of(self._shown(sight))

    def angle(self, sight: Sight, *_: str) -> None:
        shown = self._shown(sight)
        assert self._of(shown) == pytest.approx(sight.amount)
        assert float(shown.degrees) == pytest.approx(sight.should_be)
        assert abs(sight.amount - sight.should_be) > shown.tolerance

    def reversed(self, sight: Sight, *_: str) -> None:
        shown = self._shown(sight)
        assert self._of(shown) == pytest.approx(sight.amount)
        assert sight.amount * float(shown.degrees) < 0

    def locked(self, sight: Sight, a: str, b: str) -> None:
        speeds = self._speeds()
        pairs = [m for m in self.wrong.meshes if set(m[:2]) <= self.items and not self._out(m)]
        strays = [(*s.items, False) for s in self.fault.sights if s.kind == "stray"]
        others = self._near_pairs()
        assert not self.wrong.agrees(speeds, [*pairs, *strays, *others])

    def _near_pairs(self) -> list[tuple[str, str, bool]]:
        """Wheels side by side that mesh though no mesh is written."""
        wheels = [i for i in sorted(self.items) if self.wrong.part(i)["kind"] == "wheel"]
        found = []
        for n, a in enumerate(wheels):
            for b in wheels[n + 1 :]:
                one, other = self.wrong.find(a)[0], self.wrong.find(b)[0]
                if self.wrong.arbors[one]["axis"] == self.wrong.arbors[other]["axis"]:
                    continue
                if self.wrong.part(a)["module"] != self.wrong.part(b)["module"]:
                    continue
                gap = self.wrong.apart(a, b) - self.wrong.wanted(a, b)
                if self.wrong.shared(a, b) > 0 and 0 <= gap < 0.3:
                    found.append((a, b, False))
        return found

    def opposite(self, sight: Sight, arm: str) -> None:
        assert sight.amount == pytest.approx(180)
        arbor = self.paper.find(arm)[0]
        assert any(axis.get("carried-by") == arbor for axis in self.paper.axes.values())


def test_every_figure_of_every_fault_is_that_of_the_machine_on_paper(
    demo: tuple[Design, Paper],
) -> None:
    design, paper = demo
    tried: Counter[str] = Counter()
    for faults in design.faults.values():
        for fault in faults:
            causes = fault.causes
            for cause in causes:
                if fault.places and cause is not _first(fault):
                    continue  # the sights name the first place
                trial = Trial(design, paper, fault, cause.mistake)
                for sight in fault.sights:
                    if sight.kind == "loose" and len(causes) > 1:
                        continue  # felt at one arbor, between other things: tried below
                    trial.holds(sight)
                    tried[sight.kind] += 1
    assert sum(tried.values()) > 40
    assert len(tried) >= 8, tried


def _first(fault: Fault):
    """The cause that the sights of a fault with places were taken from."""
    named = {name for sight in fault.sights for name in sight.items}
    return next((c for c in fault.causes if c.mistake.items[0] in named), None)


def test_a_washer_left_out_above_or_below_is_felt_the_same(demo: tuple[Design, Paper]) -> None:
    design, paper = demo
    for faults in design.faults.values():
        for fault in faults:
            for sight in fault.sights:
                if sight.kind != "loose" or len(fault.causes) == 1:
                    continue
                for cause in fault.causes:
                    thick = paper.thick(cause.mistake.items[0])
                    assert sight.amount == pytest.approx(sight.should_be + thick, abs=0.06)


def test_what_looks_the_same_is_one_fault(demo: tuple[Design, Paper]) -> None:
    design, _ = demo
    for faults in design.faults.values():
        seen = [
            tuple((s.kind, s.items, s.arbor, round(s.amount, 1), s.screws) for s in fault.sights)
            for fault in faults
        ]
        assert len(set(seen)) == len(seen)
        for fault in faults:
            assert [c.above for c in fault.causes] == sorted(c.above for c in fault.causes)


def test_lists_are_short_and_sorted_by_what_is_seen(demo: tuple[Design, Paper]) -> None:
    design, _ = demo
    for stage, faults in design.faults.items():
        assert len(faults) <= MOST_FAULTS, stage
        order = [ORDER.index(fault.sights[0].kind) for fault in faults]
        assert order == sorted(order)


def test_each_fault_leads_to_a_step_of_its_stage(demo: tuple[Design, Paper]) -> None:
    design, _ = demo
    steps = {(stage.id, step.id) for stage in design.kit.stages for step in stage.steps}
    for stage, faults in design.faults.items():
        for fault in faults:
            for cause in fault.causes:
                assert cause.mistake.stage == stage == fault.stage
                assert (stage, cause.mistake.step) in steps


def test_what_cannot_be_made_is_not_listed(demo: tuple[Design, Paper]) -> None:
    design, paper = demo
    for stage in design.kit.stages:
        for mistake, _ in Mistakes(design, stage, design.built[stage.id]).all():
            if mistake.kind in ("exchanged", "taken"):
                right, wrong = (paper.parts[name] for name in mistake.parts)
                assert right["kind"] == wrong["kind"]
                assert right.get("bore") == pytest.approx(wrong.get("bore"), abs=0.05)
                assert right.get("module") == wrong.get("module")


# By hand: with the 39 and the 111 teeth of Mercury's pair exchanged the distance stays, and the
# pipe turns 35/120 x 39/111 instead of 35/120 x 111/39 for one turn of the crank: in half a turn
# 18.45 degrees, not 149.42.
def test_a_pair_exchanged_still_meshes_and_turns_too_little() -> None:
    design = design_of(CONTENT, "quayside")
    fault = next(f for f in design.faults["mercury"] if f.causes[0].mistake.kind == "exchanged")
    assert [s.kind for s in fault.sights] == ["angle"]
    assert fault.sights[0].amount == pytest.approx(360 / 2 * 35 / 120 * 39 / 111)
    assert fault.sights[0].should_be == pytest.approx(360 / 2 * 35 / 120 * 111 / 39)
    assert set(fault.causes[0].mistake.items) == {"mercury-wheel", "lay-mercury"}


# The base kit changed in its YAML and read with the rules: what the rule measures is what is seen.
def test_a_wrong_wheel_jams_by_what_mesh_distance_finds(tmp_path: Path) -> None:
    folder = copy_base(tmp_path)
    change(
        folder,
        [{"file": "mechanism.yml", "find": "lay-mars: wheel-19", "put": "lay-mars: wheel-29"}],
    )
    wrong = survey(tmp_path, tmp_path / "content")
    rules = {finding.rule for finding in wrong.findings}
    assert "mesh-distance" in rules
    design = survey(BASE.parent, BASE.parent).kits[0].design
    assert design is not None
    last = design.kit.stages[-1].id
    bench = Bench(design, design.proofs[last], design.proofs[last].machine)
    seen = bench.see(lambda kit: with_parts(kit, {"lay-mars": kit.parts["wheel-29"]}))
    # (29 + 53) x 0.8 / 2 = 32.8 mm, on axes 28.84 mm apart
    assert [(s.kind, set(s.items)) for s in seen] == [("jam", {"lay-mars", "mars-wheel"})]
    assert seen[0].amount == pytest.approx(32.8 - 28.84)
