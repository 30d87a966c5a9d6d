"""Expressions in prose: what they print, and that they can reach nothing else."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from changed_kit import BASE

from kitdocs.finding import Place
from kitdocs.kit.stage import Passage
from kitdocs.survey import survey
from kitdocs.words.expressions import EXPRESSIONS, Prose


@pytest.fixture(scope="module")
def prose() -> Prose:
    design = survey(BASE.parent, BASE.parent).kits[0].design
    assert design is not None
    return Prose(design)


def shown(prose: Prose, text: str, line: int = 1, column: int = 1):
    passage = Passage(text, Place("bench/page.md", line, column))
    return prose.text(passage, "bench/page.md", prose.design.kit.stages[1])


# Values by hand from the base kit's files: 29 and 43 teeth, 136/11, crank 25/20 x 29/43.
@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("item('earth-wheel')", "43-tooth wheel"),
        ("item('earth-wheel').teeth", "43"),
        ("item('earth-wheel').screws", "three M2.5 × 6 screws"),
        ("item('earth-wheel').screw", "M2.5 × 6 screw"),
        ("item('earth-wheel').driver", "PH1 screwdriver"),  # ISO 4757 recess for M2.5
        ("item('earth-hub').driver", "1.5\u00a0mm hex key"),  # ISO 4026, M3
        ("item('earth').length", "60\u00a0mm"),
        ("item('earth-wheel').part.plural", "43-tooth wheels"),
        ("part('M3 x 8').plural", "M3 × 8 set screws"),
        ("count('foot-a', 'foot-b', 'foot-c')", "three"),
        ("body('mars')", "Mars"),
        ("body('moon').ratio", "136&#47;11"),
        ("mesh('lay-earth', 'earth-wheel').ratio", "29&#47;43"),
        ("mesh('earth-wheel', 'lay-earth').ratio", "43&#47;29"),
        ("mesh('lay-earth', 'earth-wheel').distance", "28.84\u00a0mm"),
        ("arbor('lay').turns_per_crank", "1.25"),
        ("crank_turns_per_year", "1.186"),  # 1720/1450
        ("delivery('second').number", "2"),
        ("stage('drive')", "[stage 1, Stand and drive](stages/drive.md)"),
        ("step('slide-on-mars')", "[step 1](#slide-on-mars)"),
        ("step('crank', 'drive')", "[step 6 of stage 1](stages/drive.md#crank)"),
        ("kit.revision", "1.0"),
    ],
)
def test_what_an_expression_prints(prose: Prose, text: str, printed: str) -> None:
    result, findings = shown(prose, "{{ " + text + " }}")
    assert [str(f) for f in findings] == []
    assert re.sub(r"&#(?:43|46|45);", "", result) == printed


@pytest.mark.parametrize("form", EXPRESSIONS)
def test_every_form_of_the_guide_works_on_some_thing(prose: Prose, form: str) -> None:
    some = {
        "item": "'earth-wheel'", "part": "'earth-arm'", "body": "'mars'", "arbor": "'lay'",
        "mesh": "'lay-earth', 'earth-wheel'", "count": "'base', 'post'", "stage": "'drive'",
        "delivery": "'first'", "step": "'slide-on-mars'", "proof": "'mars'",
    }  # fmt: skip
    name, _, rest = form.partition("(")
    if rest:
        ids = "'earth'" if form.endswith(".length") else some.get(name)
        form = f"{name}({ids}){rest.partition(')')[2]}" if name in some else form
    assert shown(prose, "{{ " + form + " }}")[1] == []


@pytest.mark.parametrize(
    "text",
    [
        "kit.__class__", "kit._facts", "kit.fact", "item.__globals__", "item('base').__init__",
        "'a'.ljust(999999999)", "'{0.__class__}'.format(kit)", "[].__class__", "range(9)",
        "kit|attr('title')", "item(*['base'])", "item(name='base')", "1 + 1", "9 ** 9 ** 9",
        "'a' * 999999999", "self", "cycler", "lipsum()", "namespace()", "kit if kit else 1",
        "item('base')('base')", "item(item)", "item", "item(kit)", "none", "", "{", "'", "item(",
        "9" * 150, "(" * 90 + "1" + ")" * 90, "item('" + "x" * 9000 + "')",
    ],
)  # fmt: skip
def test_nothing_else_can_be_reached(prose: Prose, text: str) -> None:
    result, findings = shown(prose, "A {{ " + text + " }} B")
    assert [f.rule for f in findings] == ["expression"], result
    assert "object at" not in str(findings[0]) and len(str(findings[0])) < 400


def test_a_fault_is_told_at_its_line_and_column(prose: Prose) -> None:
    text = "One {{ item('base') }}.\nTwo {{ item('bse') }} and {{ bdy('mars') }}."
    places = [(f.place.line, f.place.column) for f in shown(prose, text, 40, 3)[1]]
    assert places == [(41, 5), (41, 27)]
    first = shown(prose, "{{ nothing }}", 40, 3)[1]
    assert (first[0].place.line, first[0].place.column) == (40, 3)


def test_text_of_the_model_is_shown_letter_for_letter(prose: Prose) -> None:
    result, _ = shown(prose, "{{ body('moon').ratio }}")
    assert "/" not in result, "a solidus between digits may become a vulgar fraction"


def test_text_without_expressions_is_left_alone(prose: Prose) -> None:
    text = "A {brace}, a #hash and *stars*.\n\n    {: .class }\n"
    assert shown(prose, text) == (text, [])


def test_a_page_in_a_folder_links_from_there(prose: Prose) -> None:
    passage = Passage("{{ stage('drive') }}", Place("x.md"))
    assert prose.text(passage, "bench/notes/deep.md")[0].endswith("](../stages/drive.md)")


def test_paths_are_not_machine_paths(prose: Prose) -> None:
    assert str(Path.cwd()) not in shown(prose, "{{ stage('drive') }}")[0]
