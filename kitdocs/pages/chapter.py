"""A page as a chapter of another: its finished HTML, fit to stand beside others on one page."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import escape, unescape
from html.parser import HTMLParser

#: What serves a reader at a screen alone, or stands once on the whole page.
LEFT_OUT = frozenset({
    "headerlink", "kd-buttons", "kd-captions", "kd-changed", "kd-check", "kd-draft", "kd-go",
    "kd-measure", "kd-panel", "kd-revision", "kd-stepping", "kd-video",
})  # fmt: skip
#: https://html.spec.whatwg.org/multipage/syntax.html#void-elements
_VOID = frozenset({
    "area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track",
    "wbr",
})  # fmt: skip
_NEVER = frozenset(("script", "style"))
#: Attributes that name ids, apart by spaces.
_NAMING = frozenset({
    "aria-controls", "aria-describedby", "aria-labelledby", "aria-owns", "for", "headers", "id",
    "list",
})  # fmt: skip
_ADDRESSES = frozenset(("href", "src", "poster", "xlink:href"))
#: Data that a style sheet shows; all else is for scripts, which have no work here.
_SHOWN = frozenset(("data-label",))
_ATTRIBUTE = re.compile(r'\s+([\w:.-]+)(?:="([^"]*)")?')
_HEADING = re.compile(r"h[1-5]")
_LOCAL = re.compile(r"url\(#")


def chapter(html: str, before: str, link: Callable[[str], str]) -> str:
    """The HTML of a page for another page: headings a level lower, every id and what refers to it
    with `before` in front, without what `LEFT_OUT` names; `details` stand open, and an `aside` is a
    note, since there would be too many to be landmarks of one page.

    `link(address)` gives the address, as seen from the other page, of one that stands in this one
    and leads to another page. Attributes are in double quotes, as Markdown and templates write
    them.
    """
    made = _Chapter(before, link)
    made.feed(html)
    made.close()
    return "".join(made.out)


class _Chapter(HTMLParser):
    def __init__(self, before: str, link: Callable[[str], str]):
        super().__init__(convert_charrefs=False)
        self.out: list[str] = []
        self._before, self._link = before, link
        self._left = 0  # how many elements deep we are in one that is left out
        self._spelled: dict[str, str] = {}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        goes_on = tag not in _VOID
        if self._left:
            self._left += goes_on
        elif self._is_left_out(tag, attrs):
            self._left = int(goes_on)
        else:
            self.out.append(self._start(tag))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if not self._left and not self._is_left_out(tag, attrs):
            self.out.append(self._start(tag))

    def handle_endtag(self, tag: str) -> None:
        if self._left:
            self._left -= tag not in _VOID
        else:
            self.out.append(f"</{_lower_heading(self._spelled.get(tag, tag))}>")

    def handle_data(self, data: str) -> None:
        self._put(data)

    def handle_entityref(self, name: str) -> None:
        self._put(f"&{name};")

    def handle_charref(self, name: str) -> None:
        self._put(f"&#{name};")

    def _put(self, text: str) -> None:
        if not self._left:
            self.out.append(text)

    def _is_left_out(self, tag: str, attrs: list[tuple[str, str | None]]) -> bool:
        given = dict(attrs)
        return (
            tag in _NEVER
            or "hidden" in given
            or not LEFT_OUT.isdisjoint((given.get("class") or "").split())
        )

    def _start(self, tag: str) -> str:
        raw = self.get_starttag_text() or ""
        name = raw[1 : 1 + len(tag)]
        self._spelled[tag] = name
        rest = _ATTRIBUTE.sub(self._attribute, raw[1 + len(tag) :])
        more = ' role="note"' if tag == "aside" else " open" if tag == "details" else ""
        return f"<{_lower_heading(name)}{more}{rest}"

    def _attribute(self, match: re.Match[str]) -> str:
        name, value = match.group(1), match.group(2)
        if name.startswith("data-") and name not in _SHOWN:
            return ""
        if value is None:
            return f" {name}"
        if name in _NAMING:
            value = " ".join(self._before + each for each in value.split())
        elif name in _ADDRESSES and value.startswith("#"):
            value = f"#{self._before}{value[1:]}"
        elif name in _ADDRESSES:
            value = escape(self._link(unescape(value)))
        return f' {name}="{_LOCAL.sub(f"url(#{self._before}", value)}"'


def _lower_heading(tag: str) -> str:
    return f"h{int(tag[1]) + 1}" if _HEADING.fullmatch(tag) else tag
