"""The command: what it prints, and the code that it ends with."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import yaml
from changed_kit import BASE, change, copy_base

from kitdocs import __version__
from kitdocs.cli import main
from kitdocs.kit.stage import ACTIONS
from kitdocs.kit.stage_reader import split_page
from kitdocs.rules.registry import all_rules
from kitdocs.sky.periods import known

WRONG = {"file": "parts.yml", "find": "teeth: 43", "put": "teeth: 44"}
#: A part that the kit does not use: a warning.
IDLE = {
    "file": "parts.yml",
    "find": "  hub-6: {",
    "put": "  idle: {kind: ball, diameter: 9}\n  hub-6: {",
}


@pytest.fixture
def site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    copy_base(tmp_path)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_check_passes_a_sound_kit(site: Path, capsys) -> None:
    assert main(["check", "content"]) == 0
    assert capsys.readouterr().out == "0 errors, 0 warnings in bench\n"


def test_check_stops_at_an_error_and_counts(site: Path, capsys) -> None:
    change(site / "content/bench", [WRONG])
    assert main(["check", "content"]) == 1
    *findings, count = capsys.readouterr().out.splitlines()
    assert any(line.startswith("content/bench/") and " error " in line for line in findings)
    errors = sum(" error " in line for line in findings)
    assert count.startswith(f"{errors} error")


def test_a_warning_stops_only_under_strict(site: Path, capsys) -> None:
    change(site / "content/bench", [IDLE])
    assert main(["check", "content"]) == 0
    assert "0 errors, 1 warning in bench" in capsys.readouterr().out
    assert main(["check", "content", "--strict"]) == 1


def test_findings_as_json(site: Path, capsys) -> None:
    change(site / "content/bench", [IDLE])
    assert main(["check", "content", "--json"]) == 0
    (found,) = json.loads(capsys.readouterr().out)
    assert found["rule"] == "part-accounted" and found["severity"] == "warning"
    assert found["place"]["path"] == "content/bench/parts.yml" and found["place"]["line"] > 1
    assert {"found", "expected", "mend", "facts"} <= set(found)


def test_sound_findings_as_json_are_an_empty_list(site: Path, capsys) -> None:
    assert main(["check", "content", "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == []


@pytest.mark.parametrize(
    "line", ["docs_dir: content", "docs_dir: 'content'  # the kits", 'docs_dir: "content"']
)
def test_check_finds_the_content_by_mkdocs_yml(site: Path, line: str, capsys) -> None:
    Path("mkdocs.yml").write_text(f"site_name: X\n{line}\nplugins: [kitdocs]\n", encoding="utf-8")
    assert main(["check"]) == 0
    assert "bench" in capsys.readouterr().out


def test_a_folder_that_is_not_there_is_a_wrong_call(site: Path, capsys) -> None:
    with pytest.raises(SystemExit) as stop:
        main(["check", "nowhere"])
    assert stop.value.code == 2
    assert "nowhere" in capsys.readouterr().err


def test_a_folder_without_kits_is_a_finding(site: Path, capsys) -> None:
    (site / "empty").mkdir()
    assert main(["check", "empty"]) == 1
    assert "no kit.yml" in capsys.readouterr().out


def test_paths_are_from_the_folder_that_the_command_is_called_in(site: Path, capsys) -> None:
    change(site / "content/bench", [WRONG])
    main(["check", str(site / "content")])
    assert str(site) not in capsys.readouterr().out


def test_no_command_is_a_wrong_call(capsys) -> None:
    with pytest.raises(SystemExit) as stop:
        main([])
    assert stop.value.code == 2


def test_version(capsys) -> None:
    with pytest.raises(SystemExit) as stop:
        main(["--version"])
    assert stop.value.code == 0 and __version__ in capsys.readouterr().out


def test_rules_lists_every_rule(capsys) -> None:
    assert main(["rules"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line.split()[0] for line in lines] == [rule.id for rule in all_rules()]


def test_rules_explains_one(capsys) -> None:
    assert main(["rules", "mesh-distance"]) == 0
    told = capsys.readouterr().out
    assert all(word in told for word in ("demands", "formula", "ISO 21771", "example"))


def test_an_unknown_rule_gets_the_nearest(capsys) -> None:
    assert main(["rules", "mesh-distanse"]) == 2
    assert "Did you mean 'mesh-distance'?" in capsys.readouterr().err


def schema(name: str, capsys) -> dict:
    assert main(["schema", name]) == 0
    return json.loads(capsys.readouterr().out)


def test_schema_lists_the_files(capsys) -> None:
    assert main(["schema"]) == 0
    names = capsys.readouterr().out.split()
    assert {"kit.yml", "parts.yml", "mechanism.yml", "deliveries.yml", "stage", "step"} <= set(
        names
    )


@pytest.mark.parametrize("name", ["kit.yml", "parts.yml", "mechanism.yml", "deliveries.yml"])
def test_a_schema_has_the_keys_of_the_file(name: str, capsys) -> None:
    found = schema(name, capsys)
    data = yaml.safe_load((BASE / name).read_text(encoding="utf-8"))
    assert set(found["required"]) <= set(data) <= set(found["properties"])
    assert found["additionalProperties"] is False, "an editor marks an unknown key"


def test_schemas_of_a_stage_page(capsys) -> None:
    page = split_page((BASE / "stages/drive.md").read_text(encoding="utf-8"), "drive.md")
    found = schema("stage", capsys)
    data = yaml.safe_load(page.front)
    assert set(found["required"]) <= set(data) <= set(found["properties"])
    step = schema("step", capsys)["anyOf"][0]["properties"]
    assert set(step) == {"id", *ACTIONS}


def test_the_schema_of_parts_knows_every_kind(capsys) -> None:
    text = json.dumps(schema("parts.yml", capsys))
    parts = yaml.safe_load((BASE / "parts.yml").read_text(encoding="utf-8"))["parts"]
    assert all(f'"{part["kind"]}"' in text for part in parts.values())
    assert '"set-screw"' in text and '"set_screw"' not in text, "keys as they are written"


def test_schemas_can_be_written_to_a_folder(tmp_path: Path, capsys) -> None:
    assert main(["schema", "--into", str(tmp_path / "schemas")]) == 0
    files = sorted((tmp_path / "schemas").iterdir())
    assert len(files) == len(capsys.readouterr().out.splitlines()) >= 6
    assert all(json.loads(file.read_text(encoding="utf-8"))["$schema"] for file in files)


def test_an_unknown_file_has_no_schema(capsys) -> None:
    assert main(["schema", "part.yml"]) == 2
    assert "parts.yml" in capsys.readouterr().err


# 29/43 and 136/11 from the base kit; periods are those of its reference.
@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("moon", ["136/11", "29.5428", "29.5306", "moon-fixed (136) drives moon-pinion (11)"]),
        ("mars", ["687.147", "686.98", "+0.024"]),
        ("earth-wheel", ["43-tooth wheel", "lay-earth", "28.84", "28.8", "grip"]),
        ("lay", ["5/4", "crank-bevel (25) drives drive-bevel (20)"]),
        ("handle", ["step", "fasten"]),
    ],
)
def test_explain(site: Path, name: str, told: list[str], capsys) -> None:
    assert main(["explain", name, "--content", "content"]) == 0
    out = capsys.readouterr().out
    assert not [word for word in told if word not in out], out


def test_explain_what_is_not_there(site: Path, capsys) -> None:
    assert main(["explain", "mars-weel", "--content", "content"]) == 2
    assert "Did you mean 'mars-wheel'?" in capsys.readouterr().err


def test_explain_a_kit_that_cannot_be_read(site: Path, capsys) -> None:
    change(site / "content/bench", [{"file": "parts.yml", "find": "teeth: 43", "put": "teeth: x"}])
    assert main(["explain", "mars", "--content", "content"]) == 1
    assert "parts.yml" in capsys.readouterr().err


def test_explain_periods_lists_them(capsys) -> None:
    assert main(["explain", "periods"]) == 0
    assert all(text in capsys.readouterr().out for text in known()[:1])
