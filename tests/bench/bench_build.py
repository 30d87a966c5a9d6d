"""What kitdocs costs over plain MkDocs + Material, on the demo or on another site.

    python tests/bench/bench_build.py [--site FOLDER] [--pairs 7] [--saves 7] [--only PART]

The plain site holds the same finished Markdown, pictures, theme and navigation, written out
beforehand. Both are built in turn, whole processes, and compared by the median of the ratios of
pairs: speeds on a shared machine drift too much for anything else. Parts:

    aa       plain against plain: how far the measure itself is off
    first    a build that draws every chart, against plain
    second   a build that finds its charts kept, against plain
    check    `kitdocs check` as a whole process
    save     from saving a stage page to seeing it in the preview, against plain
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
ENVIRONMENT = {**os.environ, "NO_MKDOCS_2_WARNING": "1"}


def copy_site(site: Path, target: Path) -> None:
    """A copy to measure on: its own content, templates and chart cache."""
    shutil.copytree(site, target, ignore=shutil.ignore_patterns("site", ".*", "__pycache__"))


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


def pairs(label: str, count: int, one: Callable[[], Cost], other: Callable[[], Cost]) -> None:
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
        times = [(getattr(a, kind), getattr(b, kind)) for a, b in both[1:]]
        ratios = [a / b for a, b in times]
        extra = statistics.median(a - b for a, b in times)
        print(
            f"{label:14} {kind:4} {spread([a for a, _ in times])} s"
            f" against {spread([b for _, b in times])} s;"
            f" ratio {statistics.median(ratios):.3f} ({min(ratios):.2f} to {max(ratios):.2f}),"
            f" difference {extra * 1000:+.0f} ms",
            flush=True,
        )


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


def save_to_seen(folder: Path, page: str, count: int) -> list[float]:
    """Seconds from saving a changed page to a browser that reloads having the change."""
    file = folder / "content" / page
    original = file.read_text("utf-8")
    times = []
    with preview(folder) as base:
        address = base + page.removesuffix(".md") + "/"
        while not (html := read(address)):
            time.sleep(0.1)
        for number in range(count + 1):
            time.sleep(0.7 + 0.13 * (number % 4))  # not in step with the watcher's rounds
            epoch, request = re.findall(r"livereload\((\d+), (\d+)\)", html)[-1]
            words = f"Saved for the {number}th time."
            first = re.search(r"^[A-Z][^\n]*$", original, re.M)
            changed = original[: first.end()] + f" {words}" + original[first.end() :]
            start = time.perf_counter()
            file.write_text(changed, "utf-8")
            poll = f"{base.split('/', 3)[0]}//{base.split('/', 3)[2]}/livereload/{epoch}/{request}"
            while int(read(poll) or 0) <= int(epoch):
                pass
            html = read(address)
            assert words in html, f"{page} does not show what was saved"
            times.append(time.perf_counter() - start)
    file.write_text(original, "utf-8")
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
            pairs("first, plain", options.pairs, afresh, plainly)
        if "second" in wanted:
            again()
            pairs("second, plain", options.pairs, again, plainly)
        if "check" in wanted:
            check = [str(Path(sys.executable).with_name("kitdocs")), "check"]
            costs = [cost(check, ours) for _ in range(options.pairs + 1)][1:]
            for kind in ("wall", "cpu"):
                times = spread([getattr(c, kind) for c in costs])
                print(f"{'check':14} {kind:4} {times} s", flush=True)
        if "save" in wanted:
            stages = sorted((ours / "content").glob("*/stages/*.md"))
            page = stages[len(stages) // 2].relative_to(ours / "content").as_posix()
            one = save_to_seen(ours, page, options.saves)
            other = save_to_seen(plain, page, options.saves)
            print(f"{'save, ours':14} wall {spread(one)} s")
            print(f"{'save, plain':14} wall {spread(other)} s")


if __name__ == "__main__":
    main()
