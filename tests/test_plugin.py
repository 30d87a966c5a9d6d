"""The plugin on small sites: real MkDocs builds, in this process or as a process of its own.

What MkDocs does is taken from its own sources and documentation (version 1.6.1); that a failed
publication must leave the site as it was is the demand of this project.
"""

from __future__ import annotations

import gzip
import hashlib
import os
import re
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import markdown
import pytest
from changed_kit import copy_base
from kits import KIT, write_kit
from mkdocs.commands.build import build as mkdocs_build
from mkdocs.config import load_config
from mkdocs.exceptions import Abort, PluginError

from kitdocs.finding import Finding, Place
from kitdocs.mkdocs_site.preview import findings_list
from kitdocs.pages.published import check_published
from kitdocs.survey import survey

SETTINGS = """\
site_name: Small Site
site_url: https://example.org/docs/
docs_dir: content
theme: {name: THEME, font: false}
plugins: [search, kitdocs]
"""

STAGE = """\
---
title: Base
delivery: first
minutes: 10
---
Lay everything out before you begin.
"""
DELIVERIES = "deliveries: {first: {title: Base, month: 1, holds: {}}}\n"
#: A kit that cannot be read: `titel` is no key of kit.yml.
BROKEN = KIT.replace("title:", "titel:").replace("{CRANK}", "crank").replace("{STAGES}", "base.md")


def make_site(root: Path, *, theme: str = "mkdocs", more: str = "", kits=("alpha",)) -> Path:
    root.mkdir(exist_ok=True)
    for name in kits:
        write_kit(root, name=name, stages={"base.md": STAGE}, deliveries=DELIVERIES)
    (root / "content/index.md").write_text("# Workshop\n\nOur kits.\n", "utf-8")
    (root / "mkdocs.yml").write_text(SETTINGS.replace("THEME", theme) + more, "utf-8")
    return root


@pytest.fixture
def site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    return make_site(tmp_path / "project")


def build(root: Path, command: str = "build", dirty: bool = False, **settings: object):
    """Build as `mkdocs build` does; as the preview does for the command `serve`."""
    config = load_config(str(root / "mkdocs.yml"), **settings)
    config.plugins.on_startup(command=command, dirty=dirty)
    try:
        mkdocs_build(config, serve_url="http://localhost/" if command == "serve" else None)
    finally:
        config.plugins.on_shutdown()
    return config


class Preview:
    """Builds as one preview makes them: no shutdown between, the plugin object lives on."""

    def __init__(self, root: Path):
        self.root = root
        load_config(str(root / "mkdocs.yml")).plugins.on_startup(command="serve", dirty=False)

    def build(self) -> None:
        shown = str(self.root / "shown")
        config = load_config(str(self.root / "mkdocs.yml"), site_dir=shown)
        mkdocs_build(config, serve_url="http://localhost/")

    def page(self, address: str) -> str:
        return (self.root / "shown" / address / "index.html").read_text("utf-8")


def tree(folder: Path) -> dict[str, str]:
    """Every file below a folder with the digest of its bytes."""
    return {
        file.relative_to(folder).as_posix(): hashlib.sha256(file.read_bytes()).hexdigest()
        for file in sorted(folder.rglob("*"))
        if file.is_file()
    }


def mkdocs(root: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "mkdocs", *arguments]
    return subprocess.run(command, cwd=root, capture_output=True, text=True, timeout=120)


def replace(file: Path, old: str, new: str) -> None:
    text = file.read_text("utf-8")
    assert old in text
    file.write_text(text.replace(old, new), "utf-8")


# What is published


def test_pages_of_the_kit_are_published_and_its_data_is_not(site: Path):
    build(site)
    published = tree(site / "site")
    assert {"index.html", "alpha/index.html", "alpha/base/index.html"} <= published.keys()
    assert not [name for name in published if name.endswith((".yml", ".yaml"))]
    assert "Lay everything out" in (site / "site/alpha/base/index.html").read_text("utf-8")


def test_yaml_beside_a_kit_stays_out_and_other_yaml_is_published(site: Path):
    (site / "content/alpha/notes.yaml").write_text("a: 1\n")
    (site / "content/downloads").mkdir()
    (site / "content/downloads/sample.yml").write_text("a: 1\n")
    build(site)
    published = tree(site / "site")
    assert "downloads/sample.yml" in published
    assert "alpha/notes.yaml" not in published


def test_a_home_page_written_by_hand_stays(site: Path):
    build(site)
    assert "Our kits." in (site / "site/index.html").read_text("utf-8")


def test_next_leads_from_the_kit_to_its_first_stage(site: Path):
    build(site)
    page = (site / "site/alpha/index.html").read_text("utf-8")
    assert re.search(r'rel="next"[^>]*href="base/"|href="base/"[^>]*rel="next"', page)


def test_a_written_navigation_takes_the_section_of_a_kit(tmp_path: Path):
    more = "nav: [index.md, {Second: beta/}, alpha/, rules.md]\n"
    site = make_site(tmp_path / "p", more=more, kits=("alpha", "beta"))
    (site / "content/beta/kit.yml").write_text(
        (site / "content/beta/kit.yml").read_text("utf-8").replace("Test Orrery", "Other Orrery")
    )
    page = build(site) and (site / "site/index.html").read_text("utf-8")
    assert page.index("Second") < page.index("Test Orrery")
    assert 'href="beta/base/"' in page and 'href="alpha/base/"' in page


# What stops a build


def test_a_finding_stops_the_build_and_the_site_stays_byte_for_byte(site: Path):
    assert mkdocs(site, "build").returncode == 0
    before = tree(site / "site")
    times = {f: f.stat().st_mtime_ns for f in (site / "site").rglob("*")}
    (site / "content/alpha/kit.yml").write_text(BROKEN, "utf-8")
    result = mkdocs(site, "build")
    assert result.returncode == 1
    assert re.search(r"^content/alpha/kit\.yml:1:1: error key-unknown: ", result.stderr, re.M)
    assert re.search(r"[1-9]\d* errors?, 0 warnings", result.stderr)
    assert "Traceback" not in result.stderr
    assert tree(site / "site") == before
    assert {f: f.stat().st_mtime_ns for f in (site / "site").rglob("*")} == times
    assert [p.name for p in site.iterdir() if p.name.startswith(".site")] == []


def test_findings_are_not_wrapped_to_the_terminal(site: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("COLUMNS", "40")
    (site / "content/alpha/kit.yml").write_text(BROKEN, "utf-8")
    lines = mkdocs(site, "build").stderr.splitlines()
    assert any(len(line) > 60 for line in lines if line.startswith("content/alpha/kit.yml:1:1:"))


def test_every_finding_of_every_kit_is_printed(tmp_path: Path, capfd: pytest.CaptureFixture[str]):
    site = make_site(tmp_path / "p", kits=("alpha", "beta"))
    for name in ("alpha", "beta"):
        (site / f"content/{name}/kit.yml").write_text(BROKEN, "utf-8")
    with pytest.raises(Abort):
        build(site)
    printed = capfd.readouterr().err
    assert "content/alpha/kit.yml:1:1:" in printed and "content/beta/kit.yml:1:1:" in printed


def test_an_error_late_in_the_build_leaves_the_site(site: Path, monkeypatch: pytest.MonkeyPatch):
    build(site)
    before = tree(site / "site")

    def fail(*_: object, **__: object) -> None:
        raise RuntimeError("disk full")

    monkeypatch.setattr("mkdocs.structure.files.Files.copy_static_files", fail)
    with pytest.raises(RuntimeError, match="disk full"):
        build(site)
    assert tree(site / "site") == before
    assert [p.name for p in site.iterdir() if p.name.startswith(".site")] == []


def test_a_strict_build_with_a_warning_leaves_the_site(site: Path):
    build(site, strict=True)
    before = tree(site / "site")
    (site / "content/index.md").write_text("# Workshop\n\n[Gone](gone.md)\n", "utf-8")
    result = mkdocs(site, "build", "--strict")
    assert result.returncode == 1
    assert "gone.md" in result.stderr
    assert tree(site / "site") == before
    build(site)
    assert tree(site / "site") != before


@pytest.mark.parametrize("command", ["build", "gh-deploy", "serve"])
def test_dirty_is_refused(site: Path, command: str):
    with pytest.raises(PluginError, match="old numbers"):
        build(site, command, dirty=True)


def test_a_page_where_a_generated_one_goes_is_refused(
    site: Path, capfd: pytest.CaptureFixture[str]
):
    (site / "content/rules.md").write_text("# Our own rules\n", "utf-8")
    with pytest.raises(Abort):
        build(site)
    printed = capfd.readouterr().err
    assert "content/rules.md:1:1: error page-address: " in printed
    assert "generated page rules.md" in printed


@pytest.mark.parametrize(
    ("first", "second"), [("stage-1.md", "stage-1/index.md"), ("Notes.md", "notes.md")]
)
def test_two_pages_at_one_address_are_refused(
    site: Path, capfd: pytest.CaptureFixture[str], first: str, second: str
):
    for name in (first, second):
        (site / "content" / name).parent.mkdir(exist_ok=True)
        (site / "content" / name).write_text("# Page\n", "utf-8")
    with pytest.raises(Abort):
        build(site)
    line = next(x for x in capfd.readouterr().err.splitlines() if "page-address" in x)
    assert first in line and second in line


def test_a_page_twice_in_the_navigation_is_refused(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
):
    site = make_site(tmp_path / "p", more="nav: [index.md, alpha/, alpha/base.md]\n")
    with pytest.raises(Abort):
        build(site)
    assert "mkdocs.yml:1:1: error page-once: 'alpha/base.md'" in capfd.readouterr().err


def test_a_page_that_is_not_utf8_is_a_finding(site: Path):
    (site / "content/about.md").write_bytes(b"# About\n\nCaf\xe9\n")
    result = mkdocs(site, "build")
    assert result.returncode == 1
    assert "content/about.md:3:4: error file-read" in result.stderr
    assert "Traceback" not in result.stderr


def test_a_template_that_stops_is_a_finding(site: Path):
    own = site / "site_templates"
    for shipped in _template_names():
        (own / shipped).parent.mkdir(parents=True, exist_ok=True)
        (own / shipped).write_text("\n{{ nothing_of_this_name.at_all }}\n", "utf-8")
    result = mkdocs(site, "build")
    assert result.returncode == 1
    assert re.search(r"^site_templates/\S+:2:1: error template: ", result.stderr, re.M)
    assert "Traceback" not in result.stderr


def _template_names() -> list[str]:
    from kitdocs.pages.render import shipped_templates  # noqa: PLC0415

    folder = shipped_templates()
    return [f.relative_to(folder).as_posix() for f in folder.rglob("*.md*")]


# Charts


def test_a_second_build_imports_neither_matplotlib_nor_numpy(site: Path):
    sun = "{name: Sun, arbor: crank, reference: {days: 365.25, source: IAU}, tolerance: 1 %}"
    replace(site / "content/alpha/kit.yml", "bodies: {}", f"bodies: {{sun: {sun}}}")
    replace(site / "content/alpha/base.md", "minutes: 10", "minutes: 10\nadds: [sun]")
    program = (
        "import sys; from mkdocs.__main__ import cli\n"
        "try: cli(['build', '-q'])\n"
        "except SystemExit as end: assert not end.code\n"
        "print(*sorted({'matplotlib', 'numpy'} & sys.modules.keys()))"
    )
    loaded = [
        subprocess.run([sys.executable, "-c", program], cwd=site, capture_output=True, text=True,
                       check=True).stdout.split()
        for _ in range(2)
    ]  # fmt: skip
    assert loaded == [["matplotlib", "numpy"], []]


# Rendered pages


def test_a_second_build_renders_no_page_and_writes_the_same_site(site: Path):
    program = (
        "import markdown; from mkdocs.__main__ import cli\n"
        "done = []; convert = markdown.Markdown.convert\n"
        "def count(self, source): done.append(source); return convert(self, source)\n"
        "markdown.Markdown.convert = count\n"
        "try: cli(['build', '-q'])\n"
        "except SystemExit as end: assert not end.code\n"
        "print(len(done))"
    )

    def rendered() -> int:
        run = [sys.executable, "-c", program]
        out = subprocess.run(run, cwd=site, capture_output=True, text=True, check=True).stdout
        return int(out)

    pages = len(list((site / "content").rglob("*.md")))
    assert rendered() >= pages
    before = tree(site / "site")
    assert rendered() == 0
    assert tree(site / "site") == before
    kept = site / ".cache/kitdocs/pages.json"
    kept.write_text("{", "utf-8")
    assert rendered() >= pages
    assert tree(site / "site") == before


# Building beside


def test_another_site_folder_is_swapped_too(site: Path, tmp_path: Path):
    target = tmp_path / "elsewhere" / "public"
    config = build(site, site_dir=str(target))
    assert (target / "alpha/index.html").is_file()
    assert config.site_dir == str(target)
    assert not (site / "site").exists()
    assert [p.name for p in target.parent.iterdir()] == ["public"]


def test_hidden_entries_stay_as_mkdocs_leaves_them(site: Path):
    (site / "site/.git").mkdir(parents=True)
    (site / "site/.git/HEAD").write_text("ref: x\n")
    (site / "site/stale.html").write_text("old")
    build(site)
    assert (site / "site/.git/HEAD").read_text() == "ref: x\n"
    assert not (site / "site/stale.html").exists()


def test_a_linked_site_folder_stays_a_link(site: Path, tmp_path: Path):
    (tmp_path / "real").mkdir()
    (site / "site").symlink_to(tmp_path / "real")
    build(site)
    assert (site / "site").is_symlink()
    assert (tmp_path / "real/alpha/index.html").is_file()


def test_a_build_mends_what_a_killed_one_left(site: Path):
    build(site)
    before = tree(site / "site")
    (site / "site").rename(site / ".site.old")  # killed between its two renames
    (site / ".site.building").mkdir()
    (site / ".site.building/half.html").write_text("half")
    (site / "content/alpha/kit.yml").rename(site / "kit.kept")
    (site / "content/alpha/kit.yml").write_text("title: [\n")
    with pytest.raises(Abort):
        build(site)
    (site / "kit.kept").replace(site / "content/alpha/kit.yml")
    build(site)
    assert tree(site / "site") == before
    assert [p.name for p in site.iterdir() if p.name.startswith(".site")] == []


# The same input twice


def test_two_builds_are_byte_identical_on_any_day(site: Path, monkeypatch: pytest.MonkeyPatch):
    build(site, site_dir=str(site / "one"))
    later = time.time() + 400 * 86400
    monkeypatch.setattr("time.time", lambda: later)
    build(site, site_dir=str(site / "two"))
    assert tree(site / "one") == tree(site / "two")
    sitemap = (site / "one/sitemap.xml").read_text("utf-8")
    assert "https://example.org/docs/alpha/base/" in sitemap
    assert "lastmod" not in sitemap
    assert gzip.decompress((site / "one/sitemap.xml.gz").read_bytes()).decode() == sitemap
    assert "SOURCE_DATE_EPOCH" not in os.environ


def test_the_source_date_is_written_where_it_is_set(site: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1700000000")  # 2023-11-14, reproducible-builds.org
    build(site)
    assert "<lastmod>2023-11-14</lastmod>" in (site / "site/sitemap.xml").read_text("utf-8")
    assert os.environ["SOURCE_DATE_EPOCH"] == "1700000000"


def test_no_page_loads_anything_from_outside(tmp_path: Path):
    site = make_site(tmp_path / "p", theme="material")
    build(site)
    loads = re.compile(
        r"""<(?:script|img|iframe|source|video|audio|embed|link(?![^>]*rel="?(?:canonical|next|prev))
        |use|image|object)\b[^>]*?(?:src|href|data)=["']?(?:https?:)?//[^"'> ]+""",
        re.I | re.X,
    )
    assert loads.search('<script async src="https://outside.example/a.js">')
    for file in (site / "site").rglob("*.html"):
        assert loads.findall(file.read_text("utf-8")) == [], file.name
    for file in (site / "site").rglob("*.css"):
        text = file.read_text("utf-8")
        assert not re.search(r"(?:url\(|@import )[\"']?(?:https?:)?//", text), file.name


def test_a_description_with_quotes_stays_one_attribute(tmp_path: Path):
    site = make_site(tmp_path / "p", theme="material")
    replace(site / "content/alpha/kit.yml", "A kit for one test.", 'A "small" <kit>.')
    build(site)
    page = (site / "site/alpha/index.html").read_text("utf-8")
    assert 'content="A &quot;small&quot; &lt;kit&gt;."' in page


# Checking what is published


def checked(site: Path) -> list[str]:
    found = check_published(site / "site", survey(site, site / "content"))
    return [finding.place.path.removeprefix(f"{site}/site/") for finding in found]


@pytest.mark.parametrize("more", ["", "use_directory_urls: false\n"])
def test_a_site_of_the_current_model_passes_and_one_of_an_older_model_does_not(
    tmp_path: Path, more: str
):
    site = make_site(tmp_path / "p", more=more, kits=("alpha", "beta"))
    build(site)
    assert checked(site) == []
    replace(site / "content/alpha/kit.yml", '"1.0"', '"1.1"')
    pages = {p for p in tree(site / "site") if p.startswith("alpha/") and p.endswith(".html")}
    assert set(checked(site)) == pages
    assert len(pages) > 2


def test_a_missing_page_and_a_site_made_without_the_plugin_are_found(site: Path):
    build(site)
    (site / "site/alpha/base/index.html").unlink()
    assert checked(site) == ["alpha/base/index.html"]
    replace(site / "mkdocs.yml", "[search, kitdocs]", "[search]")
    build(site)
    assert set(checked(site)) == {"alpha/index.html", "alpha/base/index.html"}


# The preview


def test_a_failing_first_build_shows_the_findings(site: Path, capfd: pytest.CaptureFixture[str]):
    good = (site / "content/alpha/kit.yml").read_text("utf-8")
    (site / "content/alpha/kit.yml").write_text(BROKEN, "utf-8")
    preview = Preview(site)
    preview.build()
    assert "content/alpha/kit.yml:1:1: error key-unknown" in capfd.readouterr().err
    for page in ("", "alpha", "alpha/base"):
        assert "content/alpha/kit.yml:1:1" in preview.page(page), page
    assert "Lay everything out" not in preview.page("alpha/base")
    (site / "content/alpha/kit.yml").write_text(good, "utf-8")
    preview.build()
    assert "Lay everything out" in preview.page("alpha/base")
    for page in ("", "alpha", "alpha/base"):
        assert "kit.yml:1:1" not in preview.page(page), page


def test_a_kit_that_comes_to_fail_shows_findings_on_all_its_pages(tmp_path: Path):
    site = make_site(tmp_path / "p", kits=("alpha", "beta"))
    preview = Preview(site)
    preview.build()
    pages = [p for p in tree(site / "shown") if p.startswith("alpha/") and p.endswith(".html")]
    assert len(pages) > 2
    (site / "content/alpha/kit.yml").write_text(BROKEN, "utf-8")
    preview.build()
    for page in pages:
        assert "kit.yml:1:1" in (site / "shown" / page).read_text("utf-8"), page
    assert "kit.yml:1:1" not in preview.page("beta")
    assert "Lay everything out" in preview.page("beta/base")
    assert "Our kits." in preview.page("") and "kit.yml:1:1" in preview.page("")


def test_findings_are_shown_as_text(site: Path):
    replace(site / "content/alpha/kit.yml", "bodies: {}", 'bodies: {"<b>&": 1}')
    preview = Preview(site)
    preview.build()
    assert "<b>&" not in preview.page("alpha")


def test_a_finding_in_the_preview_leads_to_every_place_that_it_comes_from():
    wheels = Place("content/a/mechanism.yml", 7, 5)
    teeth = (Place("content/a/parts.yml", 12, 3), Place("content/a/parts.yml", 14, 3), wheels)
    shown = findings_list([Finding(wheels, "mesh-distance", "too near", facts=teeth)])
    assert "content/a/mechanism.yml:7:5" in shown
    assert "(see content/a/parts.yml:12, content/a/parts.yml:14)" in shown


def test_only_changed_pages_are_rendered_again(site: Path, monkeypatch: pytest.MonkeyPatch):
    rendered: list[str] = []
    convert = markdown.Markdown.convert

    def counted(self: markdown.Markdown, source: str) -> str:
        rendered.append(source)
        return convert(self, source)

    monkeypatch.setattr(markdown.Markdown, "convert", counted)
    preview = Preview(site)
    preview.build()
    first = tree(site / "shown")
    assert rendered
    rendered.clear()
    preview.build()
    assert rendered == []
    assert tree(site / "shown") == first
    replace(site / "content/index.md", "Our kits.", "All our kits.")
    preview.build()
    assert len(rendered) == 1 and "All our kits." in rendered[0]
    assert "All our kits." in preview.page("")


EARTH, MARS = (
    f"  {x}: {{name: {x.title()}, arbor: {x}, reference: {x} sidereal, tolerance: {tolerance}}}\n"
    for x, tolerance in (("earth", "1 ppm"), ("mars", "0.05 %"))
)


def test_what_the_preview_shows_after_an_edit_is_what_a_clean_build_gives(tmp_path: Path):
    site = make_site(tmp_path / "p", theme="material")
    bench = copy_base(site)
    (bench / "notes.md").write_text("# Notes\n\nThe {{ part('foot') }}.\n", "utf-8")
    preview = Preview(site)
    preview.build()
    for name, old, new in (
        ("stages/planets.md", "Slide the {{", "Oil the pipe. Slide the {{"),  # words
        ("stages/planets.md", "Glue the {{", "\nThis moves lines.\n\nGlue the {{"),
        ("stages/planets.md", "## Add Mars", "## Now add Mars"),
        ("stages/planets.md", "## Add the arm", "## Add the {{ body('mars') }} arm"),
        ("stages/planets.md", "minutes: 45", "minutes: 50"),  # facts
        ("kit.yml", EARTH + MARS, MARS + EARTH),  # their order
        ("parts.yml", "material: beech", "material: oak"),
        ("notes.md", "# Notes", "# Old notes"),
        ("../index.md", "Our kits.", "All our kits."),
    ):
        before = tree(site / "shown")
        replace(bench / name, old, new)
        preview.build()
        shown = tree(site / "shown")
        assert shown != before, new
        shutil.rmtree(site / ".cache")
        build(site, "serve", site_dir=str(site / "clean"))
        assert shown == tree(site / "clean"), new


def test_a_page_with_a_warning_warns_again(site: Path, caplog: pytest.LogCaptureFixture):
    (site / "content/index.md").write_text("# Workshop\n\n[Gone](gone.md)\n", "utf-8")
    preview = Preview(site)
    for _ in range(2):
        caplog.clear()
        preview.build()
        assert "gone.md" in caplog.text


def test_links_are_made_again_when_files_come_or_go(site: Path):
    (site / "content/index.md").write_text("# Workshop\n\n[New](new.md#there)\n", "utf-8")
    preview = Preview(site)
    preview.build()
    assert 'href="new.md#there"' in preview.page("")
    (site / "content/new.md").write_text("# New\n\n## There\n", "utf-8")
    preview.build()
    assert 'href="new/#there"' in preview.page("")


class Server:
    """`mkdocs serve` as a process of its own."""

    def __init__(self, root: Path):
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            port = free.getsockname()[1]
        self.base = f"http://127.0.0.1:{port}/docs/"
        self.log = root / "serve.log"
        command = [sys.executable, "-m", "mkdocs", "serve", "-a", f"127.0.0.1:{port}"]
        with self.log.open("w") as out:
            self.process = subprocess.Popen(command, cwd=root, stdout=out, stderr=out)

    def __enter__(self) -> Server:
        return self

    def __exit__(self, *_: object) -> None:
        self.process.terminate()
        self.process.wait(20)

    def see(self, address: str, text: str, seconds: float = 30) -> None:
        """Wait until the page shows the text."""
        end = time.monotonic() + seconds
        page = ""
        while time.monotonic() < end:
            assert self.process.poll() is None, self.log.read_text("utf-8")
            try:
                with urllib.request.urlopen(self.base + address, timeout=10) as answer:
                    page = answer.read().decode()
            except (urllib.error.URLError, ConnectionError, TimeoutError):
                page = ""
            if text in page:
                return
            time.sleep(0.1)
        raise AssertionError(f"{text!r} not seen in {seconds} s\n{self.log.read_text('utf-8')}")


def test_the_server_lives_through_faults_and_watches_what_it_reads(site: Path, tmp_path: Path):
    kit = site / "content/alpha/kit.yml"
    shared = tmp_path / "shared"
    shared.mkdir()
    kit.rename(shared / "kit.yml")
    kit.symlink_to(shared / "kit.yml")  # outside every folder that MkDocs watches
    good = (shared / "kit.yml").read_text("utf-8")
    (shared / "kit.yml").write_text(BROKEN, "utf-8")
    rules = site / "site_templates/pages/rules.md.j2"
    rules.parent.mkdir(parents=True)
    rules.write_text("# Rules\n\nTold of old.\n", "utf-8")
    with Server(site) as server:
        server.see("alpha/base/", "kit.yml:1:1")
        time.sleep(1.2)  # longer than a round of the watcher
        (shared / "kit.yml").write_text(good, "utf-8")
        server.see("alpha/base/", "Lay everything out")
        time.sleep(1.2)
        replacement = shared / "kit.new"
        replacement.write_text(good.replace("Test Orrery", "Renamed Orrery"), "utf-8")
        replacement.replace(shared / "kit.yml")  # how many editors save
        server.see("alpha/", "Renamed Orrery")
        time.sleep(1.2)
        rules.write_text("# Rules\n\nNewly told.\n", "utf-8")
        server.see("rules/", "Newly told.")
        rounds = server.log.read_text("utf-8").count("Detected file changes")
        time.sleep(2.5)
        assert server.log.read_text("utf-8").count("Detected file changes") <= rounds + 1
