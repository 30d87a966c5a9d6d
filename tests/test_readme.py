"""What the README tells a newcomer to do works as it stands."""

from __future__ import annotations

import re
from pathlib import Path

from kitdocs.survey import survey

REPO = Path(__file__).parent.parent


def test_the_walk_makes_a_kit_without_findings_and_its_mistake_is_found(tmp_path):
    text = (REPO / "README.md").read_text("utf-8")
    blocks = re.findall(r'^(`{3,})\w+ title="([^"]+)"\n(.*?)^\1$', text, re.M | re.S)
    assert len(blocks) == 6
    for _, name, body in blocks:
        file = tmp_path / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(body, encoding="utf-8")
    found = survey(tmp_path, tmp_path / "content")
    assert [str(f) for f in found.findings] == []
    assert [kit.id for kit in found.kits] == ["desk-mars"]

    parts = tmp_path / "content" / "desk-mars" / "parts.yml"
    changed = parts.read_text("utf-8").replace("teeth: 47", "teeth: 48")
    line = changed[: changed.index("teeth: 48")].count("\n") + 1
    parts.write_text(changed, encoding="utf-8")
    findings = survey(tmp_path, tmp_path / "content").findings
    assert "mesh-distance" in {f.rule for f in findings}
    assert any(p.path.endswith("parts.yml") and p.line == line for f in findings for p in f.facts)
