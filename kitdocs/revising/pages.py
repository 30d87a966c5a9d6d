"""Which published pages read otherwise in a later revision, in which languages."""

from __future__ import annotations

import hashlib
import posixpath
import re
import tempfile
from dataclasses import dataclass, replace
from pathlib import Path

from kitdocs.assembly.design import Design
from kitdocs.finding import stops
from kitdocs.kit.model import Kit
from kitdocs.kit.reader import ReadKit
from kitdocs.pages.charts import ChartCache
from kitdocs.pages.render import shipped_templates
from kitdocs.pages.site import render_site
from kitdocs.rules import registry
from kitdocs.survey import KitSurvey, Survey


@dataclass(frozen=True)
class ChangedPage:
    """A page by its path in the kit's folder, and the languages in which it reads otherwise."""

    uri: str
    languages: tuple[str, ...]
    in_all: bool

    def __str__(self) -> str:
        return self.uri if self.in_all else f"{self.uri} ({', '.join(self.languages)})"


class _Undrawn(ChartCache):
    """Charts as the data that they are drawn from: enough to tell whether one is another."""

    def svg(self, chart: object) -> str:
        return repr(chart)


def changed_pages(
    old: ReadKit, new: ReadKit, old_content: Path, new_content: Path
) -> tuple[ChangedPage, ...] | None:
    """The kit's pages that read otherwise, new and dropped ones among them; None where a kit with
    errors gives no pages.

    What every page says of its revision is left aside. A picture or film counts by what is in it.
    """
    assert old.kit and new.kit
    codes = new.kit.languages
    before, now = _sound(old, old.kit), _sound(new, new.kit)
    found: dict[str, list[str]] = {}
    for code in codes:
        was, is_ = _texts(before, code, old_content), _texts(now, code, new_content)
        if was is None or is_ is None:
            return None
        for uri in dict.fromkeys((*is_, *was)):
            if was.get(uri) != is_.get(uri):
                found.setdefault(uri, []).append(code)
    return tuple(ChangedPage(uri, tuple(own), len(own) == len(codes)) for uri, own in found.items())


def _sound(read: ReadKit, kit: Kit) -> KitSurvey:
    """The kit as if it had no findings, no number and no signature."""
    about = kit.about.changed(revision="0", signed=None)
    plain = replace(kit, about=about, digest="0" * 16)
    return KitSurvey(replace(read, kit=plain), Design(plain), ())


def _texts(kit: KitSurvey, code: str, content: Path) -> dict[str, str] | None:
    """What a reader of a language sees of each page, by its path in the kit's folder."""
    with tempfile.TemporaryDirectory() as folder:
        charts = _Undrawn(Path(folder) / "charts")
        templates = [shipped_templates()]
        try:
            site = render_site(Survey((kit,), ()), _link, templates, charts, language=code)
        except Exception:  # what is missing in a faulty kit may be missed anywhere
            if kit.design and stops(registry.run(kit.design, kit.read.findings)):
                return None
            raise
    home = f"{kit.read.folder}/" if kit.read.folder else ""
    known: dict[Path, str] = {}
    return {
        uri.removeprefix(home): _seen(page.markdown, content, uri, known)
        for uri, page in site.pages.items()
        if uri.startswith(home)
    }


def _link(page: str, target: str) -> str:
    return target


_FILE = re.compile(r"(?:\]\(|\b(?:src|href|poster)=\")([^)\"\s?#]+\.(?!md\b)\w{2,5})(?=[)\"\s])")


def _seen(markdown: str, content: Path, uri: str, known: dict[Path, str]) -> str:
    text = re.sub(r"(?s)<(style|script)\b.*?</\1>", "", markdown)
    text = re.sub(r' data-[\w-]+="[^"]*"', "", text)
    files = [_digest(content, uri, match[1], known) for match in _FILE.finditer(text)]
    return "\n".join(line for line in [*text.splitlines(), *files] if line)


def _digest(content: Path, uri: str, target: str, known: dict[Path, str]) -> str:
    """What is in a file that a page shows; empty for what is no file of the content folder."""
    if ":" in target:
        return ""
    for base in (posixpath.dirname(uri), ""):
        file = content / posixpath.normpath(posixpath.join(base, target))
        if file.is_file():
            if file not in known:
                known[file] = hashlib.sha256(file.read_bytes()).hexdigest()
            return known[file]
    return ""
