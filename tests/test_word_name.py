"""One name for one thing: other trade words, names of nothing, and things out of place."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from break_words import (
    changes,
    is_argued,
    is_told_as_typed,
    item_changes,
    kit_noticed,
    noticed,
)
from changed_kit import lines, surveyed
from word_sentences import WORDS, Said, collection, design, misnamed

from kitdocs.survey import survey
from kitdocs.words.audit.auditor import auditor_of

REPO = Path(__file__).parent.parent


@pytest.mark.parametrize("kind", ["name", "any name"])
def test_a_changed_name_is_noticed(kind):
    made = [c for said in collection("pl") for c in changes(said) if c.kind == kind]
    missed = [f"{c.was} → {c.now} in {c.said.text}" for c in made
              if not noticed(c) and not is_argued(c)]  # fmt: skip
    assert len(made) > 300
    assert len(missed) <= len(made) / 100, missed


@pytest.mark.parametrize("code", ["en", "de"])
def test_a_changed_name_is_noticed_or_its_expression_asked_for(code):
    """What no check can tell from another thing's name, `plain-name` asks an expression for."""
    every = [c for said in collection(code) for c in changes(said) if c.kind.endswith("name")]
    made = every[::5]
    missed = [f"{c.was} → {c.now} in {c.said.text}" for c in made
              if not noticed(c) and not is_told_as_typed(c) and not is_argued(c)]  # fmt: skip
    assert len(made) > 300
    assert len(missed) <= len(made) / 100, missed


def test_polish_names_are_known_in_every_case():
    """The cases are from a grammar of Polish nouns and adjectives, from memory."""
    kit, lexicon = design().kit, auditor_of(design(), "pl").lexicon
    for part, cases in yaml.safe_load((WORDS / "cases.pl.yml").read_text("utf-8")).items():
        called = kit.part(part)
        for name in cases:
            assert lexicon.stems(name) == lexicon.stems(lexicon.names.one(called)), name


@pytest.mark.parametrize("code", ["en", "de", "pl"])
def test_correct_prose_misnames_nothing(code):
    wrong = [(s.text, m.found) for s in collection(code) for m in misnamed(s)]
    assert wrong == []


@pytest.mark.parametrize(
    "code, step, text, found",
    [
        ("en", "4", "Lay the gear on the hub.", "'gear'"),
        ("en", "4", "Lay the cog on the hub.", "'cog'"),
        ("en", "4", "Drive the bolts.", "'bolts'"),
        ("en", "5", "Drive the grub screw.", "'grub screw'"),
        ("en", "5", "Slide the Earth tube over the post.", "'tube'"),
        ("en", "5", "Slide the Mars hub on.", "'Mars hub'"),
        ("en", "5", "It shows mars.", "'mars'"),
        ("en", "5", "It turns round the earth.", "'earth'"),
        ("en", "2", "Press in the Mars pipe.", "'Mars pipe'"),
        ("en", "2", "Press the post in to the {{ item('mars') }}.", "'Mars pipe'"),
        ("de", "4", "Drehen Sie die Bolzen ein.", "'bolzen'"),
        ("de", "5", "Drehen Sie die Madenschraube ein.", "'madenschraube'"),
        ("pl", "4", "Wciśnij zębatkę.", "'zębatkę'"),
    ],
)
def test_another_name_is_found(code, step, text, found):
    told = [one.found for one in misnamed(Said(code, "drive", step, text))]
    assert len(told) == 1 and told[0].startswith(found), told


@pytest.mark.parametrize(
    "code, at, text, said",
    [
        # What is put somewhere is put there by the step's facts (tests/basekit/bench/stages).
        ("en", "drive 5", "Slide the Mars pipe over the post.", "Mars pipe"),
        ("en", "drive 3", "Press the M3 × 8 set screw on.", "M3 × 8 set screw"),
        (
            "en",
            "drive 3",
            "Press on the 19-tooth wheel, then the 29-tooth wheel.",
            "29-tooth wheel",
        ),
        ("en", "drive 3", "Press the 19-tooth wheel on last.", "19-tooth wheel"),
        # Two names, and what stands between them (tests/basekit/bench/mechanism.yml).
        ("en", "drive 5", "Slide the Earth pipe over the lay arbor.", "lay arbor"),
        ("en", "drive 5", "The 29-tooth wheel drives the 20-tooth bevel wheel.", "20-tooth bevel"),
        ("en", "drive 6", "Drive the M3 × 8 set screw of the lay arbor.", "lay arbor"),
        ("en", "planets 3", "Three M2.5 × 6 screws hold the moon pinion.", "moon pinion"),
        # One name, and what it cannot be or do.
        (
            "en",
            "drive 6",
            "The M3 × 8 set screw turns by 450° for one turn of the crank.",
            "M3 × 8",
        ),
        ("en", "drive 5", "Put one drop of lay spacer on the post.", "lay spacer"),
        ("en", "planets 3", "The Moon spacer has eleven teeth.", "Moon spacer"),
        ("en", "drive", "The lay spacer carries everything.", "lay spacer"),
        # What a thing has, and which way it turns: the lay meshes with the Earth's wheel, and the
        # Earth goes the way of the sky, anticlockwise.
        ("en", "drive 2", "The shoulder of the base plate sits down.", "base plate"),
        ("en", "drive 6", "The lay arbor turns anticlockwise, seen from above.", "lay arbor"),
        ("en", "planets 3", "One base plate holds the hub.", "base plate"),
        ("en", "drive 2", "The base plate stands upright.", "base plate"),
        # What an instruction does to what is there already.
        ("en", "drive 5", "Oil the lay arbor.", "lay arbor"),
        ("en", "drive 5", "Let its teeth find those of the 19-tooth wheel.", "19-tooth wheel"),
        ("en", "drive 2", "Turn the base plate until it drops in.", "base plate"),
        ("en", "drive 2", "Turn the Mars pipe until it drops in.", "Mars pipe"),
        ("en", "drive 3", "Press the lay arbor on.", "lay arbor"),
        ("en", "planets 3", "Slide the ball on the Mars pipe.", "Mars pipe"),
        ("en", "planets 3", "Put a drop of glue on the end of the post.", "post"),
        ("en", "planets 3", "Push the moon ball on, flush with the end of the post.", "post"),
        ("en", "drive 2", "Drop a 6 mm washer over the Earth pipe.", "Earth pipe"),  # bored 6.1 mm
        ("de", "planets 3", "Ein Fuß hält die Nabe.", "Fuß"),
        ("de", "planets 1", "Pressen Sie das Marsrohr auf.", "Marsrohr"),
        # What is named together has to do with each other.
        ("en", "drive 3", "A foot keeps the 20-tooth bevel wheel clear of the base plate.", "20-"),
        ("en", "drive 5", "The 29-tooth wheel rubs on the foot.", "foot"),
        ("de", "drive 5", "Das 29-Zahn-Rad schleift am Fuß.", "29-Zahn-Rad"),
        ("de", "drive 2", "Der Absatz der Grundplatte sitzt auf.", "Grundplatte"),
        ("de", "drive 6", "Die Vorgelegewelle dreht sich gegen den Uhrzeigersinn.", "Vorgelege"),
        ("de", "drive 5", "Ölen Sie die Vorgelegewelle.", "Vorgelegewelle"),
        ("de", "drive 5", "Das Erdrohr läuft auf dem M3 × 8-Gewindestift.", "M3 × 8-Gewinde"),
        ("de", "drive 4", "Legen Sie das Erdnabe auf die Bank.", "das Erdnabe"),
        ("pl", "drive 5", "Koło 29-zębowe napędza wkręt dociskowy M3 × 8.", "wkręt dociskowy"),
        # What a thing is put on is there by then, and is its own shaft; what holds may come last.
        ("pl", "drive 5", "Na wałek pośredni nasuń rurkę Ziemi.", "wałek pośredni"),
        ("pl", "drive 5", "Nasuń piastę Ziemi na słupek.", "słupek"),
        ("pl", "planets 1", "Nasuń podkładkę 8 mm na ramię Ziemi.", "ramię Ziemi"),
        ("pl", "drive 5", "Piastę trzyma jeden olej zegarmistrzowski.", "olej"),
        ("pl", "planets 1", "Zdejmij piastę Ziemi.", "piastę Ziemi"),
        ("pl", "planets 3", "Kulkę Księżyca przyklej do piasty Księżyca.", "piasty Księżyca"),
        (
            "pl",
            "drive 3",
            "Między kołem 29-zębowym a kołem 19-zębowym leży tulejka dolna.",
            "tulejka dolna",
        ),
        ("en", "drive 5", "Slide the Earth hub on the post.", "post"),
    ],
)
def test_a_thing_that_cannot_be_what_is_said_of_it_is_found(code, at, text, said):
    stage, _, step = at.partition(" ")
    told = [one.found for one in misnamed(Said(code, stage, step, text))]
    assert any(one.startswith(f"'{said}") for one in told), told


@pytest.mark.parametrize(
    "text, found",
    [
        # The lay arbor stands on an axis of its own; the Moon hub goes on last, above the washer
        # (tests/basekit/bench/mechanism.yml: post, end-stack).
        (
            "Slide the Earth pipe down the post to the lay arbor.",
            ["'lay arbor', which is not on the other"],
        ),
        (
            "Slide the 6 mm washer down the post to the Moon hub.",
            ["'Moon hub', on which the step puts nothing"],
        ),
        ("Slide the Moon hub down the post to the 6 mm washer.", []),
    ],
)
def test_a_thing_slides_along_a_shaft_to_what_is_on_it(text, found):
    assert [one.found for one in misnamed(Said("en", "drive", "5", text))] == found


@pytest.mark.parametrize(
    "text",
    [
        "The crank shaft turns.",  # a name of the kit that has a word for arbors in it
        "The post stands on the base plate.",
        "A moon goes round a planet.",
    ],
)
def test_the_names_of_the_kit_pass(text):
    assert misnamed(Said("en", "drive", "6", text)) == []


def test_names_that_a_part_must_not_have(tmp_path):
    found = surveyed(
        tmp_path,
        [
            {
                "file": "parts.yml",
                "find": "name: lay arbor,",
                "put": "name: lay arbor, also: [jack],",
            },
            {
                "file": "stages/drive.md",
                "find": "## Build the lay arbor",
                "put": "## Build the jack",
            },
        ],
    )
    (line,) = [line for line in lines(found) if "word-name" in line]
    assert "'jack'; expected 'lay arbor', as the kit calls it" in line


def test_an_item_named_in_place_of_another_is_noticed():
    """A sample; `python tests/break_words.py --content content` makes every such change."""
    made = missed = 0
    for kit in survey(REPO, REPO / "content").kits:
        for _, step, was, now, changed in list(item_changes(kit.kit))[::45]:
            made += 1
            if not kit_noticed(changed, kit.design):
                missed += 1
                print(step.id, was, now)
    assert made > 8 and missed == 0
