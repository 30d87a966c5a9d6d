"""`kitdocs pack`: the site as one zip that opens from a disk, with its search."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("archive", type=Path, metavar="FILE.zip", help="the zip to write")
    parser.add_argument(
        "--config",
        type=Path,
        default=Path("mkdocs.yml"),
        metavar="FILE",
        help="the settings of the site (default: mkdocs.yml)",
    )
    parser.add_argument("--strict", action="store_true", help="warnings stop too")


def run(options: argparse.Namespace) -> int:
    archive: Path = options.archive
    wrong = _wrong_call(archive, options.config)
    if wrong:
        print(f"kitdocs: {wrong}", file=sys.stderr)
        return 2
    from kitdocs.mkdocs_site.pack import PackingError, pack_site  # noqa: PLC0415 (brings MkDocs)

    try:
        count = pack_site(options.config, archive, options.strict)
    except PackingError as error:
        print(f"kitdocs: {error}", file=sys.stderr)
        return 1
    except OSError as error:
        print(f"kitdocs: {archive} cannot be written: {error.strerror}", file=sys.stderr)
        return 1
    size = archive.stat().st_size / 1e6
    print(f"{archive}: {count} files, {size:.1f} MB. Unzip it and open {archive.stem}/index.html.")
    return 0


def _wrong_call(archive: Path, settings: Path) -> str | None:
    if archive.suffix.lower() != ".zip":
        return f"{archive} is not named as a zip: write {archive.name}.zip"
    if not archive.parent.is_dir():
        return f"no folder {archive.parent}"
    if not settings.is_file():
        return f"no file {settings}; name the settings of the site with --config"
    return None
