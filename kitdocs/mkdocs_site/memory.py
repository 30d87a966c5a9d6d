"""What a build keeps for the next one: what pages gave, and the theme's compiled templates.

Rendering Markdown is half of a build. What it gives depends on the page's final Markdown, the
extensions and their settings, which files there are to link to, and the programs that render:
their digest is the key. A page whose rendering logged anything is not kept, so that the message
is seen again.
"""

from __future__ import annotations

import hashlib
import json
import re
import sys
from collections.abc import Iterable
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

import jinja2
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File
from mkdocs.structure.pages import Page
from mkdocs.theme import Theme

from kitdocs.mkdocs_site.store import Store

#: Extensions whose output depends on the Markdown and their settings alone: all of Markdown's
#: own, and most of pymdownx. Others read files of their own, or may do anything.
_SETTLED = re.compile(
    r"(markdown\.extensions\.)?(abbr|admonition|attr_list|codehilite|def_list|extra|fenced_code"
    r"|footnotes|legacy_attrs|md_in_html|meta|nl2br|sane_lists|smarty|tables|toc|wikilinks)"
    r"|pymdownx\.(arithmatex|betterem|caret|critic|details|emoji|highlight|inlinehilite|keys|mark"
    r"|smartsymbols|superfences|tabbed|tasklist|tilde)"
)
_PROGRAMS = ("mkdocs", "markdown", "pymdown-extensions", "pygments", "mkdocs-material", "jinja2")


class Memory:
    """What pages gave, by digest. `begin` it with each build, `forget` at its end, then `save`."""

    def __init__(self) -> None:
        self._store: Store | None = None
        self._setting: bytes | None = None

    def begin(self, config: MkDocsConfig, files: Iterable[File], folder: Path) -> None:
        """Take note of what all pages depend on; read what an earlier build kept in `folder`.

        No rendering is kept with Markdown extensions that are not known.
        """
        if self._store is None:
            self._store = Store(folder / "pages.json")
        extensions = config.markdown_extensions
        if not all(isinstance(e, str) and _SETTLED.fullmatch(e) for e in extensions):
            self._setting = None
            return
        validation = {k: dict(v) for k, v in config.validation.items()}
        setting: list[Any] = [extensions, config.mdx_configs, validation]
        setting.append([(f.src_uri, f.url, f.inclusion.name) for f in files])
        self._setting = json.dumps(setting, sort_keys=True, default=_by_name).encode()

    def key(self, page: Page) -> str | None:
        """The digest of all that a page's rendering is made from; None where it is not known."""
        if self._setting is None:
            return None
        return digest([page.file.src_uri, page.markdown], self._setting)

    def get(self, key: str | None) -> Any:
        """What is kept under a key, as JSON; None where there is nothing."""
        return self._store.get(key) if self._store and key else None

    def put(self, key: str | None, value: Any) -> None:
        if self._store and key:
            self._store.put(key, value)

    def forget(self) -> None:
        """Drop what this build had no use for."""
        if self._store:
            self._store.forget()

    def save(self) -> None:
        """Keep everything for the next process."""
        if self._store:
            self._store.save()


def digest(made_of: list[Any], setting: bytes = b"") -> str:
    """The digest of what a result is made from, and of the programs that make it."""
    text = json.dumps([_versions(), made_of], sort_keys=True, default=_by_name)
    return hashlib.sha256(setting + text.encode()).hexdigest()


def keep_compiled(theme: Theme, folder: Path) -> None:
    """Keep the compiled templates of a theme below `folder`, by what their code depends on.

    Every environment that the theme makes is told of it: the search plugin has three of its own.
    """
    make = theme.get_env

    def get_env() -> jinja2.Environment:
        environment = make()
        setting = [sorted(environment.extensions), sorted(environment.filters)]
        place = folder / "templates" / digest(setting)[:12]
        place.mkdir(parents=True, exist_ok=True)
        environment.bytecode_cache = jinja2.FileSystemBytecodeCache(str(place))
        return environment

    theme.get_env = get_env


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
