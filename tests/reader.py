"""A reader's browser that fails its test for what no reader may meet, and a site that it keeps."""

from __future__ import annotations

from playwright.sync_api import Browser, BrowserContext, Page


class Opened:
    """A context that fails its test for an error, or for a request that leaves what is allowed."""

    def __init__(self, browser: Browser, allowed: str, size: tuple[int, int], **settings: object):
        self.allowed, self.wrong = (allowed, "data:", "blob:"), []
        self.ours_only = False  # where the theme's own scripts cannot work
        settings |= {"viewport": {"width": size[0], "height": size[1]}, "has_touch": True}
        self.context: BrowserContext = browser.new_context(**settings)
        self.context.on("request", self._asked)  # those of workers, too

    def _asked(self, request) -> None:
        if not request.url.startswith(self.allowed):
            self.wrong.append(request.url)

    def page(self, script: str = "") -> Page:
        page = self.context.new_page()
        if script:
            page.add_init_script(script)
        page.on("console", self._said)
        page.on("pageerror", self._failed)
        return page

    def _failed(self, error) -> None:
        if not self.ours_only or "/assets/kd-" in (error.stack or ""):
            self.wrong.append(str(error))

    def _said(self, message) -> None:
        if message.type in ("error", "warning") and not self.ours_only:
            self.wrong.append(f"{message.text} {message.location['url']}")

    def end(self) -> None:
        self.context.close()
        assert not self.wrong


def wait_till_kept(page: Page) -> None:
    page.evaluate("navigator.serviceWorker.ready.then(() => {})")
    until(page, "navigator.serviceWorker.controller !== null")


def until(page: Page, expression: str, every: int = 1500) -> None:
    """Wait for a promise to be kept with something true. A worker gives way to the next only when
    nothing has been asked of it for a while, so it is seldom asked."""
    for _ in range(30):
        if page.evaluate(expression):
            return
        page.wait_for_timeout(every)
    raise AssertionError(expression)
