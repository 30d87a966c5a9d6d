"""Reading: what stays text, what becomes a number, how far a file may go, and the digest."""

from __future__ import annotations

import shutil
from fractions import Fraction
from pathlib import Path

import pytest
from changed_kit import BASE, change, copy_base, surveyed
from kits import good_kit, make_kit

from kitdocs.finding import Place
from kitdocs.kit.designation import parse_designation, parse_thread
from kitdocs.kit.reader import read_kit
from kitdocs.kit.yaml_reader import read_yaml
from kitdocs.survey import survey

START = Place("a.yml")


# YAML 1.1 reads these as 750, 10, False, 2.1, 1000.0 and a date (PyYAML's documentation).
@pytest.mark.parametrize("text", ["12:30", "012", "no", "on", "2.10", "1e3", "2025-11-03", "0x1F"])
def test_a_scalar_stays_the_text_that_was_written(text: str) -> None:
    assert read_yaml(f"key: {text}\n", START).data == {"key": text}
    assert read_yaml(f"{text}: key\n", START).data == {text: "key"}


def test_places_count_lines_and_columns_from_one() -> None:
    data = read_yaml("a:\n  - {b: c}\n", START).data
    assert data.places["a"] == Place("a.yml", 2, 3)
    assert data["a"][0].places["b"] == Place("a.yml", 2, 9)
    assert data["a"][0].keys_at["b"] == Place("a.yml", 2, 6)


def test_a_decimal_is_kept_exactly(tmp_path: Path) -> None:
    kit = good_kit(tmp_path)
    assert kit.about.time.days == Fraction(36525, 100)


@pytest.mark.parametrize(
    "text",
    [
        "a: &a [x, x]\n" + "".join(f"k{i}: [*a, *a, *a, *a]\n" for i in range(50)),
        "[" * 5000,
        "{a: " * 5000,
        "- " * 5000,
        "a: " + "x" * 5_000_000,
        "? " * 3000,
    ],
    ids=["aliases", "brackets", "braces", "dashes", "giant", "keys"],
)
def test_what_would_take_for_ever_is_refused(text: str) -> None:
    read = read_yaml(text, START)
    assert read.data is None and len(read.findings) == 1


def test_a_giant_file_is_refused_by_its_size(tmp_path: Path) -> None:
    giant = {"repeat": "# x\n", "times": 1_500_000}
    found = surveyed(tmp_path, [{"file": "kit.yml", "new": giant}])
    assert [f.rule for f in found.findings] == ["file-read", "not-run"]


def test_all_findings_of_all_files_come_in_one_run(tmp_path: Path) -> None:
    changes = [
        {"file": "kit.yml", "find": "maker:", "put": "makr:"},
        {"file": "parts.yml", "find": "teeth: 43", "put": "teeth: x"},
        {"file": "parts.yml", "find": "teeth: 53", "put": "teeth: y"},
        {"file": "mechanism.yml", "find": "at: [0, 0]", "put": "at: [0, a]"},
        {"file": "deliveries.yml", "find": "month: 1", "put": "month: one"},
    ]
    places = [f.place.path for f in surveyed(tmp_path, changes).findings if f.severity != "note"]
    assert [Path(p).name for p in places] == [
        "deliveries.yml", "kit.yml", "mechanism.yml", "parts.yml", "parts.yml"
    ]  # fmt: skip


# ISO 261 writes a fine pitch after the diameter; 7045 and 4026 are product standards.
@pytest.mark.parametrize(
    ("text", "standard", "thread", "length"),
    [
        ("M2.5x6", "", "M2.5", "6"),
        ("M2.5 × 6", "", "M2.5", "6"),
        ("m2.5*6.0", "", "M2.5", "6"),
        ("ISO 7045 - M2.5 x 6", "ISO 7045", "M2.5", "6"),
        ("ISO4026 M3X4", "ISO 4026", "M3", "4"),
        ("M3 x 0.35 x 6", "", "M3x0.35", "6"),
        ("ISO 7089 M3", "ISO 7089", "M3", ""),
        ("M10 x 20", "", "M10", "20"),
    ],
)
def test_spellings_of_a_designation(text: str, standard: str, thread: str, length: str) -> None:
    parsed = parse_designation(text)
    assert (parsed.standard, parsed.thread, parsed.length) == (standard, thread, length)


@pytest.mark.parametrize(
    "text", ["M2,5x6", "M2.5-6", "M2.5 х 6", "M２ x 6", "2.5 x 6", "M2.5 x", "", "DIN M3 x 4"]
)
def test_what_is_no_designation(text: str) -> None:
    assert parse_designation(text) is None


def test_a_thread_has_one_spelling() -> None:
    assert parse_thread("M3 x 0.35") == parse_thread("M3×0.35") == "M3x0.35"
    assert parse_thread("M2.50") == "M2.5"
    assert parse_thread("M3 x 6") is None, "a pitch is never that coarse: this is a screw"


def test_a_page_that_cannot_be_read_leaves_the_kit_standing(tmp_path: Path) -> None:
    changes = [{"file": "extra.md", "new": {"bytes": "ff"}}]
    found = surveyed(tmp_path, changes)
    assert found.kits[0].kit is not None
    assert [f.rule for f in found.findings] == ["file-read"]


def test_a_folder_that_is_called_like_a_file(tmp_path: Path) -> None:
    folder = tmp_path / "content" / "odd"
    (folder / "kit.yml").mkdir(parents=True)
    read = read_kit(tmp_path, folder)
    assert read.kit is None and {f.rule for f in read.findings} == {"file-read"}


def test_a_kit_at_the_root_of_the_content(tmp_path: Path) -> None:
    folder = copy_base(tmp_path)
    assert read_kit(tmp_path, folder, folder).folder == ""


def digest(site: Path, *changes: dict) -> str:
    folder = copy_base(site)
    change(folder, changes)
    kit = read_kit(site, folder).kit
    assert kit is not None
    return kit.digest


PARTS = "parts.yml"


@pytest.mark.parametrize(
    "changes",
    [
        [{"file": PARTS, "find": "\n", "put": "\r\n", "every": True}],
        [{"file": PARTS, "find": "parts:\n", "put": "# a comment\n\nparts:   # another\n"}],
        [{"file": PARTS, "find": "kind: plate, width", "put": 'kind: "plate",   width'}],
        [{"file": PARTS, "find": "parts:\n", "put": "\ufeffparts:\n"}],
        [{"file": "stages/drive.md", "find": "Glue the feet", "put": "Glue on the feet"}],
        [{"file": "stages/drive.md", "find": "\n", "put": "\r\n", "every": True}],
    ],
    ids=["crlf", "comments", "layout", "bom", "words", "page-crlf"],
)
def test_the_digest_is_of_the_facts_and_not_of_their_layout(tmp_path: Path, changes: list) -> None:
    assert digest(tmp_path / "a") == digest(tmp_path / "b", *changes)


@pytest.mark.parametrize(
    "changed",
    [
        {"file": PARTS, "find": "teeth: 43", "put": "teeth: 44"},
        {"file": "mechanism.yml", "find": "holes: [1, 3, 5]", "put": "holes: [1, 5, 3]"},
        {"file": "deliveries.yml", "find": "month: 2", "put": "month: 3"},
        {"file": "kit.yml", "find": '"1.0"', "put": '"1.1"'},
        {"file": "stages/drive.md", "find": "turns: 2}", "put": "turns: 3}"},
        {"file": "stages/drive.md", "find": "minutes: 60", "put": "minutes: 61"},
    ],
    ids=["teeth", "order", "month", "revision", "step", "front"],
)
def test_the_digest_changes_with_a_fact(tmp_path: Path, changed: dict) -> None:
    assert digest(tmp_path / "a") != digest(tmp_path / "b", changed)


def test_a_kit_inside_the_folder_of_another_keeps_its_own_pages(tmp_path: Path) -> None:
    folder = copy_base(tmp_path)
    shutil.copytree(BASE, folder / "inner")
    found = survey(tmp_path, tmp_path / "content")
    assert [kit.id for kit in found.kits] == ["bench", "inner"]
    assert found.kits[0].kit.pages == ()
    assert found.findings == []


def test_two_kits_of_one_name(tmp_path: Path) -> None:
    make_kit(tmp_path, name="a/same")
    make_kit(tmp_path, name="b/same")
    from_both = survey(tmp_path, tmp_path / "content").findings
    assert [f.rule for f in from_both if f.severity == "error"].count("yaml-duplicate") == 1
