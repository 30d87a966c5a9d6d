"""The wheel by itself: installed in a fresh environment, it builds a site outside this repo."""

from __future__ import annotations

import shutil
import subprocess
import sys
import venv
from pathlib import Path

import pytest

REPO = Path(__file__).parent.parent


def run(*command: str | Path, cwd: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run([*map(str, command)], cwd=cwd, capture_output=True, text=True)


@pytest.fixture(scope="module")
def python(tmp_path_factory) -> Path:
    """The interpreter of an environment that holds the wheel and what it asks for."""
    folder = tmp_path_factory.mktemp("fresh")
    made = run(
        sys.executable, "-m", "pip", "wheel", "--no-deps", "-q", "-w", folder, REPO, cwd=folder
    )
    assert made.returncode == 0, made.stderr
    (wheel,) = folder.glob("kitdocs-*.whl")
    venv.create(folder / "env", with_pip=True)
    python = folder / "env" / "bin" / "python"
    install = run(python, "-m", "pip", "install", "-q", "-c", REPO / "lock.txt", wheel, cwd=folder)
    assert install.returncode == 0, install.stderr
    return python


def test_a_site_is_built_from_the_wheel(python, tmp_path):
    shutil.copytree(REPO / "content" / "tellurion", tmp_path / "docs" / "tellurion")
    settings = "site_name: Elsewhere\ntheme: {name: material, font: false}\nplugins: [kitdocs]\n"
    (tmp_path / "mkdocs.yml").write_text(settings, encoding="utf-8")
    built = run(python, "-m", "mkdocs", "build", "--strict", cwd=tmp_path)
    assert built.returncode == 0, built.stderr
    page = (tmp_path / "site" / "tellurion" / "trains" / "index.html").read_text("utf-8")
    assert "29.53" in page  # days of the Moon's synodic month
    assert not (tmp_path / "site" / "tellurion" / "parts.yml").exists()


def test_the_command_checks_the_same_kit(python, tmp_path):
    shutil.copytree(REPO / "content" / "tellurion", tmp_path / "kits" / "tellurion")
    checked = run(python.parent / "kitdocs", "check", "kits", cwd=tmp_path)
    assert checked.returncode == 0, checked.stdout + checked.stderr
    assert checked.stdout.strip() == "0 errors, 0 warnings in tellurion"


def test_publishers_templates_come_first(python, tmp_path):
    shutil.copytree(REPO / "content" / "tellurion", tmp_path / "docs" / "tellurion")
    settings = "site_name: Elsewhere\ntheme: {name: material, font: false}\nplugins: [kitdocs]\n"
    (tmp_path / "mkdocs.yml").write_text(settings, encoding="utf-8")
    own = tmp_path / "site_templates" / "pages"
    own.mkdir(parents=True)
    (own / "deliveries.md.j2").write_text("# Our parcels\n", encoding="utf-8")
    built = run(python, "-m", "mkdocs", "build", cwd=tmp_path)
    assert built.returncode == 0, built.stderr
    page = (tmp_path / "site" / "tellurion" / "deliveries" / "index.html").read_text("utf-8")
    assert "Our parcels" in page
