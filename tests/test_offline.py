"""A site kept on a device, and one packed for a disk, in a real browser.

What is expected is the demand of this project: one visit keeps everything, a newer build is taken
whole or not at all and when the reader says so, and no request ever leaves the site. Digests are
those of Subresource Integrity (https://www.w3.org/TR/sri-2/).
"""

from __future__ import annotations

import base64
import hashlib
import json
import os
import re
import subprocess
import sys
import threading
import zipfile
from collections.abc import Callable, Iterator
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from changed_kit import change, copy_base
from demo_site import SIZES, chromium, needs_browser
from playwright.sync_api import Browser, Page, expect
from reader import Opened, until, wait_till_kept
from test_plugin import Preview

from kitdocs.cli import main

SITE = """\
site_name: Offline Tests
site_url: https://example.org/kits/
docs_dir: content
use_directory_urls: {folders}
theme: {{name: material, font: false, features: [search.highlight]}}
plugins:
  - search
  - i18n:
      languages:
        - {{locale: en, name: English, default: true}}
        - {{locale: de, name: Deutsch}}
  - kitdocs: {{offline: {offline}}}
"""
DRIVE, PLANETS = "bench/stages/drive/", "bench/stages/planets/"
#: A policy that lets nothing in from elsewhere; the theme writes scripts and styles into pages.
POLICY = (
    "default-src 'self'; script-src 'self' 'unsafe-inline'; style-src 'self' 'unsafe-inline'; "
    "img-src 'self' data:"
)
NEWER = [
    {"file": "kit.yml", "find": 'revision: "1.0"', "put": 'revision: "1.1"'},
    {"file": "stages/drive.md", "find": "until its shoulder sits", "put": "until it sits"},
]

expect.set_options(timeout=30_000)  # a worker begins when the browser finds the time

pytestmark = needs_browser


class Served(ThreadingHTTPServer):
    """A server below /kits/, whose folder can be changed; `broken` maps a path to what is sent in
    its place: an error, or other bytes. `asked` are the paths that were asked for."""

    def __init__(self, folder: Path):
        self.folder = folder
        self.broken: dict[str, int | bytes] = {}
        self.asked: list[str] = []
        super().__init__(("127.0.0.1", 0), _Handler)
        self.address = f"http://127.0.0.1:{self.server_port}/kits/"


class _Handler(SimpleHTTPRequestHandler):
    def translate_path(self, path: str) -> str:
        self.directory = str(self.server.folder)
        return super().translate_path(path.removeprefix("/kits"))

    def do_GET(self) -> None:
        path = self.path.partition("?")[0].removeprefix("/kits/")
        self.server.asked.append(path)
        instead = self.server.broken.get(path)
        if isinstance(instead, int):
            self.send_error(instead)
        elif instead is not None:
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.send_header("Content-Length", str(len(instead)))
            self.end_headers()
            self.wfile.write(instead)
        else:
            super().do_GET()

    def end_headers(self) -> None:
        self.send_header("Content-Security-Policy", POLICY)
        self.send_header("Cache-Control", "no-cache")
        super().end_headers()

    def log_message(self, *args: object) -> None:
        pass


def write_site(root: Path, folders: bool = True, offline: bool = True, newer: bool = False) -> None:
    change(copy_base(root), NEWER if newer else [])
    (root / "content/written.md").write_text("# Written\n\nA page by hand.\n", "utf-8")
    settings = SITE.format(folders=str(folders).lower(), offline=str(offline).lower())
    (root / "mkdocs.yml").write_text(settings, "utf-8")


def build(root: Path) -> Path:
    command = [sys.executable, "-m", "mkdocs", "build", "-q"]
    built = subprocess.run(command, cwd=root, capture_output=True, text=True)
    assert built.returncode == 0, built.stderr
    return root / "site"


@pytest.fixture(scope="module")
def sites(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., Path]:
    """Built sites, each built once."""
    made: dict[tuple, Path] = {}

    def site(**how: bool) -> Path:
        key = tuple(sorted(how.items()))
        if key not in made:
            root = tmp_path_factory.mktemp("site")
            write_site(root, **how)
            made[key] = build(root)
        return made[key]

    return site


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    # A name that is not this machine's own: what browsers call no secure context.
    with chromium("--host-resolver-rules=MAP kits.test 127.0.0.1") as browser:
        yield browser


@pytest.fixture
def served(sites: Callable[..., Path]) -> Iterator[Served]:
    server = Served(sites())
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield server
    server.shutdown()
    thread.join()
    server.server_close()


@pytest.fixture(params=SIZES)
def opened(request, browser: Browser, served: Served) -> Iterator[Opened]:
    opened = Opened(browser, served.address, SIZES[request.param])
    yield opened
    opened.end()


@pytest.fixture
def page(opened: Opened) -> Page:
    return opened.page()


def caches(page: Page) -> list[str]:
    return page.evaluate("caches.keys()")


def pages_of(site: Path) -> list[str]:
    """The pages but those of a whole kit for printing, which repeat the others and are not kept."""
    found = (file.relative_to(site).as_posix() for file in site.rglob("*.html"))
    whole = re.compile(r"404\.html|.*\bwhole(/index)?\.html")
    return sorted(path for path in found if not whole.fullmatch(path))


def search(page: Page, words: str) -> None:
    page.locator("label[for=__search]:visible").first.click()
    field = page.locator(".md-search__input")
    field.fill("")
    field.press_sequentially(words)


# One visit


@pytest.mark.parametrize("folders", [True, False])
def test_one_visit_keeps_every_page(page, opened, served, sites, folders):
    site = served.folder = sites(folders=folders)
    page.goto(served.address + (DRIVE if folders else "bench/stages/drive.html"))
    wait_till_kept(page)
    opened.context.set_offline(True)
    served.broken = dict.fromkeys(pages_of(site), 500)
    shown = pages_of(site)
    assert "de/bench/stages/planets/index.html" in shown or not folders
    assert len(shown) > 20
    for path in shown:
        forms = [path]
        if folders:
            short = path.removesuffix("index.html")
            forms = [path, short, f"{short}?h=post", short.rstrip("/")]
        for form in forms:
            page.goto(served.address + form)
            title = re.search(r"<title>(.*?)</title>", (site / path).read_text("utf-8"))[1]
            assert page.title() == title.replace("&amp;", "&"), form
            # Styles and scripts were there too.
            assert page.evaluate("getComputedStyle(document.body).display") == "flex", form
    page.goto(served.address + shown[-1])
    search(page, "M2.5x6")
    page.locator(".md-search-result__item a").first.wait_for()


def test_a_first_visit_that_breaks_off_keeps_nothing_and_goes_on_the_next_time(
    page, opened, served
):
    served.broken = {"written/": 500}
    page.goto(served.address)
    until(page, "caches.keys().then((names) => names.length === 1)")
    until(page, "navigator.serviceWorker.getRegistration().then((r) => !r)")
    opened.wrong.clear()  # the browser tells of the error that was sent
    assert page.evaluate("navigator.serviceWorker.controller") is None
    assert PLANETS in served.asked
    served.broken.clear()
    served.asked.clear()
    page.reload()
    wait_till_kept(page)
    assert "written/" in served.asked
    assert not [path for path in served.asked if path.startswith(("bench/", "de/"))]
    opened.context.set_offline(True)
    page.goto(served.address + PLANETS)
    assert page.locator(".kd-step").count()


# What is kept


def worker_of(site: Path) -> dict:
    first = (site / "kitdocs-worker.js").read_text("utf-8").splitlines()[0]
    return json.loads(first.removeprefix("self.kitdocs = ").removesuffix(";"))


def test_the_list_has_every_file_that_pages_show_with_its_digest(sites):
    site = sites()
    listed = worker_of(site)["files"]
    assert list(listed) == sorted(listed)
    for path, digest in listed.items():
        sha256 = hashlib.sha256((site / path).read_bytes()).digest()
        assert digest == "sha256-" + base64.b64encode(sha256).decode()
    assert set(pages_of(site)) <= set(listed)
    linked = set()
    for path in pages_of(site):
        html = (site / path).read_text("utf-8")
        for address in re.findall(r'(?:src|data|poster)="([^":]+)"|rel="stylesheet" href="([^"]+)"',
                                  html):  # fmt: skip
            target = (site / path).parent / next(a for a in address if a)
            linked.add(os.path.relpath(os.path.normpath(target), site))
    assert {".css", ".js"} <= {os.path.splitext(path)[1] for path in linked}
    assert linked <= set(listed)
    left = {"404.html", "sitemap.xml", "kitdocs-worker.js"}
    assert not left & set(listed)
    assert not [path for path in listed if path.endswith((".map", "-disk.js", "wordcut.js"))]


def test_the_worker_is_the_same_for_the_same_site_and_another_for_another(sites, tmp_path):
    write_site(tmp_path)
    worker = (build(tmp_path) / "kitdocs-worker.js").read_bytes()
    assert worker == (sites() / "kitdocs-worker.js").read_bytes()
    newer = worker_of(sites(newer=True))
    assert newer["version"] != worker_of(sites())["version"]


# A newer build


def tick(page: Page, *numbers: int) -> None:
    for number in numbers:
        page.locator(".kd-step > .kd-check").nth(number - 1).tap()


def progress(page: Page) -> str:
    return page.evaluate("localStorage.getItem('kitdocs:/kits/:progress:bench')")


def test_a_newer_build_is_told_of_and_taken_when_the_reader_says_so(page, opened, served, sites):
    page.goto(served.address + DRIVE)
    wait_till_kept(page)
    tick(page, 1, 2, 3)
    (old,) = caches(page)
    before = progress(page)

    served.folder = sites(newer=True)
    served.asked.clear()
    page.reload()
    bar = page.locator(".kd-newer")
    expect(bar).to_be_visible()
    assert bar.locator(".kd-told").inner_text() == "Newer pages of this site are ready."
    assert bar.locator(".kd-revisions li").all_inner_texts() == [
        "Bench Orrery: revision 1.1, here 1.0"
    ]
    assert bar.locator(".kd-changes li").all_inner_texts() == ["Bench Orrery: stage 1, step 2"]
    assert bar.locator(".kd-none").is_hidden()
    # Nothing has changed until it is asked for, and what is the same was not fetched again.
    assert "until its shoulder sits" in page.locator("article").inner_text()
    assert not [path for path in served.asked if "bundle." in path or path == "rules/"]

    bar.locator("[data-kd-take]").tap()
    expect(page.locator("article")).to_contain_text("until it sits")
    expect(page.locator(".kd-changed:visible")).to_have_count(1)
    expect(page.locator(".kd-newer")).to_be_hidden()
    until(page, "caches.keys().then((names) => names.length === 1)")
    assert caches(page) != [old]
    assert progress(page) == before
    opened.context.set_offline(True)
    page.goto(served.address + "de/" + PLANETS)
    expect(page.locator(".kd-step").first).to_be_visible()


def test_what_was_put_off_is_not_told_of_again_that_day(page, served, sites):
    page.goto(served.address + DRIVE)
    wait_till_kept(page)
    served.folder = sites(newer=True)
    page.reload()
    bar = page.locator(".kd-newer")
    expect(bar).to_be_visible()
    assert bar.locator(".kd-none").inner_text() == "Nothing that you have ticked changes."
    for button in bar.locator("button").all():
        assert button.bounding_box()["height"] >= 44
    bar.locator("[data-kd-later]").tap()
    expect(bar).to_be_hidden()
    page.goto(served.address)
    page.wait_for_load_state("networkidle")
    expect(bar).to_be_hidden()
    page.clock.install(time="2040-01-01")
    page.reload()
    expect(bar).to_be_visible()


def test_no_step_is_interrupted_and_another_window_is_not_reloaded(page, opened, served, sites):
    page.goto(served.address + DRIVE)
    wait_till_kept(page)
    other = opened.page()
    other.goto(served.address + DRIVE)
    other.get_by_role("button", name="One step at a time").tap()
    other.evaluate("window.stayed = true")
    served.folder = sites(newer=True)
    page.reload()
    page.locator("[data-kd-take]").tap()
    expect(page.locator("article")).to_contain_text("until it sits")
    expect(other.locator(".kd-newer")).to_be_hidden()
    assert other.evaluate("window.stayed")
    other.get_by_role("button", name="Whole page").tap()
    expect(other.locator(".kd-newer")).to_be_visible()
    assert "still an old one" in other.locator(".kd-newer .kd-told").inner_text()
    other.get_by_role("button", name="Load this page again").tap()
    expect(other.locator("article")).to_contain_text("until it sits")


@pytest.mark.parametrize("instead", [500, b"<p>A page of somebody else.</p>"])
def test_one_file_that_fails_leaves_the_version_before_in_use(page, opened, served, sites, instead):
    page.goto(served.address + DRIVE)
    wait_till_kept(page)
    served.folder = sites(newer=True)
    served.broken = {DRIVE: instead}
    served.asked.clear()
    page.reload()
    until(
        page,
        """navigator.serviceWorker.getRegistration().then((r) => caches.keys().then((names) =>
             names.length === 2 && !r.installing && !r.waiting))""",
    )
    opened.wrong.clear()  # the browser tells of the error that was sent
    assert DRIVE in served.asked
    expect(page.locator(".kd-newer")).to_be_hidden()
    opened.context.set_offline(True)
    for path, words in ((DRIVE, "until its shoulder sits"), ("bench/", "1.0")):
        page.goto(served.address + path)
        expect(page.locator("article")).to_contain_text(words)
    opened.context.set_offline(False)
    served.broken.clear()
    page.reload()
    expect(page.locator(".kd-newer")).to_be_visible()


# Where nothing is kept


NO_WORKER = {
    "none": "delete Navigator.prototype.serviceWorker;",
    "refused": """ServiceWorkerContainer.prototype.register = async () => {
        throw new DOMException('refused', 'SecurityError'); };""",
    "not to be asked": """Object.defineProperty(navigator, 'serviceWorker', {
        get() { throw new DOMException('refused', 'SecurityError'); } });""",
}


@pytest.mark.parametrize("why", NO_WORKER)
def test_without_a_worker_the_site_is_as_any_other(opened, served, why):
    page = opened.page(NO_WORKER[why])
    page.goto(served.address + DRIVE)
    tick(page, 1)
    page.wait_for_load_state("networkidle")
    assert "kitdocs-worker.js" not in served.asked
    expect(page.locator(".kd-newer")).to_be_hidden()
    search(page, "post")
    page.locator(".md-search-result__item a").first.wait_for()


def test_nothing_is_kept_without_a_secure_connection(browser, served):
    address = served.address.replace("127.0.0.1", "kits.test")
    opened = Opened(browser, address, SIZES["tablet"])
    page = opened.page()
    page.goto(address + DRIVE)
    tick(page, 1)
    page.wait_for_load_state("networkidle")
    assert "kitdocs-worker.js" not in served.asked
    opened.end()


def test_a_preview_keeps_nothing(tmp_path):
    write_site(tmp_path)
    preview = Preview(tmp_path)
    preview.build()
    assert 'data-kd-module="offline"' not in preview.page("bench/stages/drive")
    assert "unregister" in (tmp_path / "shown/kitdocs-worker.js").read_text("utf-8")
    assert not list((tmp_path / "shown").glob("kits-*.json"))


def test_a_publisher_who_switches_it_off_frees_the_readers_of_what_is_kept(page, served, sites):
    page.goto(served.address + DRIVE)
    wait_till_kept(page)
    tick(page, 1)
    before = progress(page)
    served.folder = sites(offline=False)
    page.reload()
    until(
        page,
        """Promise.all([caches.keys(), navigator.serviceWorker.getRegistrations()]).then(
             ([names, workers]) => !names.length && !workers.length)""",
    )
    # The page that is open is an old one, and says so; it works until it is left.
    bar = page.locator(".kd-newer")
    expect(bar.locator(".kd-told")).to_contain_text("still an old one")
    search(page, "M2.5x6")
    page.locator(".md-search-result__item a").first.wait_for()
    served.asked.clear()
    page.keyboard.press("Escape")
    bar.get_by_role("button", name="Load this page again").tap()
    expect(page.locator(".kd-newer")).to_have_count(0)
    assert DRIVE in served.asked
    assert page.evaluate("navigator.serviceWorker.controller") is None
    assert progress(page) == before


# No request leaves the site


def test_no_request_leaves_the_site_from_any_page(page, served):
    for path in pages_of(served.folder):
        page.goto(served.address + path, wait_until="networkidle")
        page.evaluate("window.scrollTo(0, document.body.scrollHeight)")
    # What pages ask for is there: nothing is asked of a folder that has no such file.
    missing = [p for p in served.asked if not (served.folder / p).exists()]
    assert not missing


def test_nothing_is_searched_before_a_reader_types(opened, served):
    page = opened.page(NO_WORKER["none"])
    with page.expect_response("**/search/search_index.json"):  # a busy machine may be idle before
        page.goto(served.address + DRIVE)
    page.wait_for_load_state("networkidle")
    large = [p for p in served.asked if p.startswith("search/") or "/workers/search." in p]
    assert large == ["search/search_index.json"]
    assert (served.folder / large[0]).stat().st_size < 1000
    search(page, "M2.5x6")
    page.locator(".md-search-result__item a").first.wait_for()
    assert "search/entries-en.json" in served.asked
    assert "search/entries-de.json" not in served.asked


def test_every_page_is_searched_in_every_language_before_its_sections(sites):
    """Also those that are not translated, whose entries the plugin of the languages takes out."""
    site = sites()
    places = {
        code: [
            e["location"] for e in json.loads((site / f"search/entries-{code}.json").read_text())
        ]
        for code in ("en", "de")
    }
    assert {f"de/{place}" for place in places["en"]} <= set(places["de"])
    for found in places.values():
        assert len(found) == len(set(found))
        for n, place in enumerate(found):
            assert "#" not in place or place.partition("#")[0] in found[:n]


def test_a_search_stays_in_the_language_of_the_page(page, served):
    page.goto(served.address + "de/" + DRIVE)
    search(page, "M2.5x6")
    found = page.locator(".md-search-result__item a")
    found.first.wait_for()
    places = found.evaluate_all("all => all.map((a) => a.href)")
    assert all(place.startswith(f"{served.address}de/") for place in places)
    assert any("/fasteners/" in place for place in places)
    found.first.click()
    page.wait_for_url(f"{served.address}de/**?h=*")
    expect(page.locator("article")).to_be_visible()


# A zip for a disk


@pytest.fixture(scope="module")
def packed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("packed")
    write_site(root)
    pack(root, "kits.zip")
    return root / "kits.zip"


def pack(root: Path, name: str) -> subprocess.CompletedProcess[str]:
    code = "import sys; from kitdocs.cli import main; sys.exit(main())"
    command = [sys.executable, "-c", code, "pack", name]
    return subprocess.run(command, cwd=root, capture_output=True, text=True)


def test_the_same_site_gives_the_same_zip(packed, tmp_path):
    write_site(tmp_path)
    done = pack(tmp_path, "kits.zip")
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "kits.zip").read_bytes() == packed.read_bytes()
    assert {path.name for path in tmp_path.iterdir()} == {
        "content", "mkdocs.yml", "kits.zip", ".cache",
    }  # fmt: skip
    with zipfile.ZipFile(packed) as archive:
        names = archive.namelist()
    assert names == sorted(names)
    assert all(name.startswith("kits/") for name in names)
    assert not [n for n in names if n.endswith((".map", "kitdocs-worker.js", "sitemap.xml"))]


@pytest.fixture
def unpacked(packed: Path, tmp_path: Path) -> str:
    with zipfile.ZipFile(packed) as archive:
        archive.extractall(tmp_path)
    return f"{tmp_path.as_uri()}/kits/"


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("language", ["", "de/"])
def test_a_zip_opens_from_a_disk_with_its_search_and_ticks(browser, unpacked, size, language):
    opened = Opened(browser, unpacked, SIZES[size])
    page = opened.page()
    page.goto(f"{unpacked}{language}index.html")
    page.locator("article a[href*='bench/index.html']").first.click()
    page.locator(".kd-stages a").first.click()
    page.wait_for_url("**/stages/drive.html")
    tick(page, 1, 2)
    page.reload()
    boxes = page.locator(".kd-step > .kd-check input")
    boxes.first.wait_for(state="attached")
    assert [boxes.nth(n).is_checked() for n in range(3)] == [True, True, False]
    for words in ("Mars pipe", "M2.5x6"):
        search(page, words)
        found = page.locator(".md-search-result__item a")
        found.first.wait_for()
        places = found.evaluate_all("all => all.map((a) => a.href)")
        assert all(place.startswith(f"{unpacked}{language}") for place in places)
        assert language or not any("/de/" in place for place in places)
        found.first.click()
        page.wait_for_url("**/*.html?h=*")
        assert page.locator("article").is_visible()
    opened.end()


def test_no_link_of_a_packed_page_leads_to_a_folder(packed):
    with zipfile.ZipFile(packed) as archive:
        names = set(archive.namelist())
        for name in (n for n in names if n.endswith(".html")):
            html = archive.read(name).decode()
            for link in re.findall(r'(?:href|src)="([^"#?:]*)[^":]*"', html):
                target = os.path.normpath(Path(name).parent / link) if link else name
                assert target in names, f"{name}: {link}"


def test_a_site_that_cannot_be_packed_leaves_the_zip_as_it_was(tmp_path):
    write_site(tmp_path)
    archive = tmp_path / "kits.zip"
    archive.write_bytes(b"an earlier one")
    change(tmp_path / "content/bench", [
        {"file": "stages/drive.md", "find": "press: post\n", "put": "press: nothing\n"},
    ])  # fmt: skip
    done = pack(tmp_path, "kits.zip")
    assert done.returncode == 1
    assert "content/bench/stages/drive.md" in done.stderr
    assert "Traceback" not in done.stderr
    assert archive.read_bytes() == b"an earlier one"
    (tmp_path / "mkdocs.yml").write_text("site_name: Other\ndocs_dir: content\n", "utf-8")
    done = pack(tmp_path, "kits.zip")
    assert done.returncode == 1
    assert done.stderr.endswith("kitdocs: mkdocs.yml has no plugin kitdocs\n")


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["kits"], "kits is not named as a zip: write kits.zip"),
        (["there/kits.zip"], "no folder there"),
        (["kits.zip"], "no file mkdocs.yml; name the settings of the site with --config"),
    ],
)
def test_a_wrong_call_is_told(tmp_path, monkeypatch, capsys, arguments, told):
    monkeypatch.chdir(tmp_path)
    assert main(["pack", *arguments]) == 2
    assert capsys.readouterr().err == f"kitdocs: {told}\n"
