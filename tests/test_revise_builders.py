"""What builders in the middle of a build are told of a revision: all that they must know, and no
more. The cases are changes that designers make; what has to follow from each is our own demand."""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path

import pytest
import yaml
from changed_kit import BASE, KIT, change, copy_base

from kitdocs.cli import main
from kitdocs.pages.charts import ChartCache
from kitdocs.pages.render import shipped_templates
from kitdocs.pages.site import render_site
from kitdocs.survey import KitSurvey, Survey, survey

TO_NEXT = {"file": "kit.yml", "find": 'revision: "1.0"', "put": 'revision: "1.1"'}
DRIVE = "stages/drive.md"
GERMAN = {"file": "kit.yml", "find": "cautions: [", "put": "languages: [en, de]\ncautions: ["}


def put(file: str, find: str, text: str) -> dict:
    return {"file": file, "find": find, "put": text}


def packed(part: str, beside: str) -> list[dict]:
    """A part goes to the parcel of another."""
    line, other = f"      {part}: 1\n", f"      {beside}: 1\n"
    return [put("deliveries.yml", line, ""), put("deliveries.yml", other, other + line)]


#: A part that moves from one parcel to the other.
TO_FIRST = packed("rod-2", "pipe-8")
TO_SECOND = packed("spacer-8", "rod-2")
MORE_TEETH = put("parts.yml", "kind: wheel, teeth: 53", "kind: wheel, teeth: 54")


def section(title: str) -> str:
    """One step of the first stage, as it is written."""
    page = (BASE / DRIVE).read_text("utf-8")
    start = page.index(f"## {title}")
    end = page.find("\n## ", start)
    return page[start : end + 1 if end > 0 else None]


@pytest.fixture
def revised(tmp_path, capsys):
    """The comparison of the base kit with itself changed, as the command prints it in JSON."""

    def made(*edits, words=(), both=()):
        change(copy_base(tmp_path / "old"), both)
        change(copy_base(tmp_path / "new"), [*both, TO_NEXT, *edits])
        call = ["revise", str(tmp_path / "old" / "content"), str(tmp_path / "new" / "content")]
        assert main([*call, "--json", *words]) == 0
        return json.loads(capsys.readouterr().out)

    return made


def steps(found: dict) -> dict[tuple[str, str], list[str]]:
    """What has become of each step, by its stage and its id."""
    return {(s["stage"], x["step"]): x["changes"] for s in found["stages"] for x in s["steps"]}


def test_another_number_alone_changes_no_page(revised):
    found = revised()
    assert not any(found[key] for key in ("facts", "words", "stages", "parcels", "pages"))


def test_a_part_that_is_called_otherwise_asks_nothing(revised):
    found = revised(put("parts.yml", "name: lay arbor", "name: lower arbor"))
    assert [fact["path"] for fact in found["words"]] == ["parts.arbor-6.name"]
    assert not (found["facts"] or found["stages"] or found["parcels"])
    assert DRIVE in [page["page"] for page in found["pages"]]


def test_a_number_of_a_step_that_a_sentence_leads_to_is_no_figure(revised):
    """The second stage says *as in stage 1, step 6*, and a step before it goes."""
    found = revised(put(DRIVE, section("Glue the feet"), ""))
    assert not [step for (stage, step) in steps(found) if stage == "planets"]


def test_the_actions_of_a_step_in_another_order_are_the_same_step(revised):
    edit = put(DRIVE, "press: post\nslide-on: post-washer", "slide-on: post-washer\npress: post")
    assert steps(revised(edit)) == {("drive", "slide-on-post-washer"): ["order"]}


def test_a_step_that_is_parted_in_two_asks_nothing_of_who_has_done_it(revised):
    edit = put(
        DRIVE,
        "make-up: [earth-hub, earth-wheel]\nfasten: earth-wheel",
        "make-up: [earth-hub, earth-wheel]\n```\n\n## Fasten it\n\nDrive them.\n\n```step\n"
        "fasten: earth-wheel",
    )
    found = revised(edit)
    assert steps(found) == {
        ("drive", "make-up-earth-hub"): ["regrouped"],
        ("drive", "fasten-earth-wheel"): ["new", "regrouped"],
    }
    assert not [pair for s in found["stages"] for step in s["steps"] for pair in step["parts"]]


def test_a_step_that_goes_to_another_stage_is_the_same_work(revised):
    glue = section("Glue the feet")
    found = revised(
        put(DRIVE, glue, ""), put("stages/planets.md", "## Add the arm", f"{glue}## Add the arm")
    )
    assert steps(found) == {
        ("drive", "fit-base"): ["dropped", "regrouped"],
        ("planets", "fit-base"): ["new", "regrouped"],
    }


LOOK = "## Look\n\nLook along the post.\n\n```step\ncheck: post\n```\n\n"


def test_a_step_that_only_looks_leaves_nothing_to_undo(revised, tmp_path, capsys):
    found = revised(put(DRIVE, "## Press in the post", f"{LOOK}## Press in the post"))
    assert steps(found) == {("drive", "check-post"): ["new", "looks"]}
    back = ["revise", str(tmp_path / "new" / "content"), str(tmp_path / "old" / "content")]
    assert main([*back, "--json"]) == 0
    gone = json.loads(capsys.readouterr().out)
    assert steps(gone) == {("drive", "check-post"): ["dropped", "looks"]}


def test_oil_that_is_asked_for_no_more_is_left_where_it_is(revised):
    assert steps(revised(put(DRIVE, "{oil: earth, slide-on", "{slide-on"))) == {
        ("drive", "slide-on-earth"): ["looks"]
    }


@pytest.mark.parametrize(
    ("edits", "step", "changes", "pairs"),
    [
        (  # another adhesive, of the same work
            [
                put(
                    "parts.yml",
                    "  clock-oil:",
                    "  lock: {kind: adhesive, name: lock}\n  clock-oil:",
                ),
                put("mechanism.yml", "to: earth, by: epoxy}", "to: earth, by: lock}"),
            ],
            ("planets", "slide-on-mars-top"),
            ["parts"],
            [("epoxy adhesive", "lock")],
        ),
        (  # screws of another length stand beside those that they come instead of
            [
                put("mechanism.yml", "M2.5 x 6, holes: [1, 3, 5]", "M2.5 x 8, holes: [1, 3, 5]"),
                put("parts.yml", "  - ISO 4026 M3", "  - ISO 7045 M2.5 x 8\n  - ISO 4026 M3"),
            ],
            ("drive", "make-up-earth-hub"),
            ["parts"],
            [("three M2.5 × 6 screws", "three M2.5 × 8 screws")],
        ),
        (  # the same screws in other holes
            [put("mechanism.yml", "M2.5 x 6, holes: [1, 3, 5]", "M2.5 x 6, holes: [2, 4, 6]")],
            ("drive", "make-up-earth-hub"),
            ["actions"],
            [],
        ),
        (  # a fact that lists of parts leave out
            [put("parts.yml", "{thread: M3, count: 1}", "{thread: M4, count: 1}")],
            ("drive", "make-up-earth-hub"),
            ["parts"],
            [tuple(f"one hub 8 (thread of the set screw: {size})" for size in ("M3", "M4"))],
        ),
        (  # a name that tells the fact needs it no second time
            [put("parts.yml", "kind: wheel, teeth: 43", "kind: wheel, teeth: 44")],
            ("drive", "make-up-earth-hub"),
            ["parts"],
            [("one 43-tooth wheel", "one 44-tooth wheel")],
        ),
        (  # the order along an arbor, which the same actions make
            [
                put("mechanism.yml", "      - earth-hub: hub-8\n", ""),
                put(
                    "mechanism.yml", "- earth-spacer:", "- earth-hub: hub-8\n      - earth-spacer:"
                ),
            ],
            ("drive", "make-up-earth-hub"),
            ["actions"],
            [],
        ),
    ],
    ids=["adhesive", "longer screws", "other holes", "set screw", "teeth", "upside down"],
)
def test_how_a_thing_is_held_and_made_is_told(revised, edits, step, changes, pairs):
    found = revised(*edits)
    told = {
        (s["stage"], x["step"]): (x["changes"], [(p["before"], p["now"]) for p in x["parts"]])
        for s in found["stages"]
        for x in s["steps"]
    }
    assert told[step] == (changes, pairs)


def test_a_plate_is_made_otherwise_when_an_axis_that_is_fixed_in_it_moves(revised):
    """The post stands in the base plate: its hole moves with it."""
    found = revised(put("mechanism.yml", "post: {at: [0, 0]}", "post: {at: [1, 0]}"))
    pair = "one base plate", "one base plate (holes in another place: post)"
    (parcel,) = [p for p in found["parcels"] if p["delivery"] == "first"]
    assert pair in [(one["before"], one["now"]) for one in parcel["parts"]]
    assert steps(found)["drive", "fit-base"] == ["parts"]


@pytest.mark.parametrize(
    ("edits", "sent", "missing"),
    [
        (TO_FIRST, "first", {"first": True, "second": True}),  # no parcel to come brings it
        (TO_FIRST, "second", {"first": False, "second": False}),  # both are there
        (TO_SECOND, "first", {"first": False, "second": True}),
    ],
)
def test_what_a_builder_lacks_follows_from_all_parcels_that_have_gone_out(
    revised, edits, sent, missing
):
    found = revised(*edits, words=["--sent", sent])
    # Of a parcel that has not gone out nothing is missing that is not packed yet.
    assert {p["delivery"]: p["missing"] for p in found["parcels"]} == missing


def test_stages_and_where_they_stand(revised):
    found = revised(
        put(
            "kit.yml",
            "[stages/drive.md, stages/planets.md]",
            "[stages/planets.md, stages/drive.md]",
        )
    )
    moved = [(s["stage"], s["number"]["before"], s["number"]["now"]) for s in found["stages"]
             if s["number"]]  # fmt: skip
    assert len(moved) == 1 and moved[0] in (("drive", "1", "2"), ("planets", "2", "1"))


def test_a_stage_that_is_built_from_another_parcel_says_so(revised):
    (stage,) = revised(put("stages/planets.md", "delivery: second", "delivery: first"))["stages"]
    assert (stage["parcel"]["before"], stage["parcel"]["now"]) == (
        "Mars and the Moon",
        "Stand and drive",
    )


def test_a_new_caution_is_told_of_the_stages_that_it_comes_to(revised):
    cautious = put("parts.yml", "material: birch ply,", "hazards: [blade], material: birch ply,")
    found = revised(cautious)
    assert {s["stage"]: s["cautions"] for s in found["stages"]} == {"drive": ["blade"]}


def test_a_stage_whose_page_has_another_name_is_the_same_stage(revised):
    found = revised(
        {"file": DRIVE, "rename": "stages/stand.md"},
        put("kit.yml", "stages/drive.md", "stages/stand.md"),
        put("stages/planets.md", "stage('drive')", "stage('stand')"),
        put("stages/planets.md", "step('crank', 'drive')", "step('crank', 'stand')"),
    )
    assert not found["stages"]


def test_a_page_reads_otherwise_when_its_picture_is_another(revised, tmp_path):
    picture = put(DRIVE, "## Glue the feet", "![The feet](feet.png)\n\n## Glue the feet")
    drawn = {"file": "stages/feet.png", "new": "one"}
    found = revised({"file": "stages/feet.png", "new": "another"}, both=[picture, drawn])
    assert DRIVE in [page["page"] for page in found["pages"]]
    assert not (found["facts"] or found["stages"])


def test_two_kits_are_one_document(tmp_path, capsys):
    for site in ("old", "new"):
        folder = copy_base(tmp_path / site)
        (folder.parent / "other").mkdir()
        for file in folder.rglob("*.*"):
            copy = folder.parent / "other" / file.relative_to(folder)
            copy.parent.mkdir(exist_ok=True)
            copy.write_bytes(file.read_bytes())
    change(tmp_path / "new" / "content" / KIT, [TO_NEXT, *TO_FIRST])
    call = ["revise", str(tmp_path / "old" / "content"), str(tmp_path / "new" / "content")]
    assert main([*call, "--json"]) == 0
    assert [one["to"] for one in json.loads(capsys.readouterr().out)] == ["1.1", "1.0"]
    # A kit in which nothing has changed needs no other number for the errata of the first.
    assert main([*call, "--write", "--sent", "first"]) == 0
    assert (tmp_path / "new" / "content" / KIT / "errata.yml").is_file()
    assert not (tmp_path / "new" / "content" / "other" / "errata.yml").exists()


# --- the page


def page(site: Path, folder: Path, language: str | None = None) -> str:
    found = survey(site, site / "content")
    wrong = ("name-unknown", "key-unknown", "value", "yaml-syntax")
    assert [f for f in found.findings if f.rule in wrong] == []
    (kit,) = found.kits
    sound = Survey((KitSurvey(kit.read, kit.design, ()),), ())
    charts = ChartCache(folder / "charts")
    made = render_site(sound, lambda page, to: f"@{to}", [shipped_templates()], charts,
                       language=language).pages[f"{KIT}/errata.md"].markdown  # fmt: skip
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", made)).replace(" .", ".")


def written(tmp_path: Path, *edits, words=(), both=()) -> Path:
    change(copy_base(tmp_path / "old"), both)
    change(copy_base(tmp_path / "new"), [*both, TO_NEXT, *edits])
    call = ["revise", str(tmp_path / "old" / "content"), str(tmp_path / "new" / "content")]
    assert main([*call, "--write", "--on", "2026-12-01", *words]) == 0
    return tmp_path / "new"


def test_the_page_is_in_the_language_of_its_reader(tmp_path):
    longer = put("parts.yml", "length: 3.5, material: brass}", "length: 4.5, material: brass}")
    site = written(tmp_path, longer, words=["--sent", "first"], both=[GERMAN])
    german = page(site, tmp_path, "de")
    assert "Vor dem 1. Dezember 2026 verschickt" in german
    assert "(Länge 3,5 mm). Jetzt: 1 Wellendistanzhülse (Länge 4,5 mm)" in german
    assert "lay spacer" not in german
    assert "one lay spacer (length 3.5" in page(site, tmp_path).replace("\u00a0", " ")


def test_a_stage_that_nobody_can_have_built_is_left_out(tmp_path):
    site = written(tmp_path, MORE_TEETH, words=["--sent", "first"])
    (entry,) = yaml.safe_load((site / "content" / KIT / "errata.yml").read_text())["errata"]
    assert [p["delivery"] for p in entry["parcels"]] == ["second"]
    assert "planets" not in [s["stage"] for s in entry.get("stages", ())]


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ([], "Sent later, it is packed as now."),
        (["--sent", "none"], "it has not been sent yet"),
        (["--sent", "second"], "Ask the maker for what is missing"),
    ],
)
def test_what_is_not_known_of_a_parcel_is_not_claimed(tmp_path, sent, said):
    told = page(written(tmp_path, MORE_TEETH, words=sent), tmp_path)
    assert said in told
    assert ("it has not been sent yet" in told) == (sent == ["--sent", "none"])


def test_a_second_revision_keeps_the_first_and_says_where_to_begin(tmp_path):
    site = written(tmp_path, *TO_FIRST, words=["--sent", "first"])
    first = (site / "content" / KIT / "errata.yml").read_text("utf-8")
    third = copy_base(tmp_path / "third")
    (third / "errata.yml").write_text(first, "utf-8")
    glued = put(DRIVE, section("Glue the feet"), "")
    change(third, [put("kit.yml", 'revision: "1.0"', 'revision: "1.2"'), *TO_FIRST, glued])
    call = ["revise", str(site / "content"), str(tmp_path / "third" / "content"), "--write"]
    assert main([*call, "--on", "2027-01-09"]) == 0
    text = (third / "errata.yml").read_text("utf-8")
    assert text.endswith(first.removeprefix("errata:\n"))
    told = page(tmp_path / "third", tmp_path)
    assert told.index("From revision 1.1 to 1.2") < told.index("From revision 1.0 to 1.1")
    assert "Begin with the one that leads on from your revision" in told


@pytest.mark.parametrize(
    ("before", "fine"),
    [
        ("errata: # the newest first\n  - {from: '0.9', to: '1.0', on: 2026-01-02}\n", True),
        ("errata:\r\n- {from: '0.9', to: '1.0', on: 2026-01-02}\r\n", True),
        ("errata: [{from: '0.9', to: '1.0', on: 2026-01-02}]\n", False),
        ("errata:\n  - {from: '0.9', to: '1.0'\n", False),
    ],
)
def test_an_entry_is_added_to_whatever_stands_there_or_not_at_all(tmp_path, capsys, before, fine):
    copy_base(tmp_path / "old")
    folder = copy_base(tmp_path / "new")
    change(folder, [TO_NEXT, *TO_FIRST])
    file = folder / "errata.yml"
    file.write_bytes(before.encode())
    call = ["revise", str(tmp_path / "old" / "content"), str(tmp_path / "new" / "content")]
    code = main([*call, "--write", "--sent", "first"])
    text = file.read_bytes().decode()
    if not fine:
        assert code != 0 and text == before and capsys.readouterr().err
        return
    assert code == 0
    entries = yaml.safe_load(text)["errata"]
    assert entries[0]["to"] == "1.1"
    assert [e["to"] for e in entries[1:]] == re.findall(r"to: '(.*?)'", before)
    assert ("\r\n" in before) == ("\r\n" in text) and text.count("\r\n") in (0, text.count("\n"))


def test_a_design_with_errors_is_told_of(tmp_path, capsys):
    written(tmp_path, put("deliveries.yml", "      foot: 3\n", "      foot: 2\n"))
    assert "has errors: see `kitdocs check`" in capsys.readouterr().err


def test_a_kit_whose_folder_has_another_name_is_found_by_its_title(tmp_path, monkeypatch, capsys):
    folder = copy_base(tmp_path)
    who = ("-c", "user.name=Test", "-c", "user.email=test@example.org")

    def git(*words: str) -> None:
        subprocess.run(("git", *who, *words), cwd=tmp_path, check=True, capture_output=True)

    (tmp_path / "mkdocs.yml").write_text("docs_dir: content\n")
    git("init", "-q", "-b", "main")
    git("add", ".")
    git("commit", "-qm", "first")
    git("mv", f"content/{KIT}", "content/table")
    git("mv", "content/table/stages/drive.md", "content/table/stages/stand.md")
    changed = folder.parent / "table"
    for file, find, text in (
        ("kit.yml", "stages/drive.md", "stages/stand.md"),
        ("stages/planets.md", "stage('drive')", "stage('stand')"),
        ("stages/planets.md", "step('crank', 'drive')", "step('crank', 'stand')"),
    ):
        change(changed, [put(file, find, text)])
    monkeypatch.chdir(tmp_path)
    assert main(["revise", "HEAD", ".", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert not (found["stages"] or found["parcels"])
    assert {fact["path"] for fact in found["facts"]} <= {"stages", "stages.stand", "stages.drive"}


@pytest.mark.parametrize("words", [["--sent", "third"], ["--kit", "bensch"]])
def test_a_wrong_name_is_answered_with_those_that_there_are(tmp_path, capsys, words):
    copy_base(tmp_path)
    content = str(tmp_path / "content")
    assert main(["revise", content, content, *words]) == 2
    told = capsys.readouterr().err
    assert told.count("\n") == 1 and ("first, second" in told or KIT in told)
