"""What `kitdocs revise` says of two revisions, and the errata that builders read."""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path

import pytest
import yaml
from changed_kit import BASE, KIT, change, copy_base
from single_facts import changes

from kitdocs.cli import main
from kitdocs.pages.charts import ChartCache
from kitdocs.pages.render import shipped_templates
from kitdocs.pages.site import render_site
from kitdocs.revising.facts import changed_facts
from kitdocs.revising.steps import Revisions
from kitdocs.survey import KitSurvey, Survey, survey

TO_NEXT = {"file": "kit.yml", "find": 'revision: "1.0"', "put": 'revision: "1.1"'}
#: The Earth wheel is held by two screws where it had three; the parcel holds as many.
TWO_SCREWS = [
    {
        "file": "mechanism.yml",
        "find": "earth-wheel: {to: earth-hub, by: M2.5 x 6, holes: [1, 3, 5]}",
        "put": "earth-wheel: {to: earth-hub, by: M2.5 x 6, holes: [1, 4]}",
    },
    {
        "file": "deliveries.yml",
        "find": "      M2.5 x 6: 3\n      M3 x 8: 3\n",
        "put": "      M2.5 x 6: 2\n      M3 x 8: 3\n",
    },
]


@pytest.fixture
def sides(tmp_path):
    """The base kit twice: the folder of its site as it was, and as it is with changes."""

    def made(*edits):
        copy_base(tmp_path / "old")
        change(copy_base(tmp_path / "new"), edits)
        return tmp_path / "old" / "content", tmp_path / "new" / "content"

    return made


def told(pairs: list[dict]) -> list[tuple]:
    """What was and what is, of each pair."""
    return [(pair["before"], pair["now"]) for pair in pairs]


def compared(capsys, old: Path, new: Path, *words: str) -> dict:
    assert main(["revise", str(old), str(new), "--json", *words]) == 0
    return json.loads(capsys.readouterr().out)


def test_spelling_order_and_comments_are_no_change(sides, capsys):
    text = (BASE / "deliveries.yml").read_text("utf-8")
    lines = text.replace("      foot: 3\n", "").replace("      base-plate: 1\n", "")
    moved = lines.replace("    holds:\n", "    holds:\n      foot: 3 # of beech\n", 1)
    moved = moved.replace("      post-6: 1\n", "      post-6: 1\n      'base-plate': 1\n")
    assert yaml.safe_load(moved) == yaml.safe_load(text)
    old, new = sides({"file": "deliveries.yml", "new": moved})
    assert main(["revise", str(old), str(new)]) == 0
    assert capsys.readouterr().out == "Bench Orrery: 1.0 -> 1.0\n  nothing has changed\n"


def test_a_changed_screw_count_is_told_of_step_parcel_and_pages(sides, capsys):
    old, new = sides(TO_NEXT, *TWO_SCREWS)
    found = compared(capsys, old, new, "--sent", "first")
    paths = {fact["path"] for fact in found["facts"]}
    assert paths == {"held.earth-wheel.holes", "deliveries.first.holds.M2.5 x 6"}
    (stage,) = found["stages"]
    (step,) = stage["steps"]
    assert (stage["stage"], step["step"], step["changes"]) == (
        "drive",
        "make-up-earth-hub",
        ["parts"],
    )
    pair = "three M2.5 × 6 screws", "two M2.5 × 6 screws"
    assert told(step["parts"]) == [pair]
    (parcel,) = found["parcels"]
    assert (parcel["delivery"], parcel["state"], told(parcel["parts"])) == ("first", "sent", [pair])
    assert not parcel["missing"]  # it holds one screw more than is needed now
    pages = {page["page"] for page in found["pages"]}
    assert {"stages/drive.md", "deliveries.md", "fasteners.md"} <= pages


def test_a_part_made_otherwise_is_told_by_what_differs(sides, capsys):
    shorter = {
        "file": "parts.yml",
        "find": "gap-6: {kind: spacer, name: lay spacer, outside: 10, bore: 6.05, length: 3.5",
        "put": "gap-6: {kind: spacer, name: lay spacer, outside: 10, bore: 6.05, length: 3.45",
    }
    found = compared(capsys, *sides(TO_NEXT, shorter))
    pairs = [p for stage in found["stages"] for step in stage["steps"] for p in step["parts"]]
    before, now = "one lay spacer (length 3.5\u00a0mm)", "one lay spacer (length 3.45\u00a0mm)"
    assert told(pairs) == [(before, now)]


def test_a_figure_that_reads_otherwise_asks_nothing_at_the_bench(sides, capsys):
    """The distance of two axes, which a sentence of the step quotes."""
    moved = {"file": "mechanism.yml", "find": "distance: 28.84", "put": "distance: 28.85"}
    found = compared(capsys, *sides(TO_NEXT, moved))
    steps = [step for stage in found["stages"] for step in stage["steps"]]
    assert [step["changes"] for step in steps] == [["figures"]]
    (pair,) = steps[0]["figures"]
    assert "28.84" in pair["before"] and "28.85" in pair["now"]
    assert pair["before"].replace("28.84", "28.85") == pair["now"]


def test_new_and_dropped_steps(sides, capsys):
    page = (BASE / "stages" / "drive.md").read_text("utf-8")
    start, end = page.index("## Fix the wheel"), page.index("## Set the Earth pipe")
    old, new = sides(TO_NEXT, {"file": "stages/drive.md", "new": page[:start] + page[end:]})
    (step,) = compared(capsys, old, new)["stages"][0]["steps"]
    assert (step["step"], step["changes"]) == ("make-up-earth-hub", ["dropped"])
    (back,) = compared(capsys, new, old)["stages"][0]["steps"]
    assert (back["step"], back["changes"]) == ("make-up-earth-hub", ["new"])
    assert ("one 43-tooth wheel", None) in told(step["parts"])
    assert (None, "one 43-tooth wheel") in told(back["parts"])


def test_words_alone_are_no_erratum(sides, capsys):
    words = {
        "file": "stages/drive.md",
        "find": "Press the {{ item('post') }} into",
        "put": "Push the {{ item('post') }} into",
    }
    found = compared(capsys, *sides(words))
    assert found["facts"] == [] and found["stages"] == []
    assert [page["page"] for page in found["pages"]] == ["stages/drive.md"]


CAPTIONS = "WEBVTT\n\n00:00:00.000 --> 00:00:02.000\nThe base plate.\n"


def test_translations_and_captions_of_what_has_changed_are_named(tmp_path, capsys):
    german = {"file": "kit.yml", "find": "cautions: [", "put": "languages: [en, de]\ncautions: ["}
    for site, edits in (("old", []), ("new", [TO_NEXT, *TWO_SCREWS])):
        folder = copy_base(tmp_path / site)
        change(folder, [german])
        for page in ("drive", "planets"):
            (folder / "stages" / f"{page}.vtt").write_text(CAPTIONS)
        (folder / "stages" / "drive.de.md").write_text("---\ntitle: Gestell\n---\n")
        change(folder, edits)
    sides = tmp_path / "old" / "content", tmp_path / "new" / "content"
    # A translated page takes its figures from the model: only captions are typed.
    file = {"path": "stages/drive.vtt", "is_touched": True, "has_changed": False}
    assert compared(capsys, *sides)["beside"] == [file]
    words = {"file": "stages/drive.md", "find": "Press on {{", "put": "Press down {{"}
    change(tmp_path / "new" / "content" / KIT, [words])
    files = {file["path"] for file in compared(capsys, *sides)["beside"] if file["is_touched"]}
    assert files == {"stages/drive.vtt", "stages/drive.de.md"}


def test_what_is_changed_beside_a_stage_by_itself_is_told_as_that(tmp_path, capsys):
    for site in ("old", "new"):
        folder = copy_base(tmp_path / site)
        (folder / "stages" / "drive.vtt").write_text(CAPTIONS.replace("base", site))
    found = compared(capsys, tmp_path / "old" / "content", tmp_path / "new" / "content")
    file = {"path": "stages/drive.vtt", "is_touched": False, "has_changed": True}
    assert found["beside"] == [file] and not found["pages"] and not found["stages"]


def test_everything_that_changes_the_digest_is_told(tmp_path):
    """Against the digest of the model, which is taken over all facts in another way."""
    site = tmp_path / "site"
    folder = copy_base(site)
    before = survey(site, site / "content").kits[0]
    told = 0
    for made in list(changes(BASE))[::23]:
        file = folder / made.file
        text = file.read_text("utf-8")
        file.write_text(text[: made.start] + made.new + text[made.end :], encoding="utf-8")
        after = survey(site, site / "content").kits[0]
        file.write_text(text, encoding="utf-8")
        if after.design is None:
            continue
        facts = changed_facts(before.kit, after.kit)
        steps = Revisions(before.design, after.design).stages()
        done = [s for stage in steps for s in stage.steps if {*s.changes} - {"figures", "parts"}]
        assert bool(facts or done) == (before.kit.digest != after.kit.digest), made
        told += 1
    assert told > 20


@pytest.mark.parametrize(
    "words",
    [
        ["revise", "no-such-revision", "."],
        ["revise", "OLD", "NEW", "--kit", "bensch"],
        ["revise", "OLD", "NEW", "--sent", "third"],
        ["revise", "OLD", "NEW", "--write", "--on", "2026-02-30"],
        ["revise", "OLD", "NEW", "--write"],  # both are revision 1.0
    ],
)
def test_wrong_calls_say_why_in_one_line(sides, capsys, words):
    places = dict(zip(("OLD", "NEW"), map(str, sides(*TWO_SCREWS)), strict=True))
    assert main([places.get(word, word) for word in words]) == 2
    told = capsys.readouterr().err
    assert told.startswith("kitdocs: ") and told.count("\n") == 1


def test_a_kit_that_cannot_be_read_is_told_as_a_check_tells_it(sides, capsys):
    old, new = sides({"file": "parts.yml", "find": "teeth: 43", "put": "teeth: many"})
    assert main(["revise", str(old), str(new)]) == 1
    assert re.search(r"parts\.yml:\d+:\d+: error value: ", capsys.readouterr().err)


def git(folder: Path, *words: str) -> None:
    who = ("-c", "user.name=Test", "-c", "user.email=test@example.org")
    subprocess.run(("git", *who, *words), cwd=folder, check=True, capture_output=True)


def test_git_revisions_are_compared_as_folders_are(tmp_path, monkeypatch, capsys):
    folder = copy_base(tmp_path / "site")
    (tmp_path / "site" / "mkdocs.yml").write_text("docs_dir: content\n")
    git(tmp_path, "init", "-q", "-b", "main")
    git(tmp_path, "add", ".")
    git(tmp_path, "commit", "-qm", "first")
    change(folder, [TO_NEXT, *TWO_SCREWS])
    monkeypatch.chdir(tmp_path / "site")
    with_files = compared(capsys, Path("HEAD"), Path("."))
    git(tmp_path, "commit", "-qam", "second")
    of_both = compared(capsys, Path("HEAD~1"), Path("HEAD"))
    for fact in (*with_files["facts"], *of_both["facts"]):
        fact.pop("place")
    assert of_both == with_files and of_both["stages"]
    assert main(["revise", "HEAD~1", "HEAD", "--write"]) == 2
    assert "name their folder last" in capsys.readouterr().err


def built(site: Path, tmp_path: Path) -> dict[str, str]:
    found = survey(site, site / "content")
    assert [f for f in found.findings if f.rule in ("name-unknown", "key-unknown", "value")] == []
    (kit,) = found.kits
    sound = Survey((KitSurvey(kit.read, kit.design, ()),), ())  # two screws hold no wheel true
    rendered = render_site(
        sound, lambda page, to: f"@{to}", [shipped_templates()], ChartCache(tmp_path / "charts")
    )
    return {uri: page.markdown for uri, page in rendered.pages.items()}


def test_the_errata_are_written_once_and_read_on_their_page(sides, tmp_path, capsys):
    old, new = sides(TO_NEXT, *TWO_SCREWS)
    assert f"{KIT}/errata.md" not in built(old.parent, tmp_path)
    file = new / KIT / "errata.yml"
    file.write_text("# what went wrong\nerrata:\n- {from: '0.9', to: '1.0', on: 2026-01-02}\n")
    call = ["revise", str(old), str(new), "--write", "--on", "2026-11-25", "--sent", "first"]
    assert main(call) == 0
    text = file.read_text("utf-8")
    assert text.startswith("# what went wrong\nerrata:\n")
    assert text.endswith("- {from: '0.9', to: '1.0', on: 2026-01-02}\n")
    assert [entry["to"] for entry in yaml.safe_load(text)["errata"]] == ["1.1", "1.0"]
    capsys.readouterr()
    assert main(call) == 2  # it is there already
    assert file.read_text("utf-8") == text
    page = re.sub(r"\s+", " ", built(new.parent, tmp_path)[f"{KIT}/errata.md"])
    assert "From revision 1.0 to 1.1, 2026-11-25" in page
    assert "If you built this stage before 2026-11-25, do this." in page
    assert f'href="@{KIT}/stages/drive.md#make-up-earth-hub"' in page
    assert "Before: three M2.5 × 6 screws. Now: two M2.5 × 6 screws." in page


def test_an_erratum_of_this_revision_names_what_there_is(tmp_path):
    folder = copy_base(tmp_path)
    (folder / "errata.yml").write_text(
        "errata:\n"
        "  - from: '0.9'\n"
        "    to: '1.0'\n"
        "    on: 2026-01-02\n"
        "    stages:\n"
        "      - stage: drive\n"
        "        title: Stand and drive\n"
        "        steps: [{step: make-up-earth-hup, title: Fix the wheel, changes: [parts]}]\n"
    )
    found = [str(f) for f in survey(tmp_path, tmp_path / "content").findings]
    assert any(
        "errata.yml:8:24: error name-unknown: 'make-up-earth-hup'" in f
        and "'make-up-earth-hub'" in f
        for f in found
    )
