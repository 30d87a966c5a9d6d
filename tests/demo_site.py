"""The built demo, once for all tests of a run, a server for it, and its pages by what they are."""

from __future__ import annotations

import functools
import os
import shutil
import subprocess
import sys
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

REPO = Path(__file__).parent.parent
CHROMIUM = shutil.which("chromium") or shutil.which("google-chrome")
SIZES = {"tablet": (820, 1180), "phone": (390, 844)}

#: A machine without a browser can still run the other tests; .ci/run insists on one.
needs_browser = pytest.mark.skipif(
    CHROMIUM is None and os.environ.get("KITDOCS_BROWSER") != "required",
    reason="no Chromium on this machine",
)

#: A page of every kind.
PAGES = {
    "home": "",
    "kit": "quayside/",
    "stage": "quayside/stages/mars/",
    "trains": "quayside/trains/",
    "parts": "quayside/parts/",
    "fasteners": "quayside/fasteners/",
    "deliveries": "quayside/deliveries/",
    "machine": "quayside/machine/",
    "setting": "tellurion/setting/",
    "faults": "tellurion/faults/",
    "record": "tellurion/record/",
    "whole kit": "tellurion/whole/",
    "rules": "rules/",
    "guide": "guide/",
    "German": "de/tellurion/stages/base/",
    "not found": "404.html",
}


@functools.cache
def built_demo() -> Path:
    """The folder of the site; it is removed by the system as other temporary folders are."""
    site = Path(tempfile.mkdtemp(prefix="kitdocs-demo-")) / "site"
    built = subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "--strict", "-q", "-d", site],
        cwd=REPO,
        capture_output=True,
        text=True,
    )
    assert built.returncode == 0, built.stderr
    return site


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *args: object) -> None:
        pass


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """The address of a server of a folder."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(_Quiet, directory=folder))
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}/"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


@contextmanager
def chromium(*further: str) -> Iterator[Browser]:
    """A browser, with further arguments."""
    usual = ("--no-sandbox", "--disable-gpu", "--disable-background-networking")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=[*usual, *further])
        yield browser
        browser.close()
