"""What may import what, and what `kitdocs check` must not load."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest
from changed_kit import BASE

PACKAGE = Path(__file__).parent.parent / "kitdocs"
#: From the ground up; the survey of a site is what pages and the command are made from.
ROOMS = ("sky", "kit", "mechanism", "assembly", "words", "rules", "survey", "pages", "revising")
MODULES = sorted(PACKAGE.rglob("*.py"))
FREE = {"finding"}


def imports(file: Path) -> list[str]:
    """The modules that a file imports anywhere in it, by their full names."""
    found: list[str] = []
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found += [name.name for name in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute, so that a reader sees the room"
            found += [f"{node.module}.{name.name}" for name in node.names]
    return found


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_imports_only_from_rooms_above_it(room: str) -> None:
    allowed = {*ROOMS[: ROOMS.index(room) + 1], *FREE}
    alone = PACKAGE / f"{room}.py"
    for file in [alone] if alone.exists() else sorted((PACKAGE / room).rglob("*.py")):
        own = [name.split(".") for name in imports(file) if name.startswith("kitdocs.")]
        strangers = {name[1] for name in own} - allowed
        assert not strangers, f"{file.relative_to(PACKAGE)} imports from {strangers}"


def test_only_the_plugin_imports_mkdocs() -> None:
    users = {
        file.relative_to(PACKAGE).parts[0]
        for file in MODULES
        if any(name.split(".")[0] == "mkdocs" for name in imports(file))
    }
    assert users <= {"plugin.py", "mkdocs_site"}


def test_checking_loads_nothing_that_draws_or_builds() -> None:
    code = (
        "import sys; from kitdocs.cli import main; "
        f"code = main(['check', {str(BASE.parent)!r}]); "
        "print(code, sorted({m.split('.')[0] for m in sys.modules} & "
        "{'matplotlib', 'numpy', 'mkdocs', 'markdown', 'babel'}))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=PACKAGE.parent
    )
    assert done.stdout.splitlines()[-1] == "0 []", done.stdout
