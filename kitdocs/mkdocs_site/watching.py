"""What the preview watches beside the content folder."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

from mkdocs.livereload import LiveReloadServer


class Watching:
    """Adds folders to a running preview, each once; what is not there is passed over."""

    def __init__(self, server: LiveReloadServer, content: str):
        self._server = server
        self._content = os.path.realpath(content)
        self._watched: set[str] = set()

    def update(self, folders: Iterable[Path], files: Iterable[Path]) -> None:
        """Watch `folders` wholly, and the folder of every file that a link leads out to.

        A file is watched by its folder, since a watch on the file itself ends when an editor
        saves by putting a new file in its place.
        """
        wanted = {os.path.realpath(folder): True for folder in folders}
        for file in files:
            real = os.path.realpath(file)
            if not real.startswith(self._content + os.sep):
                wanted.setdefault(os.path.dirname(real), False)
        for path, recursive in sorted(wanted.items()):
            if path not in self._watched and os.path.isdir(path):
                self._watched.add(path)
                self._server.watch(path, recursive=recursive)
