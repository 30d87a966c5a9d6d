"""Building beside the published site, and swapping at the end.

MkDocs empties the site's folder before it knows whether the build will succeed. So it is led to
a folder beside it; the finished folder takes the site's place by renames. A build that fails
leaves the site as it was, byte for byte.
"""

from __future__ import annotations

import logging
import os
import shutil
import tempfile
from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.utils import CountHandler


class BuildBeside:
    """One build into a folder beside `config.site_dir`: begin, then publish or abandon.

    `config.site_dir` is the published folder again after either, as `gh-deploy` expects.
    """

    def __init__(self, config: MkDocsConfig):
        self._config = config
        self._named = config.site_dir
        # The folder that a link leads to is swapped, not the link.
        self._site = Path(os.path.realpath(config.site_dir))
        self._old = self._site.with_name(f".{self._site.name}.old")
        self._recover()
        self._new = self._empty_folder()
        config.site_dir = str(self._new)

    def publish(self) -> None:
        """Put the finished folder in the site's place."""
        self._config.site_dir = self._named
        # A mount point, or a site in a folder that may not be written, cannot be renamed.
        if not self._renames:
            self._site.mkdir(parents=True, exist_ok=True)
            _empty(self._site)
            _move_entries(self._new, self._site)
            shutil.rmtree(self._new)
            return
        if self._site.exists():
            self._site.rename(self._old)
        self._new.rename(self._site)
        self._retire_old()

    def abandon(self) -> None:
        """Drop what was built; the published site stays. Harmless after `publish`."""
        self._config.site_dir = self._named
        shutil.rmtree(self._new, ignore_errors=True)

    @property
    def _renames(self) -> bool:
        return self._new.parent == self._site.parent

    def _empty_folder(self) -> Path:
        self._site.parent.mkdir(parents=True, exist_ok=True)
        if os.path.ismount(self._site) or not os.access(self._site.parent, os.W_OK):
            return Path(tempfile.mkdtemp(prefix="kitdocs-"))
        new = self._site.with_name(f".{self._site.name}.building")
        shutil.rmtree(new, ignore_errors=True)  # left by a build that was killed
        new.mkdir()
        return new

    def _recover(self) -> None:
        """Mend what a kill between the renames of an earlier build left."""
        if not self._old.exists():
            return
        if self._site.exists():
            self._retire_old()
        else:
            self._old.rename(self._site)

    def _retire_old(self) -> None:
        if not self._old.exists():
            return
        for entry in self._old.iterdir():
            # MkDocs never writes hidden entries and never clears them: `.git` of a work tree.
            if entry.name.startswith(".") and not (self._site / entry.name).exists():
                entry.rename(self._site / entry.name)
        shutil.rmtree(self._old)


def will_abort(config: MkDocsConfig) -> bool:
    """Whether MkDocs has counted a warning, for which it will abort a strict build."""
    handlers = logging.getLogger("mkdocs").handlers
    counted = any(h.get_counts() for h in handlers if isinstance(h, CountHandler))
    return config.strict and counted


def _empty(folder: Path) -> None:
    for entry in folder.iterdir():
        if entry.name.startswith("."):
            continue
        if entry.is_dir() and not entry.is_symlink():
            shutil.rmtree(entry)
        else:
            entry.unlink()


def _move_entries(source: Path, target: Path) -> None:
    for entry in source.iterdir():
        shutil.move(entry, target / entry.name)
