"""What steps take from stock, derived from their actions on the base kit."""

from __future__ import annotations

from collections import Counter

import pytest
from changed_kit import BASE, surveyed

from kitdocs.assembly.design import Design
from kitdocs.assembly.takings import together
from kitdocs.survey import survey


@pytest.fixture(scope="module")
def design() -> Design:
    design = survey(BASE.parent, BASE.parent).kits[0].design
    assert design is not None
    return design


# Counted by hand in the base kit's stage pages and fastening schedule.
def test_placing_takes_a_part_and_fastening_its_screws(design: Design) -> None:
    taking = design.takings.steps["drive", "make-up-earth-hub"]
    assert taking.parts == {"hub-8": 1, "wheel-43": 1, "ISO 7045 M2.5 x 6": 3}
    assert taking.placed == ("earth-hub", "earth-wheel")
    assert taking.fastened == ("earth-wheel",)
    assert taking.drivers == ("PH1 screwdriver",)


def test_a_press_fit_places_and_holds_and_takes_no_fastener(design: Design) -> None:
    taking = design.takings.steps["drive", "press-post"]
    assert taking.parts == {"post-6": 1, "washer-6": 1}
    assert taking.placed == ("post", "post-washer") and taking.fastened == ("post",)


def test_adhesive_and_oil_are_used_by_the_drop(design: Design) -> None:
    glued = design.takings.steps["drive", "fit-base"]
    assert glued.supplies == ("epoxy",) and "epoxy" not in glued.parts
    assert design.takings.steps["drive", "slide-on-earth"].supplies == ("clock-oil",)
    assert design.takings.supplies == {"epoxy", "clock-oil"}


def test_meshing_aiming_and_checking_take_nothing(design: Design) -> None:
    crank = design.takings.steps["drive", "crank"]
    assert crank.parts == {
        "crank-shaft": 1, "crank-handle": 1, "bevel-25": 1, "ISO 4026 M3 x 8": 1
    }  # fmt: skip


def test_stages_and_the_whole_are_the_sums_of_their_steps(design: Design) -> None:
    kit, takings = design.kit, design.takings
    for stage in kit.stages:
        total: Counter[str] = Counter()
        for step in stage.steps:
            total.update(takings.steps[stage.id, step.id].parts)
        assert total == takings.stages[stage.id] == takings.stage_taking(stage).parts
    assert takings.used == sum(takings.stages.values(), Counter())


def test_what_comes_is_what_is_used(design: Design) -> None:
    takings = design.takings
    came = takings.stock_after(design.kit.deliveries)
    assert {p: n for p, n in came.items() if p != "epoxy"} == dict(takings.used)
    assert takings.spares["second"] == {"ISO 7045 M2.5 x 6": 1}, "spares are beyond need"
    assert takings.stock_after(["first"])["ISO 7045 M2.5 x 6"] == 3


def test_together_keeps_the_order_of_first_use(design: Design) -> None:
    steps = list(design.takings.steps.values())
    assert together(steps).drivers == ("PH1 screwdriver", "1.5 mm hex key")
    assert together([]).parts == {}


def test_refitting_and_tightening_take_nothing_again(tmp_path) -> None:
    more = (
        "- {slacken: earth-hub, remove: handle, refit: handle, tighten: earth-hub}\n- turn: crank\n"
    )
    changes = [{"file": "stages/planets.md", "find": "- turn: crank\n", "put": more}]
    design = surveyed(tmp_path, changes).kits[0].design
    before = surveyed(tmp_path / "before").kits[0].design
    taking = design.takings.steps["planets", "fit-moon"]
    assert taking.parts == before.takings.steps["planets", "fit-moon"].parts
    assert "1.5 mm hex key" in taking.drivers, "but its driver is needed"


def test_an_item_that_does_not_exist_takes_nothing(tmp_path) -> None:
    changes = [
        {
            "file": "stages/planets.md",
            "find": "earth-top, mars], press",
            "put": "earth-top, mrs], press",
        }
    ]
    design = surveyed(tmp_path, changes).kits[0].design
    taking = design.takings.steps["planets", "slide-on-mars"]
    assert taking.parts == {"spacer-8": 1, "washer-8": 1, "wheel-53": 1}
