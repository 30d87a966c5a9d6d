"""A Firefox without a screen, driven by WebDriver BiDi (https://www.w3.org/TR/webdriver-bidi/).

Playwright drives a Firefox of its own only, which Debian does not have; a Firefox from a
distribution speaks this protocol by itself.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from websockets.sync.client import ClientConnection, connect

FIREFOX = shutil.which("firefox") or shutil.which("firefox-esr")
#: Seconds until the browser is there, and for anything that is asked of it.
START, PATIENCE = 180, 120
#: What Firefox says when a page is left while it fetches the one that a `rel="next"` names.
LEFT = (
    "Failed to load \u2018\u2019. A ServiceWorker intercepted the request and encountered an "
    "unexpected error."
)
#: Of the keyboard, as WebDriver names it (https://www.w3.org/TR/webdriver2/#keyboard-actions).
KEYS = {"right": "\ue014"}

#: A machine without it can still run the other tests; .ci/run insists on it.
needs_firefox = pytest.mark.skipif(
    FIREFOX is None and os.environ.get("KITDOCS_BROWSER") != "required",
    reason="no Firefox on this machine",
)


class Firefox:
    """One window. `wrong` collects errors of scripts, what the console says of errors, and requests
    of pages to anywhere but `allowed`."""

    def __init__(self, socket: ClientConnection, allowed: str):
        self.socket, self.allowed, self.wrong = socket, allowed, []
        self.number = 0
        self.ask("session.new", capabilities={})
        self.ask("session.subscribe", events=["log.entryAdded", "network.beforeRequestSent"])
        self.window = self.ask("browsingContext.getTree")["contexts"][0]["context"]

    def ask(self, method: str, **params: Any) -> dict[str, Any]:
        """What the browser answers to a command; what it tells meanwhile is taken note of."""
        self.number += 1
        self.socket.send(json.dumps({"id": self.number, "method": method, "params": params}))
        while True:
            told = json.loads(self.socket.recv(timeout=PATIENCE))
            if told["type"] == "event":
                self._note(told["method"], told["params"])
            elif told["id"] == self.number:
                assert told["type"] == "success", f"{method}: {told}"
                return told["result"]

    def _note(self, event: str, told: dict[str, Any]) -> None:
        if event == "log.entryAdded" and told["level"] == "error" and told["text"] != LEFT:
            self.wrong.append(told["text"])
        elif event == "network.beforeRequestSent":
            url = told["request"]["url"]
            if not url.startswith((self.allowed, "data:")):
                self.wrong.append(url)

    def sized(self, width: int, height: int) -> None:
        viewport = {"width": width, "height": height}
        self.ask("browsingContext.setViewport", context=self.window, viewport=viewport)

    def go(self, url: str) -> None:
        self.ask("browsingContext.navigate", context=self.window, url=url, wait="complete")

    def reload(self) -> None:
        self.ask("browsingContext.reload", context=self.window, wait="complete")

    def read(self, expression: str) -> Any:
        """The value of an expression, or of its promise, on the page: numbers, texts, lists."""
        done = self.ask(
            "script.evaluate",
            expression=f"(async () => JSON.stringify(await ({expression})))()",
            target={"context": self.window},
            awaitPromise=True,
            userActivation=True,
        )
        assert done["type"] == "success", done["exceptionDetails"]["text"]
        return json.loads(done["result"].get("value", "null"))

    def until(self, expression: str) -> None:
        """Wait for an expression, or its promise, to come true."""
        for _ in range(PATIENCE * 2):
            if self.read(f"Boolean(await ({expression}))"):
                return
            time.sleep(0.5)
        raise AssertionError(expression)

    def click(self, element: str) -> None:
        """Press the middle of the element that an expression finds."""
        x, y = self.read(
            f"""((e) => {{
              e.scrollIntoView({{ block: 'center', behavior: 'instant' }});
              const box = e.getBoundingClientRect();
              return [box.x + box.width / 2, box.y + box.height / 2].map(Math.round);
            }})({element})"""
        )
        press = [
            {"type": "pointerMove", "x": x, "y": y},
            {"type": "pointerDown", "button": 0},
            {"type": "pointerUp", "button": 0},
        ]
        self._act({"type": "pointer", "id": "hand", "actions": press})

    def keys(self, *names: str) -> None:
        """Press keys, one after the other."""
        strokes = [
            {"type": stroke, "value": KEYS[name]}
            for name in names
            for stroke in ("keyDown", "keyUp")
        ]
        self._act({"type": "key", "id": "keys", "actions": strokes})

    def _act(self, source: dict[str, Any]) -> None:
        self.ask("input.performActions", context=self.window, actions=[source])


@contextmanager
def firefox(allowed: str) -> Iterator[Firefox]:
    """A new browser that knows nothing of any visit. It fails for what went wrong in it."""
    with tempfile.TemporaryDirectory(prefix="kitdocs-firefox-", ignore_cleanup_errors=True) as home:
        profile = Path(home)
        command = [FIREFOX, "--headless", "--no-remote", "--profile", profile]
        process = subprocess.Popen(
            [*command, "--remote-debugging-port", "0"],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        try:
            with connect(_address(process, profile), max_size=None, proxy=None) as socket:
                driven = Firefox(socket, allowed)
                yield driven
                driven.ask("session.end")
            assert not driven.wrong, driven.wrong
        finally:
            process.terminate()
            process.wait()


def _address(process: subprocess.Popen[bytes], profile: Path) -> str:
    """Where the browser listens: it writes that into its profile."""
    note = profile / "WebDriverBiDiServer.json"
    for _ in range(START * 5):
        assert process.poll() is None, "Firefox ended at once"
        if note.is_file() and (text := note.read_text("utf-8")).strip().endswith("}"):
            told = json.loads(text)
            return f"ws://{told['ws_host']}:{told['ws_port']}/session"
        time.sleep(0.2)
    raise AssertionError("Firefox does not listen")
