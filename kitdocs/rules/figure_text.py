"""figure-text: every picture in prose has an alternative text."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.rules.rule import rule
from kitdocs.words.writing.texts import texts

_FENCED = re.compile(r"^[ \t>]*(`{3,}|~{3,}).*?(?:^[ \t>]*\1|\Z)|`[^`\n]+`|<!--.*?-->", re.M | re.S)
_PICTURE = re.compile(
    r"!\[(?P<text>[^\]]*)\](?:\((?P<target>[^)\s]*)[^)]*\)|\[[^\]]*\])"
    r"|<img\b(?P<tag>[^>]*)>",
    re.IGNORECASE,
)
_ALT = re.compile(r"\balt\s*=\s*(?:\"([^\"]*)\"|'([^']*)'|([^\s>]+))", re.IGNORECASE)
_SOURCE = re.compile(r"\bsrc\s*=\s*[\"']?([^\s\"'>]*)", re.IGNORECASE)


@rule(
    "figure-text",
    group="Words",
    demand="every picture in prose has an alternative text, in words",
    source="WCAG 2.2 success criterion 1.1.1",
    example="`![](hub.svg)` in the words of a step",
)
def figure_text(design: Design) -> Iterator[Finding]:
    for text in texts(design):
        passage = text.passage
        if "![" not in passage.text and "<img" not in passage.text.lower():
            continue
        shown = _FENCED.sub(lambda m: re.sub(r"[^\n]", " ", m[0]), passage.text)
        for picture in _PICTURE.finditer(shown):
            told = _told(picture)
            if told:
                place = passage.place.within(shown, picture.start())
                mend = "Write what the picture tells: ![The hub, dimple up](hub.svg)."
                yield Finding(place, "figure-text", told, "an alternative text", mend)


def _told(picture: re.Match[str]) -> str:
    """What is wrong with a picture's alternative text; empty when it has one."""
    if picture["tag"] is None:
        text, target = picture["text"], picture["target"] or ""
    else:
        alt = _ALT.search(picture["tag"])
        text = next((group for group in alt.groups() if group is not None), "") if alt else ""
        source = _SOURCE.search(picture["tag"])
        target = source[1] if source else ""
    name = target.rsplit("/", 1)[-1]
    if not re.search(r"[^\W\d_]", text):
        return f"a picture without words{f', {name}' if name else ''}"
    if name and text.strip() in (name, name.rpartition(".")[0]):
        return f"a picture whose words are the name of its file, {name}"
    return ""
