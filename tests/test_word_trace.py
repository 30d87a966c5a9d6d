"""The trace against the built pages, which are read here without the audit.

What templates generate stands in elements whose class begins with `kd-`; what is left inside a
step and before the first one is an editor's words.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from html.parser import HTMLParser
from pathlib import Path

import pytest
import webvtt
from demo_site import REPO, built_demo

from kitdocs.cli import main

#: A number as anyone would look for it: digits with marks between them, or a small number word.
_SPELLED = {
    "en": "two|three|four|five|six|seven|eight|nine|ten|eleven|twelve",
    "de": "zwei|drei|vier|fünf|sechs|sieben|acht|neun|zehn|elf|zwölf",
    "pl": "dwa|dwie|dwóch|trzy|trzech|cztery|czterech|pięć|sześć|siedem|osiem|dziewięć|dziesięć",
}
NUMBERS = {
    code: re.compile(rf"\d+(?:[.,\u202f/]\d+)*|\b(?:{words})\b", re.IGNORECASE)
    for code, words in _SPELLED.items()
}
#: Number words that count nothing of a kit, as the demo has them.
NO_COUNTS = {
    "en": re.compile(r"\btwo (?:sides|fingers)\b|\bthe two\b", re.IGNORECASE),
    "de": re.compile(r"\bzwei (?:Seiten|Fingern)\b|\b(?:die|den) zwei\b", re.IGNORECASE),
    "pl": re.compile(r"\b(?:dwóch stron|dwoma palcami)\b", re.IGNORECASE),
}
#: Classes of what the templates make inside the words of a page, or round them.
WORDS = {"kd-opening", "kd-step", "kd-summary"}
VOID = {"img", "br", "hr", "input", "meta", "link", "source", "wbr"}


class Words(HTMLParser):
    """The blocks of an editor's words on a page, each as plain text."""

    def __init__(self, html: str):
        super().__init__()
        self.blocks: list[str] = []
        self._open: list[tuple[str, str]] = []  # tag and what it is: words, made, block or ""
        self.feed(html)
        self.close()

    def handle_starttag(self, tag, attrs):
        if tag in VOID:
            return
        classes = (dict(attrs).get("class") or "").split()
        made = [name for name in classes if name.startswith("kd-") or name == "headerlink"]
        kind = "words" if WORDS & {*classes} else "made" if made or tag == "svg" else ""
        if not kind and tag in ("p", "li", "h2", "td", "th", "dd", "dt", "pre"):
            kind = "block"
        if kind == "block" or "kd-summary" in classes:
            self.blocks.append("")
        self._open.append((tag, kind))

    def handle_endtag(self, tag):
        while self._open and self._open.pop()[0] != tag:
            pass

    def handle_data(self, data):
        kinds = [kind for _, kind in self._open]
        if "words" in kinds and "made" not in kinds and self.blocks:
            self.blocks[-1] += data


@pytest.fixture(scope="module")
def built(tmp_path_factory) -> tuple[Path, list[dict]]:
    """The demo as it is published, and the trace of its numbers."""
    trace = tmp_path_factory.mktemp("traced") / "trace.json"
    assert main(["check", str(REPO / "content"), "--trace", str(trace)]) == 0
    return built_demo(), json.loads(trace.read_text("utf-8"))


def spaced(text: str) -> str:
    return " ".join(text.replace("\u202f", "").split()).replace("’", "'").replace("‘", "'")


@pytest.mark.parametrize(
    ("code", "pages", "numbers"), [("en", 13, 100), ("de", 13, 100), ("pl", 3, 20)]
)
def test_every_number_in_the_words_of_every_page_is_backed(built, code, pages, numbers):
    site, trace = built
    assert {entry["from"] for entry in trace} <= {"expression", "fact", "name", "source"}
    mine = [entry for entry in trace if entry["language"] == code and entry["page"].endswith(".md")]
    names = sorted({entry["page"] for entry in mine})
    assert len(names) >= pages
    looked_at = 0
    for page in names:
        folder = site if code == "en" else site / code
        html = (folder / address(page) / "index.html").read_text("utf-8")
        told = [e for e in mine if e["page"] == page]
        for block in Words(html).blocks:
            text = spaced(re.sub(r"^\w+ \d+: ", "", block.strip()))
            inside = [spaced(e["number"]) for e in told if spaced(e["sentence"]) in text]
            backed = Counter(n for said in inside for n in NUMBERS[code].findall(said.lower()))
            found = Counter(NUMBERS[code].findall(NO_COUNTS[code].sub("", text).lower()))
            looked_at += found.total()
            assert found <= backed, (page, text, found - backed)
    assert looked_at > numbers


def address(page: str) -> str:
    """The folder of a page's site, by its file."""
    return page.removesuffix(".md").removesuffix("index")


CAPTIONS = sorted((REPO / "content").rglob("*.vtt"))


@pytest.mark.parametrize("file", CAPTIONS, ids=lambda file: file.name)
def test_every_number_in_captions_is_one_of_its_page(built, file):
    """Cues as webvtt-py reads them; the numbers of the page are backed (above). What only counts
    steps and the stage is the page's own numbering."""
    site, _ = built
    stage, code = (
        file.name.split(".")[0],
        (file.suffixes[0][1:] if len(file.suffixes) > 1 else "en"),
    )
    kit = file.parent.parent.name
    folder = site if code == "en" else site / code
    blocks = Words((folder / kit / "stages" / stage / "index.html").read_text("utf-8")).blocks
    page = Counter(n for text in blocks for n in NUMBERS[code].findall(spaced(text).lower()))
    looked_at = 0
    for cue in webvtt.read(str(file)):
        told = re.sub(
            r"\b(?:step|stage|schritt|abschnitt|krok|etap) \w+", "", spaced(cue.text).lower()
        )
        for number in NUMBERS[code].findall(NO_COUNTS[code].sub("", told)):
            looked_at += 1
            assert number in page, (cue.start, cue.text, number)
    assert looked_at >= 5


def test_the_trace_says_which_expression_gave_a_number(built):
    _, trace = built
    named = {e["by"] for e in trace if e["page"] == "tellurion/stages/moon.md"}
    assert "body('moon').period" in named


def test_the_words_of_a_page_are_told_from_what_templates_make():
    html = (
        '<div class="kd-opening"><p>Take 3 of 4.</p></div><section class="kd-step">'
        '<h2>Step 1: Fix 2</h2><aside class="kd-takes"><p>77</p></aside><p>Is <b>5</b>.</p>'
        '<table class="kd-table"><tr><td>88</td></tr></table></section><p>99</p>'
    )
    text = " ".join(Words(html).blocks)
    assert re.findall(r"\d+", text) == ["3", "4", "1", "2", "5"]
