"""A kit from YAML text, for tests: what a test does not say is filled with plain defaults."""

from __future__ import annotations

from pathlib import Path
from textwrap import dedent

from kitdocs.kit.model import Kit
from kitdocs.kit.reader import ReadKit, read_kit

PARTS = "parts: {}\n"

MECHANISM = """\
crank: crank
axes: {crank: {at: [0, 0]}}
arbors: {crank: {axis: crank}}
"""

KIT = """\
title: Test Orrery
revision: "1.0"
maker: Test Workshop
summary: A kit for one test.
time: {arbor: {CRANK}, days: 365.25}
bodies: {}
cautions: [small-parts]
stages: [{STAGES}]
"""


def write_kit(
    tmp_path: Path,
    *,
    mechanism: str = MECHANISM,
    parts: str = PARTS,
    kit: str | None = None,
    deliveries: str = "deliveries: {}\n",
    stages: dict[str, str] | None = None,
    more: str = "",
    name: str = "test-kit",
) -> Path:
    """Write a kit's files under `tmp_path/content` and return its folder.

    `stages` maps file names (`base.md`) to page text; without a `kit` text the default one
    lists them all in that order, counts time by the crank that `mechanism` names, and ends
    with `more`.
    """
    folder = tmp_path / "content" / name
    folder.mkdir(parents=True, exist_ok=True)
    stages = stages or {}
    mechanism = dedent(mechanism)
    if kit is None:
        crank = next(
            (x.split(":", 1)[1].strip() for x in mechanism.splitlines() if x.startswith("crank:")),
            "crank",
        )
        kit = KIT.replace("{CRANK}", crank).replace("{STAGES}", ", ".join(stages)) + more
    texts = {
        "kit.yml": kit,
        "parts.yml": parts,
        "mechanism.yml": mechanism,
        "deliveries.yml": deliveries,
        **stages,
    }
    for file, text in texts.items():
        path = folder / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(dedent(text), encoding="utf-8")
    return folder


def make_kit(tmp_path: Path, **texts) -> ReadKit:
    """Write a kit (see `write_kit`) and read it."""
    return read_kit(tmp_path, write_kit(tmp_path, **texts))


def good_kit(tmp_path: Path, **texts) -> Kit:
    """The kit that the texts make; fails with the findings where they make none."""
    read = make_kit(tmp_path, **texts)
    assert read.kit is not None, "\n".join(map(str, read.findings))
    return read.kit
