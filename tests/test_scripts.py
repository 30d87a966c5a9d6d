"""Scripts of the pages: where they are published, and what may be joined for a disk.

What browsers import from `file:` is from the HTML standard (module scripts are fetched with CORS,
and a page from `file:` has an opaque origin); the rest is the demand of this project.
"""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import jinja2
import pytest
from changed_kit import change, copy_base

from kitdocs.assembly.design import Design
from kitdocs.kit.reader import read_kit
from kitdocs.pages.bench_view import step_mark
from kitdocs.pages.scripts import is_entry, published_scripts
from kitdocs.words.expressions import Prose

ASSETS = Path(__file__).parent.parent / "site_templates" / "assets"
NODE = shutil.which("node")


def published(**modules: str) -> dict[str, bytes]:
    """What is published of an entry and of modules, by name without `.js`."""
    texts = {"kitdocs": "// entry\n", **modules}
    assets = {f"assets/{name}.js": text.encode() for name, text in texts.items()}
    return published_scripts(assets, {uri: f"/site_templates/{uri}" for uri in assets})


def folder(found: dict[str, bytes]) -> str:
    (entry,) = [uri for uri in found if is_entry(uri)]
    return entry.rpartition("/")[0]


def test_scripts_share_a_folder_that_changes_with_any_of_them():
    one, same = published(a="export const x = 1;\n"), published(a="export const x = 1;\n")
    other = published(a="export const x = 2;\n")
    assert one == same
    assert folder(one) != folder(other)
    names = {uri.removeprefix(folder(one) + "/") for uri in one}
    assert names == {"kitdocs.js", "kitdocs-disk.js", "a.js"}


def test_other_assets_stay_where_they_are():
    assets = {"assets/kitdocs.js": b"", "assets/x.css": b"a", "assets/own/lib.js": b"import x;"}
    found = published_scripts(assets, dict.fromkeys(assets, "file"))
    assert found["assets/x.css"] == b"a"
    assert found["assets/own/lib.js"] == b"import x;"
    assert "assets/kitdocs.js" not in found


@pytest.mark.parametrize(
    ("text", "line", "found"),
    [
        ("// words\nimport x from './b.js';\n", 2, "import x from"),
        ("import './b.js';\n", 1, "import './b.js'"),
        ("\nexport default 1;\n", 2, "export default"),
        ("const a = 1;\nexport { a };\n", 2, "export { a }"),
        ("const a = 1;\nconst b = import('./b.js');\n", 2, "import("),
        ("const a = import.meta.url;\n", 1, "import.meta"),
        ("import { a } from './none.js';\n", 1, "no module none.js"),
    ],
)
def test_what_cannot_be_joined_is_refused_at_its_line(text, line, found):
    with pytest.raises(jinja2.TemplateSyntaxError) as refused:
        published(a=text, b="export const x = 1;\n")
    assert found in str(refused.value)
    assert refused.value.lineno == line
    assert refused.value.filename == "/site_templates/assets/a.js"


def test_modules_that_import_each_other_are_refused():
    a, b = "import { y } from './b.js';\n", "import { x } from './a.js';\n"
    with pytest.raises(jinja2.TemplateSyntaxError, match="import each other"):
        published(a=a + "export const x = 1;\n", b=b + "export const y = 1;\n")


def test_comments_may_say_what_code_may_not():
    told = '/** @param {import("./b.js").B} b\n * export default\n */\nexport function f(b) {}\n'
    assert b"return { f }" in published(a=told)[folder(published(a=told)) + "/kitdocs-disk.js"]


@pytest.mark.skipif(NODE is None, reason="no node on this machine")
def test_the_joined_script_gives_what_the_modules_export(tmp_path):
    found = published(
        low="let count = 0;\nexport function next() {\n  count += 1;\n  return count;\n}\n",
        mid='import { next as after } from "./low.js";\nexport const first = after();\n',
        top=(
            "import * as low from './low.js';\nimport {\n  first,\n} from './mid.js';\n"
            "export async function start() {\n  return [first, low.next()];\n}\n"
        ),
    )
    script = tmp_path / "joined.js"
    script.write_bytes(
        found[folder(found) + "/kitdocs-disk.js"]
        + b'globalThis.kitdocsModule("top.js").start().then((a) => console.log(a.join()));\n'
    )
    ran = subprocess.run([NODE, script], capture_output=True, text=True)
    assert (ran.stdout, ran.stderr) == ("1,2\n", "")  # low is carried out once


def test_our_own_scripts_can_be_joined():
    files = {f"assets/{file.name}": file for file in ASSETS.glob("*.js")}
    found = published_scripts(
        {uri: file.read_bytes() for uri, file in files.items()},
        {uri: str(file) for uri, file in files.items()},
    )
    assert len(found) == len(files) + 1


def marks(root: Path, changes=()) -> dict[tuple[str, str], str]:
    path = copy_base(root)
    change(path, changes)
    read = read_kit(root, path)
    assert read.kit is not None, read.findings
    design = Design(read.kit)
    prose = Prose(design)
    return {
        (stage.id, step.id): step_mark(design, prose, stage, step)
        for stage in read.kit.stages
        for step in stage.steps
    }


DRIVE = "stages/drive.md"


@pytest.mark.parametrize(
    ("changes", "changed"),
    [
        # What a reader does not see: line breaks, and the ways of writing one expression.
        ([{"file": DRIVE, "find": "feet under the", "put": "feet\nunder   the"}], set()),
        (
            [
                {
                    "file": DRIVE,
                    "find": "the {{ item('post') }} into",
                    "put": "the {{item('post')}} into",
                }
            ],
            set(),
        ),
        ([{"file": DRIVE, "find": "carries everything", "put": "carries it all"}], set()),
        # Words, a title, and a fact that words show, each at its own step.
        ([{"file": DRIVE, "find": "shoulder sits", "put": "end sits"}], {"press-post"}),
        ([{"file": DRIVE, "find": "## Press in the post", "put": "## Post"}], {"press-post"}),
    ],
)
def test_a_mark_changes_with_what_its_step_asks(tmp_path, changes, changed):
    before, after = marks(tmp_path / "a"), marks(tmp_path / "b", changes)
    assert before.keys() == after.keys()
    assert {step for (stage, step), mark in after.items() if mark != before[stage, step]} == changed


def test_a_mark_changes_with_the_actions_of_its_step(tmp_path):
    before = marks(tmp_path / "a")
    turns = {"file": DRIVE, "find": "turns: 2}", "put": "turns: 3}"}
    after = marks(tmp_path / "b", [turns])
    assert [key for key in after if after[key] != before[key]] == [("drive", "crank")]
