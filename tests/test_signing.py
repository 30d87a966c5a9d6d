"""Signing: what the digest covers, how the signature is written, what a release refuses.

The demands are this project's own (the design record of the brief and `rules.md`, Record).
"""

from __future__ import annotations

from pathlib import Path

import pytest
from changed_kit import KIT, change, copy_base

from kitdocs.cli import main
from kitdocs.kit.reader import read_kit
from kitdocs.kit.signing import sign, sign_folder, signature
from kitdocs.survey import survey


def kit_in(folder: Path):
    read = read_kit(folder.parent.parent, folder)
    assert read.kit is not None, read.findings
    return read.kit


def digest_after(folder: Path, *changes: dict) -> str:
    change(folder, changes)
    return kit_in(folder).digest


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return copy_base(tmp_path)


@pytest.mark.parametrize(
    "same",
    [
        {"file": "parts.yml", "find": "parts:\n", "put": "# a note\nparts:\n"},
        {"file": "parts.yml", "find": "foot, outside: 20, length: 18,",
         "put": "foot, length:   18.0, outside: 20,"},
        {"file": "kit.yml", "find": 'revision: "1.0"', "put": "revision: 1.0"},
        {"file": "kit.yml", "find": "title: Bench Orrery\n", "put": ""},
        {"file": "mechanism.yml", "find": "fixed: true, stack: [{foot-a",
         "put": "fixed: true, end-stack: [], stack: [{foot-a"},
    ],
)  # fmt: skip
def test_digest_does_not_count_spelling_comments_or_the_order_of_keys(folder, same):
    before = kit_in(folder).digest
    changes = [same]
    if same["find"].startswith("title"):  # the key moves to the end of the file
        text = (folder / "kit.yml").read_text("utf-8")
        changes = [{"file": "kit.yml", "new": text.replace(same["find"], "") + same["find"]}]
    assert digest_after(folder, *changes) == before


@pytest.mark.parametrize(
    "other",
    [
        {"file": "parts.yml", "find": "20, length: 18,", "put": "20, length: 19,"},
        {"file": "kit.yml", "find": 'revision: "1.0"', "put": 'revision: "1.1"'},
        {"file": "mechanism.yml", "find": "distance: 28.84", "put": "distance: 28.85"},
        {"file": "stages/drive.md", "find": "minutes: ", "put": "minutes: 1"},
    ],
)  # fmt: skip
def test_digest_counts_facts(folder, other):
    before = kit_in(folder).digest
    assert digest_after(folder, other) != before


def test_the_order_of_the_parcels_is_a_fact(folder):
    before = kit_in(folder).digest
    text = (folder / "deliveries.yml").read_text("utf-8")
    first, second = text.index("  first:"), text.index("  second:")
    swapped = text[:first] + text[second:].rstrip("\n") + "\n" + text[first:second]
    assert digest_after(folder, {"file": "deliveries.yml", "new": swapped}) != before


def test_signing_does_not_change_the_digest(folder):
    before = kit_in(folder).digest
    assert sign_folder(folder.parent.parent, folder, "A. Turner", "2026-11-20") == []
    kit = kit_in(folder)
    assert kit.digest == before and signature(kit) == "signed"
    assert (kit.about.signed.by, kit.about.signed.on) == ("A. Turner", "2026-11-20")
    assert len(kit.about.signed.digest) >= 12 and before.startswith(kit.about.signed.digest)


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize(
    "there",
    [
        "",
        "signed: {by: Old, on: 2020-01-01, digest: 0123456789ab}\n",
        "signed:\n  by: Old\n  # who it was\n  on: 2020-01-01\n\n  digest: 0123456789ab\n",
        "signed: {by: Old,\n  on: 2020-01-01,\n  digest: 0123456789ab\n}\n",
    ],
)
def test_the_rest_of_the_file_stays_byte_for_byte(end, there):
    head, tail = "\ufeff# first\ntitle:  Odd   # note\n", "\n# after\nmaker: 'x'  \n"
    text = (head + there + tail).replace("\n", end)
    line = 'signed: {by: "Zoë \\"Z\\" Ω", on: 2026-11-20, digest: abcdef0123456789}\n'
    expected = head + line + tail if there else head + tail + line
    assert sign(text, 'Zoë "Z" Ω', "2026-11-20", "abcdef0123456789ffff") == expected.replace(
        "\n", end
    )
    again = sign(expected.replace("\n", end), 'Zoë "Z" Ω', "2026-11-20", "abcdef0123456789ffff")
    assert again == expected.replace("\n", end)


def test_a_file_without_a_last_line_end_gets_one():
    assert sign("title: x", "A", "2026-11-20", "0" * 64).startswith("title: x\nsigned: {")


def test_a_file_that_takes_no_line_is_left_as_it_was(folder):
    text = (folder / "kit.yml").read_text("utf-8")
    (folder / "kit.yml").write_text(text + "...\n", "utf-8")
    assert kit_in(folder)
    findings = sign_folder(folder.parent.parent, folder, "A", "2026-11-20")
    assert findings
    assert (folder / "kit.yml").read_text("utf-8") == text + "...\n"


@pytest.mark.parametrize(
    ("block", "told"),
    [
        ("{by: A, on: 2026-02-30, digest: 0123456789ab}", "a date"),
        ("{by: A, on: 20261120, digest: 0123456789ab}", "a date"),
        ("{by: A, on: 2026-11-20, digest: 0123456789}", "12 to 64"),
        ("{by: A, on: 2026-11-20, digest: 0123456789aG}", "12 to 64"),
        ("{by: A, on: 2026-11-20}", "'digest'"),
    ],
)
def test_a_signature_that_cannot_be_one_is_a_finding(folder, block, told):
    with (folder / "kit.yml").open("a", encoding="utf-8") as file:
        file.write(f"signed: {block}\n")
    read = read_kit(folder.parent.parent, folder)
    assert read.kit is None
    assert any(told in str(f) and f.place.path.endswith("kit.yml") for f in read.findings)


def test_only_a_release_wants_a_signature(folder):
    root, content = folder.parent.parent, folder.parent
    assert not [f for f in survey(root, content).findings if f.rule == "design-signed"]
    (found,) = [f for f in survey(root, content, release=True).findings]
    assert (found.rule, found.severity) == ("design-signed", "error")
    sign_folder(root, folder, "A. Turner", "2026-11-20")
    assert survey(root, content, release=True).findings == []


def test_a_release_of_a_changed_model_is_refused_at_the_digest(folder):
    root, content = folder.parent.parent, folder.parent
    sign_folder(root, folder, "A. Turner", "2026-11-20")
    change(folder, [{"file": "kit.yml", "find": "on a small bench stand", "put": "on a stand"}])
    (found,) = survey(root, content, release=True).findings
    assert "changed since A. Turner signed it on 2026-11-20" in found.found
    lines = (folder / "kit.yml").read_text("utf-8").splitlines()
    assert lines[found.place.line - 1].startswith("signed:")
    assert lines[found.place.line - 1][found.place.column - 1 :].startswith(
        kit_in(folder).about.signed.digest
    )


def test_the_command_signs_and_the_check_of_a_release_passes(folder, capsys, monkeypatch):
    content = str(folder.parent)
    assert main(["check", "--release", content]) == 1
    assert main(["sign", KIT, "--by", "A. Turner", "--content", content]) == 0
    assert "signed by A. Turner" in capsys.readouterr().out
    assert main(["check", "--release", content]) == 0


def test_the_command_does_not_sign_what_fails(folder, capsys):
    change(folder, [{"file": "mechanism.yml", "find": "distance: 28.84", "put": "distance: 29.84"}])
    before = (folder / "kit.yml").read_bytes()
    assert main(["sign", KIT, "--by", "A", "--content", str(folder.parent)]) == 1
    assert "is not signed" in capsys.readouterr().out
    assert (folder / "kit.yml").read_bytes() == before
    assert main(["sign", "benhc", "--by", "A", "--content", str(folder.parent)]) == 2
    assert f"'{KIT}'" in capsys.readouterr().err
