"""What a reader downloads: the first stage page with all that it loads, and each page after it.

    python tests/bench/bench_weight.py [--site FOLDER] [--pages 60]

Bytes of bodies as a server sends them, gzip level 6 for text, counted in Chromium. Two sites: the
given one, and one with copies of its largest kit until it has so many pages. What the service
worker fetches afterwards, with the page already there, is a figure of its own. Plain Material
gives its whole search index with the first page; `plain` is the same with the index added.
"""

from __future__ import annotations

import argparse
import gzip
import os
import shutil
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

TEXT = (".html", ".css", ".js", ".json", ".svg", ".xml", ".vtt")


class Server(ThreadingHTTPServer):
    """Serves a folder compressed, and keeps (path, bytes sent, whether a worker asked)."""

    def __init__(self, folder: Path):
        self.folder, self.sent = folder, []
        super().__init__(("127.0.0.1", 0), Handler)


class Handler(SimpleHTTPRequestHandler):
    def do_GET(self) -> None:
        file = self.server.folder / self.path.partition("?")[0].lstrip("/")
        file = file / "index.html" if file.is_dir() else file
        if not file.is_file():
            self.send_error(404)
            return
        body = file.read_bytes()
        self.send_response(200)
        self.send_header("Content-Type", self.guess_type(str(file)))
        self.send_header("Cache-Control", "max-age=600")
        if file.suffix in TEXT:
            body = gzip.compress(body, 6)
            self.send_header("Content-Encoding", "gzip")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)
        self.server.sent.append((self.path, len(body)))

    def log_message(self, *args: object) -> None:
        pass


def build(root: Path) -> Path:
    environment = {**os.environ, "NO_MKDOCS_2_WARNING": "1"}
    command = [sys.executable, "-m", "mkdocs", "build", "-q"]
    subprocess.run(command, cwd=root, check=True, env=environment, capture_output=True)
    return root / "site"


def copy_site(site: Path, target: Path) -> None:
    target.mkdir(parents=True)
    shutil.copy(site / "mkdocs.yml", target)
    for folder in ("content", "site_templates"):
        if (site / folder).is_dir():
            shutil.copytree(site / folder, target / folder)


def enlarge(root: Path, pages: int) -> None:
    """Copy the largest kit, each copy under an id of its own, until there are enough pages."""
    kits = {file.parent: len(list(file.parent.rglob("*.md"))) for file in root.rglob("kit.yml")}
    largest = max(kits, key=lambda folder: kits[folder])
    for n in range(2, 9):
        if len(stage_pages(build(root), everything=True)) >= pages:
            return
        shutil.copytree(largest, largest.with_name(f"{largest.name}-{n}"))


def stage_pages(site: Path, everything: bool = False) -> list[str]:
    """Addresses of the pages in the first language."""
    languages = {file.stem.removeprefix("kits-") for file in site.glob("kits-*.json")}
    found = (file.parent.relative_to(site) for file in site.rglob("index.html"))
    mine = (path for path in found if not path.parts or path.parts[0] not in languages)
    return sorted(f"{p.as_posix()}/" for p in mine if everything or "stages" in p.parts)


def measure(site: Path, new_page: Callable[[], Page]) -> None:
    server = Server(site)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    address = f"http://127.0.0.1:{server.server_port}/"
    stages = stage_pages(site)
    page = new_page()
    # The worker would hide what later pages weigh for a reader whose browser has none.
    page.add_init_script("delete Navigator.prototype.serviceWorker;")
    heaviest = max(stages, key=lambda s: len(gzip.compress((site / s / "index.html").read_bytes())))
    weights = []
    for stage in [heaviest, *(s for s in stages if s != heaviest)]:
        before = len(server.sent)
        page.goto(address + stage, wait_until="networkidle")
        sent = server.sent[before:]
        weights.append(sum(size for _, size in sent))
        if stage == heaviest:
            for path, size in sorted(sent, key=lambda entry: -entry[1])[:12]:
                print(f"  {size / 1000:8.1f} kB  {path}")
    index = sum(len(gzip.compress(f.read_bytes(), 6)) for f in site.glob("search/entries*.json"))
    print(f"  pages {len(stage_pages(site, everything=True))}, stages {len(stages)}")
    print(f"  first load {weights[0] / 1000:.1f} kB (plain: {(weights[0] + index) / 1000:.1f} kB)")
    print(f"  after that, a page at most {max(weights[1:]) / 1000:.1f} kB")
    kept = new_page()
    before = len(server.sent)
    kept.goto(address + heaviest, wait_until="load")
    kept.evaluate("navigator.serviceWorker.ready.then(() => {})")
    whole = sum(size for _, size in server.sent[before:])
    print(f"  the whole site, kept: {whole / 1000:.0f} kB in {len(server.sent) - before} requests")
    server.shutdown()
    thread.join()
    server.server_close()


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--site", type=Path, default=Path(__file__).parents[2])
    parser.add_argument("--pages", type=int, default=60)
    options = parser.parse_args()
    chromium = shutil.which("chromium") or shutil.which("google-chrome")
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        root = Path(folder) / "site"
        copy_site(options.site, root)
        print("the site as it is")
        measure(build(root), lambda: browser.new_context().new_page())
        enlarge(root, options.pages)
        print(f"with at least {options.pages} pages")
        measure(root / "site", lambda: browser.new_context().new_page())
        browser.close()


if __name__ == "__main__":
    main()
