"""What a build keeps for the next one: rendered pages, and the theme's compiled templates.

Rendering Markdown is half of a build. What it gives depends on the page's final Markdown, the
extensions and their settings, which files there are to link to, and the programs that render:
their digest is the key. A page whose rendering logged anything is not kept, so that the message
is seen again.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import sys
from collections.abc import Iterable
from dataclasses import asdict, dataclass, field
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

import jinja2
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File
from mkdocs.structure.pages import Page

#: Extensions whose output depends on the Markdown and their settings alone: all of Markdown's
#: own, and most of pymdownx. Others read files of their own, or may do anything.
_SETTLED = re.compile(
    r"(markdown\.extensions\.)?(abbr|admonition|attr_list|codehilite|def_list|extra|fenced_code"
    r"|footnotes|legacy_attrs|md_in_html|meta|nl2br|sane_lists|smarty|tables|toc|wikilinks)"
    r"|pymdownx\.(arithmatex|betterem|caret|critic|details|emoji|highlight|inlinehilite|keys|mark"
    r"|smartsymbols|superfences|tabbed|tasklist|tilde)"
)
_PROGRAMS = ("mkdocs", "markdown", "pymdown-extensions", "pygments", "mkdocs-material", "jinja2")


@dataclass(frozen=True)
class Heading:
    """An entry of a page's table of contents. `title` is HTML."""

    title: str
    id: str
    level: int
    children: list[Heading]


@dataclass(frozen=True)
class Rendering:
    """What rendering a page gave. `links` holds, by the source path of a page that is linked
    to, the anchors that are linked to and how."""

    content: str
    toc: list[Heading]
    title: str | None
    anchors: list[str]
    links: dict[str, dict[str, str]]


@dataclass
class Memory:
    """Renderings by digest. `begin` it with each build; `forget` and `save` at its end."""

    _kept: dict[str, Rendering] = field(default_factory=dict)
    _used: dict[str, Rendering] = field(default_factory=dict)
    _setting: bytes | None = None
    _file: Path | None = None

    def begin(self, config: MkDocsConfig, files: Iterable[File], folder: Path) -> None:
        """Take note of what all pages depend on; read what an earlier build kept in `folder`.

        Nothing is kept with Markdown extensions that are not known.
        """
        self._used = {}
        if self._file is None:
            self._file = folder / "pages.json"
            self._kept = _read(self._file)
        extensions = config.markdown_extensions
        if not all(isinstance(e, str) and _SETTLED.fullmatch(e) for e in extensions):
            self._setting = None
            return
        validation = {k: dict(v) for k, v in config.validation.items()}
        setting: list[Any] = [_versions(), extensions, config.mdx_configs, validation]
        setting.append([(f.src_uri, f.url, f.inclusion.name) for f in files])
        self._setting = json.dumps(setting, sort_keys=True, default=_by_name).encode()

    def key(self, page: Page) -> str | None:
        if self._setting is None:
            return None
        text = json.dumps([page.file.src_uri, page.markdown]).encode()
        return hashlib.sha256(self._setting + text).hexdigest()

    def get(self, key: str | None) -> Rendering | None:
        found = self._kept.get(key) if key else None
        if key and found:
            self._used[key] = found
        return found

    def put(self, key: str | None, rendering: Rendering) -> None:
        if key:
            self._used[key] = rendering

    def forget(self) -> None:
        """Drop what this build had no use for, and write down what is new."""
        changed = self._kept.keys() != self._used.keys()
        self._kept, self._used = self._used, {}
        if changed and self._file:
            kept = {key: asdict(rendering) for key, rendering in self._kept.items()}
            self._file.parent.mkdir(parents=True, exist_ok=True)
            part = self._file.with_name(f"{self._file.name}.{os.getpid()}.part")
            part.write_text(json.dumps(kept), "utf-8")
            part.replace(self._file)


def keep_compiled(environment: jinja2.Environment, folder: Path) -> None:
    """Keep the compiled templates of a theme below `folder`, by what their code depends on."""
    setting = [_versions(), sorted(environment.extensions), sorted(environment.filters)]
    digest = hashlib.sha256(json.dumps(setting).encode()).hexdigest()[:12]
    place = folder / "templates" / digest
    place.mkdir(parents=True, exist_ok=True)
    environment.bytecode_cache = jinja2.FileSystemBytecodeCache(str(place))


def _read(file: Path) -> dict[str, Rendering]:
    """What is kept in a file; nothing where it is missing or not what was written."""
    try:
        kept = json.loads(file.read_text("utf-8"))
        return {
            key: Rendering(**given | {"toc": _toc(given["toc"])}) for key, given in kept.items()
        }
    except (OSError, ValueError, TypeError, KeyError, AttributeError):
        return {}


def _toc(given: list[dict[str, Any]]) -> list[Heading]:
    return [Heading(**entry | {"children": _toc(entry["children"])}) for entry in given]


@cache
def _versions() -> list[str]:
    found = [sys.version]
    for program in _PROGRAMS:
        try:
            found.append(version(program))
        except PackageNotFoundError:
            found.append("")
    return found


def _by_name(value: object) -> str:
    """A setting that JSON has no form for: a function of a module, by its name."""
    if callable(value) and hasattr(value, "__qualname__"):
        return f"{value.__module__}.{value.__qualname__}"
    return repr(value)
