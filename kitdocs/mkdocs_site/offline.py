"""The site kept on a reader's device: a service worker with a list of the finished files.

The worker stands at the site's root, so that all pages are in its scope, and begins with the list:
each file that pages show, with its digest. It is written last, of the whole site in all languages;
any change of a file changes the worker, which is how a browser learns of it.

Where nothing shall be kept, a worker stands there that takes the other's cache away and then
itself. Without it a browser that has once met the other would show its old pages for ever: in a
preview at the address where a finished site was looked at, or after the publisher switched it off.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Collection, Iterable, Sequence
from pathlib import Path, PurePosixPath

WORKER = "kitdocs-worker.js"

#: What pages are made of. Films and archives are not kept: they would fill a tablet, and players
#: ask for parts of a file, which is not how it is kept.
_PAGES = (".css", ".html", ".js", ".json", ".mjs", ".pdf", ".vtt")
_PICTURES = (".avif", ".gif", ".ico", ".jpeg", ".jpg", ".png", ".svg", ".webp")
_FONTS = (".ttf", ".woff", ".woff2")
_KEPT = frozenset((*_PAGES, *_PICTURES, *_FONTS))
#: Of no use to a reader, or not what a page loads from a server.
_LEFT = frozenset(("404.html", WORKER))
_ON_DISK_ONLY = frozenset(("kitdocs-disk.js", "iframe-worker.js", "search_index.js"))
_STEMMERS = "assets/javascripts/lunr/"


def write_worker(
    site: Path, templates: Sequence[Path], keep: bool, without: Collection[str] = ()
) -> None:
    """Write the worker of a finished site: the one that keeps it but for the files `without`, or
    the one that ends that."""
    if not keep:
        text = plain_script(templates, "forget.js")
    else:
        kept = {path: d for path, d in kept_files(site).items() if path not in without}
        listed = json.dumps(kept, separators=(",", ":"), ensure_ascii=False)
        version = hashlib.sha256(listed.encode()).hexdigest()[:16]
        told = f'{{"version":"{version}","files":{listed}}}'
        text = f"self.kitdocs = {told};\n{plain_script(templates, 'keep.js')}"
    (site / WORKER).write_text(text, encoding="utf-8")


def kept_files(site: Path) -> dict[str, str]:
    """The files that are kept, by path from the site's root, with their digests as browsers take
    them for integrity (https://www.w3.org/TR/sri-2/): sha256 in base64."""
    unused = unused_stemmers(site)
    found = {}
    for path in site_files(site):
        name = PurePosixPath(path).name
        wanted = PurePosixPath(path).suffix.lower() in _KEPT
        if wanted and path not in _LEFT and path not in unused and name not in _ON_DISK_ONLY:
            digest = hashlib.sha256((site / path).read_bytes()).digest()
            found[path] = f"sha256-{base64.b64encode(digest).decode()}"
    return found


def site_files(site: Path) -> list[str]:
    """The files of a finished site by path, sorted. Names that begin with a dot or, at the root,
    with an underline are for the host."""
    paths = (file.relative_to(site) for file in site.rglob("*") if file.is_file())
    return sorted(
        path.as_posix()
        for path in paths
        if not path.as_posix().startswith("_") and not any(p.startswith(".") for p in path.parts)
    )


def unused_stemmers(site: Path) -> set[str]:
    """The theme's files for searching in languages that this site is not searched in."""
    found = {path for path in site_files(site) if path.startswith(_STEMMERS)}
    index = site / "search" / "search_index.json"
    if not index.is_file():
        return found
    languages = json.loads(index.read_text("utf-8"))["config"].get("lang", [])
    needed = {"lunr.stemmer.support.min.js", "lunr.multi.min.js"}
    needed |= {f"lunr.{language}.min.js" for language in languages}
    needed |= {"tinyseg.js"} if "ja" in languages else set()
    needed |= {"wordcut.js"} if {"hi", "th"} & set(languages) else set()
    return {path for path in found if PurePosixPath(path).name not in needed}


def plain_script(templates: Iterable[Path], name: str) -> str:
    """A script of `workers/`, from the first folder of templates that has it."""
    return next(
        file.read_text("utf-8")
        for folder in templates
        if (file := folder / "workers" / name).is_file()
    )
