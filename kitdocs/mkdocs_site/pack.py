"""A site as one zip that opens from a disk, with its search, where there is no server.

The site is built in the form for that: addresses of files instead of folders, everything loaded
as a page from a disk may load it, and nothing that only a server's pages can use.
"""

from __future__ import annotations

import logging
import os
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path, PurePosixPath

from mkdocs.commands.build import build
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import Abort, ConfigurationError, MkDocsException

from kitdocs.mkdocs_site.offline import site_files, unused_stemmers

#: The earliest day that a zip can hold: archives of equal sites are equal, whatever the day.
_DAY = (1980, 1, 1, 0, 0, 0)
_PLAIN_FILE = 0o100644 << 16
_UNIX = 3
_INDEX = "search/search_index.json"
_FOR_SERVERS = frozenset(
    ("404.html", "sitemap.xml", "sitemap.xml.gz", "robots.txt", "CNAME", _INDEX)
)


def pack_site(settings: Path, archive: Path, strict: bool) -> int:
    """Build the site of `settings` (a mkdocs.yml) and pack it; the number of files in the archive.

    In the archive they are in one folder, which has its name. Raises `PackingError`, and leaves an
    archive that is there as it is, where the site cannot be built.
    """
    with tempfile.TemporaryDirectory(prefix="kitdocs-") as folder:
        site = Path(folder) / "site"
        _build(settings, site, strict)
        files = [path for path in site_files(site) if _wanted(path)]
        files = sorted(set(files) - unused_stemmers(site))
        part = archive.with_name(f"{archive.name}.{os.getpid()}.part")
        try:
            _write(part, site, files, archive.stem)
            part.replace(archive)
        finally:
            part.unlink(missing_ok=True)
    return len(files)


class PackingError(Exception):
    """Why a site cannot be packed, as it is told to the user."""


def _build(settings: Path, site: Path, strict: bool) -> None:
    with _told_by_mkdocs():
        try:
            given = {"strict": True} if strict else {}
            config = load_config(
                str(settings), site_dir=str(site), use_directory_urls=False, **given
            )
            if "kitdocs" not in config.plugins:
                raise PackingError(f"{settings.name} has no plugin kitdocs")
            _for_disk(config)
            config.plugins.on_startup(command="build", dirty=False)
            try:
                build(config)
            finally:
                config.plugins.on_shutdown()
        except (Abort, ConfigurationError, MkDocsException) as error:
            raise PackingError(str(error) or "the site cannot be built") from error


def _for_disk(config: MkDocsConfig) -> None:
    config.plugins["kitdocs"].for_disk = True
    # Pages that are changed without loading them anew are fetched, which a disk does not allow.
    config.theme["features"] = [
        feature
        for feature in config.theme.get("features") or []
        if not feature.startswith("navigation.instant")
    ]


@contextmanager
def _told_by_mkdocs() -> Iterator[None]:
    """Show what MkDocs warns of, as its own command does."""
    shown, logger = logging.StreamHandler(), logging.getLogger("mkdocs")
    shown.setLevel(logging.WARNING)
    shown.setFormatter(logging.Formatter("%(levelname)s - %(message)s"))
    logger.addHandler(shown)
    try:
        yield
    finally:
        logger.removeHandler(shown)


def _wanted(path: str) -> bool:
    return path not in _FOR_SERVERS and PurePosixPath(path).suffix != ".map"


def _write(file: Path, site: Path, files: list[str], folder: str) -> None:
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for path in files:
            entry = zipfile.ZipInfo(f"{folder}/{path}", _DAY)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system, entry.external_attr = _UNIX, _PLAIN_FILE
            archive.writestr(entry, (site / path).read_bytes())
