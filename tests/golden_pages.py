"""Golden pages of the demo: what a reader sees on them, kept as text that a person can read.

`python tests/golden_pages.py` writes them anew after a meant change; read the difference before
you commit it. Drawings and charts are kept as their titles and the words in them.
"""

from __future__ import annotations

import re
import tempfile
from html.parser import HTMLParser
from pathlib import Path

import markdown

from kitdocs.pages.charts import ChartCache
from kitdocs.pages.render import shipped_templates
from kitdocs.pages.site import render_site
from kitdocs.survey import survey

REPO = Path(__file__).parent.parent
GOLDEN = Path(__file__).parent / "golden"
PAGES = (
    "tellurion/index.md",
    "tellurion/stages/train.md",
    "tellurion/trains.md",
    "tellurion/deliveries.md",
    "tellurion/fasteners.md",
    "quayside/stages/mars.md",
)
_BLOCKS = {"p", "li", "tr", "h1", "h2", "h3", "h4", "table", "figure", "dt", "dd", "div", "ul"}
_BLOCKS |= {"section", "svg", "caption", "br", "ol", "dl", "aside", "figcaption"}


class _Visible(HTMLParser):
    """The words of a page, a line for each block; cells of a row apart by bars."""

    def __init__(self) -> None:
        super().__init__()
        self.text = ""
        self.unseen: list[str] = []

    def handle_starttag(self, tag, attrs) -> None:
        if tag in ("style", "defs", "desc") or "hidden" in dict(attrs):
            self.unseen.append(tag)
        elif tag in _BLOCKS:
            self.text += "\n"
        elif tag in ("td", "th", "text", "tspan", "title"):
            self.text += " | "

    def handle_endtag(self, tag) -> None:
        if self.unseen and self.unseen[-1] == tag:
            self.unseen.pop()
        elif tag in _BLOCKS:
            self.text += "\n"

    def handle_data(self, data) -> None:
        if not self.unseen:
            self.text += re.sub(r"[ \n]+", " ", data)


def visible(html: str) -> str:
    """What can be read on a page, without blank lines."""
    parser = _Visible()
    parser.feed(html)
    parser.close()
    lines = (re.sub(r"^\W*\| | +", " ", line).strip() for line in parser.text.split("\n"))
    return "\n".join(line for line in lines if line) + "\n"


def rendered() -> dict[str, str]:
    """The visible text of each golden page, as it is today."""
    with tempfile.TemporaryDirectory() as cache:
        site = render_site(
            survey(REPO, REPO / "content"),
            lambda page, target: target,
            (shipped_templates(),),
            ChartCache(Path(cache)),
        )
    reader = markdown.Markdown(extensions=["admonition", "attr_list", "md_in_html", "tables"])
    # The digest is of the whole model: it changes with every fact, on every page.
    texts = {
        uri: re.sub(r"\b[0-9a-f]{12,64}\b", "(digest)", site.pages[uri].markdown) for uri in PAGES
    }
    return {uri: visible(reader.reset().convert(text)) for uri, text in texts.items()}


def golden_file(uri: str) -> Path:
    return GOLDEN / uri.replace("/", "-").replace(".md", ".txt")


if __name__ == "__main__":
    GOLDEN.mkdir(exist_ok=True)
    for uri, text in rendered().items():
        golden_file(uri).write_text(text, encoding="utf-8")
