"""What kitdocs costs over plain MkDocs + Material, on the demo or on another site.

    python tests/bench/bench_build.py [--site FOLDER] [--pairs 7] [--saves 7] [--only PART]

The plain site holds the same finished Markdown, pictures, theme and navigation, written out
beforehand. Both are built in turn, whole processes, and compared by the median of the ratios of
pairs: speeds on a shared machine drift too much for anything else. Parts:

    aa       plain against plain: how far the measure itself is off
    first    a build that draws every chart, against plain
    second   a build that finds its charts kept, against plain
    check    `kitdocs check` as a whole process, against importing pydantic, PyYAML and Jinja2
    save     from saving a stage page to seeing it in the preview, against plain

The first build may take 1.25 times as long as plain and 120 ms a chart; the second 1.25 times.
"""

from __future__ import annotations

import argparse
import os
import re
import resource
import shutil
import socket
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Callable
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import yaml
from mkdocs.config import load_config
from mkdocs.structure.files import get_files

from kitdocs.mkdocs_site.files import arrange

PARTS = ("aa", "first", "second", "check", "save")
CHART = 0.120  # s allowed for drawing one

# Users have bytecode: measuring its making anew in each process would flatter nobody.
ENVIRONMENT = {**os.environ, "NO_MKDOCS_2_WARNING": "1"}
ENVIRONMENT.pop("PYTHONDONTWRITEBYTECODE", None)


def copy_site(site: Path, target: Path) -> None:
    """A copy to measure on: its own content, templates and chart cache."""
    target.mkdir(parents=True)
    shutil.copy(site / "mkdocs.yml", target)
    for folder in ("content", "site_templates"):
        if (site / folder).is_dir():
            shutil.copytree(site / folder, target / folder)


def write_plain(site: Path, target: Path) -> int:
    """Write the finished Markdown of `site` as a site of its own without kitdocs.

    Gives the number of charts that were drawn for it.
    """
    config = load_config(str(site / "mkdocs.yml"))
    config.plugins.on_startup(command="build", dirty=False)
    config = config.plugins.on_config(config)
    try:
        composer = config.plugins["kitdocs"]._composer
        files = get_files(config)
        composed = composer.compose(config.use_directory_urls, [f.src_uri for f in files])
        wrong = arrange(files, config, composed, composer.surveyed, composer.site_root)
        assert not wrong, wrong
    finally:
        config.plugins.on_shutdown()
    for file in files:
        if file.inclusion.is_excluded():
            continue
        out = target / "content" / file.src_uri
        out.parent.mkdir(parents=True, exist_ok=True)
        page = composed.site.pages.get(file.src_uri)
        if page and (file.generated_by or file.src_uri in composed.replaced):
            front = yaml.safe_dump({"title": page.title, "description": page.description})
            out.write_text(f"---\n{front}---\n{page.markdown}", "utf-8")
        else:
            out.write_bytes(file.content_bytes)
    settings = (site / "mkdocs.yml").read_text("utf-8")
    settings = re.sub(r"^  - kitdocs\b.*\n(?:    .*\n)*", "", settings, flags=re.M)
    settings = re.sub(r"^nav:.*\n(?:[ -].*\n)*", "", settings, flags=re.M)
    settings = settings.replace(
        "markdown_extensions:\n",
        "markdown_extensions:\n  - admonition\n  - attr_list\n  - md_in_html\n",
    )
    more = {"nav": config.nav, "extra_css": list(config.extra_css)}
    more["extra_javascript"] = [str(script) for script in config.extra_javascript]
    (target / "mkdocs.yml").write_text(settings + yaml.safe_dump(more, sort_keys=False), "utf-8")
    return len(list(composer.cache.glob("charts/*.svg")))


@dataclass(frozen=True)
class Cost:
    """Seconds of one process: on the clock, and of the processor."""

    wall: float
    cpu: float


def cost(command: list[str], folder: Path) -> Cost:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    subprocess.run(command, cwd=folder, check=True, capture_output=True, env=ENVIRONMENT)
    wall = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return Cost(wall, cpu)


def pairs(label: str, count: int, one: Callable[[], Cost], other: Callable[[], Cost],
          charts: int = 0) -> None:  # fmt: skip
    """Both in turn, the first one changing places; prints the figures."""
    both: list[tuple[Cost, Cost]] = []
    for number in range(count + 1):
        if number % 2:
            first = one()
            both.append((first, other()))
        else:
            second = other()
            both.append((one(), second))
    for kind in ("wall", "cpu"):
        # The first pair warms the disk.
        report(label, kind, [(getattr(a, kind), getattr(b, kind)) for a, b in both[1:]], charts)


def report(label: str, kind: str, times: list[tuple[float, float]], charts: int = 0) -> None:
    ratios = [a / b for a, b in times]
    line = (
        f"{label:14} {kind:4} {spread([a for a, _ in times])} s"
        f" against {spread([b for _, b in times])} s;"
        f" ratio {statistics.median(ratios):.3f} ({min(ratios):.2f} to {max(ratios):.2f})"
    )
    if charts:
        without = [(a - CHART * charts) / b for a, b in times]
        line += f"; {statistics.median(without):.3f} without {CHART * 1000:.0f} ms a chart"
    print(f"{line}; {len(times)} pairs", flush=True)


def spread(times: list[float]) -> str:
    return f"{statistics.median(times):.2f} ({min(times):.2f} to {max(times):.2f})"


@contextmanager
def preview(folder: Path):
    """A running preview of the site in `folder`: gives its address."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "mkdocs", "serve", "-q", "-a", f"127.0.0.1:{port}"]
    quiet = subprocess.DEVNULL
    process = subprocess.Popen(command, cwd=folder, stdout=quiet, stderr=quiet, env=ENVIRONMENT)
    try:
        path = re.search(
            r"^site_url: https?://[^/]*(\S*)", (folder / "mkdocs.yml").read_text(), re.M
        )
        yield f"http://127.0.0.1:{port}{path[1] if path else '/'}"
    finally:
        process.terminate()
        process.wait()


def read(address: str) -> str:
    try:
        with urllib.request.urlopen(address, timeout=60) as answer:
            return answer.read().decode()
    except OSError:
        return ""


class Editor:
    """Saves changes to one page of a site whose preview runs at `base`."""

    def __init__(self, folder: Path, page: str, base: str):
        self._file = folder / "content" / page
        self._original = self._file.read_text("utf-8")
        self._first = re.search(r"^[A-Z][^\n]*$", self._original, re.M)
        self._address = base + page.removesuffix(".md") + "/"
        self._server = "/".join(base.split("/", 3)[:3])
        self._saved = 0
        while not read(self._address):
            time.sleep(0.1)

    def save(self) -> float:
        """Seconds from saving a changed page to a browser that reloads and has the change."""
        self._saved += 1
        words = f"Saved for the {self._saved}th time."
        end = self._first.end()
        epoch, request = re.findall(r"livereload\((\d+), (\d+)\)", read(self._address))[-1]
        start = time.perf_counter()
        self._file.write_text(f"{self._original[:end]} {words}{self._original[end:]}", "utf-8")
        html = ""
        while words not in html:  # a save may be met half done, and built twice
            seen = int(read(f"{self._server}/livereload/{epoch}/{request}") or 0)
            if seen > int(epoch):
                epoch, html = str(seen), read(self._address)
            assert time.perf_counter() - start < 60, f"{self._file} does not show what was saved"
        return time.perf_counter() - start


def save_to_seen(ours: Path, plain: Path, page: str, count: int) -> list[tuple[float, float]]:
    """Both previews run at once, and saves are made in turn."""
    times = []
    with preview(ours) as one, preview(plain) as other:
        editors = Editor(ours, page, one), Editor(plain, page, other)
        for number in range(count + 1):
            pair = []
            for editor in editors:
                time.sleep(0.7 + 0.13 * (number % 4))  # not in step with the watcher's rounds
                pair.append(editor.save())
            times.append((pair[0], pair[1]))
    return times[1:]


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", 1)[0])
    parser.add_argument("--site", type=Path, default=Path(__file__).parents[2])
    parser.add_argument("--pairs", type=int, default=7)
    parser.add_argument("--saves", type=int, default=7)
    parser.add_argument("--only", choices=PARTS, action="append")
    options = parser.parse_args()
    wanted = options.only or PARTS
    with tempfile.TemporaryDirectory(prefix="kitdocs-bench-") as temporary:
        ours, plain = Path(temporary, "ours"), Path(temporary, "plain")
        copy_site(options.site.resolve(), ours)
        charts = write_plain(ours, plain)
        build = [sys.executable, "-m", "mkdocs", "build", "-q"]

        def plainly() -> Cost:
            return cost(build, plain)

        def again() -> Cost:
            return cost(build, ours)

        def afresh() -> Cost:
            shutil.rmtree(ours / ".cache", ignore_errors=True)
            return cost(build, ours)

        pages = len(list((plain / "content").rglob("*.md")))
        print(f"{pages} pages, {charts} charts; median (least to most)")
        if "aa" in wanted:
            pairs("plain, plain", options.pairs, plainly, plainly)
        if "first" in wanted:
            pairs("first, plain", options.pairs, afresh, plainly, charts)
        if "second" in wanted:
            again()
            pairs("second, plain", options.pairs, again, plainly)
        if "check" in wanted:
            check = [str(Path(sys.executable).with_name("kitdocs")), "check"]
            libraries = [
                sys.executable,
                "-c",
                "import jinja2, yaml; from pydantic import BaseModel",
            ]
            pairs("check, imports", 2 * options.pairs, lambda: cost(check, ours),
                  lambda: cost(libraries, ours))  # fmt: skip
        if "save" in wanted:
            stages = sorted((ours / "content").glob("*/stages/*.md"))
            page = stages[len(stages) // 2].relative_to(ours / "content").as_posix()
            report("save, plain", "wall", save_to_seen(ours, plain, page, options.saves))


if __name__ == "__main__":
    main()
