"""One name for one thing: other trade words, names of nothing, and things out of place."""

from __future__ import annotations

from pathlib import Path

import pytest
from break_words import item_changes, kit_noticed
from changed_kit import lines, surveyed
from word_sentences import Said, collection, misnamed

from kitdocs.survey import survey

REPO = Path(__file__).parent.parent


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
