"""The built demo is HTML as the standard has it, by the Nu Html Checker of the W3C (`vnu.jar`).

The checker comes as the npm package `vnu-jar`; it is looked for in `node_modules/` of this folder:
`npm install --no-save --ignore-scripts vnu-jar` puts it there. It runs on Java.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
from demo_site import REPO, built_demo

JAR = REPO / "node_modules" / "vnu-jar" / "build" / "dist" / "vnu.jar"
JAVA = shutil.which("java")

#: A machine without Java or the checker can still run the other tests; .ci/run insists on both.
pytestmark = pytest.mark.skipif(
    (JAVA is None or not JAR.is_file()) and os.environ.get("KITDOCS_HTML_CHECKER") != "required",
    reason="no Java, or no vnu-jar, on this machine",
)

#: What is wrong in the theme's own markup: what the checker says, and the element that it says it
#: of. Both are the theme's to mend.
OF_THE_THEME = {
    # The boxes that open its menus ask Firefox not to tick them again after a reload. It obeys, but
    # the standard has the attribute for other kinds of field only.
    (
        "Attribute “autocomplete” is only allowed when the input type is",
        '<input class="md-toggle" data-md-toggle=',
    ),
    # The head of a table of contents is the label of a box that is missing on the index page of
    # a section (`navigation.indexes`); there the label does nothing, and is shown as a heading.
    (
        "The value of the “for” attribute of the “label” element must be the ID of",
        '<label class="md-nav__title" for="__toc">',
    ),
}


def told_of(*files: Path) -> list[dict[str, Any]]:
    """Errors and warnings of the checker about files, or about all pages of a folder."""
    command = [JAVA, "-Xss4m", "-jar", JAR, "--format", "json", "--stdout", "--skip-non-html"]
    done = subprocess.run([*command, *files], capture_output=True, encoding="utf-8")
    messages = json.loads(done.stdout)["messages"]
    assert done.returncode == 0 or messages, done.stderr
    return [m for m in messages if m["type"] == "error" or m.get("subType") == "warning"]


def of_the_theme(message: dict[str, Any]) -> tuple[str, str] | None:
    """The fault of the theme that a message tells of."""
    said, element = message["message"], message.get("extract", "")
    return next((f for f in OF_THE_THEME if said.startswith(f[0]) and f[1] in element), None)


def test_every_page_is_html_as_the_standard_has_it():
    site = built_demo()
    told = told_of(site)
    ours = {
        (m["message"], m["url"].rpartition(f"/{site.name}/")[2], m.get("extract", "")[:160])
        for m in told
        if not of_the_theme(m)
    }
    assert not ours
    assert {of_the_theme(m) for m in told} == OF_THE_THEME, "the theme has mended something"
    checked = {m["url"] for m in told}  # the theme's error is on each page, so each was read
    assert len(checked) == len(list(site.rglob("*.html")))


def test_the_checker_is_at_work(tmp_path: Path):
    """A list in a paragraph, an id given twice and an image without a name are found."""
    page = tmp_path / "index.html"
    page.write_text(
        "<!doctype html><html lang=en><title>A page</title>"
        "<p id=a>one</p><p id=a>two<ul><li>three</ul></p><img src='x.png'></html>"
    )
    said = " ".join(m["message"] for m in told_of(page))
    assert "Duplicate ID" in said
    assert "No “p” element in scope" in said
    assert "must have an “alt” attribute" in said
