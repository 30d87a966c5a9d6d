"""Whether a published site is of today's model: every page of a kit ends with its digest.

Another site builder that knows nothing of kitdocs would publish stage pages as they are written,
unchecked; such pages carry no digest.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from kitdocs.finding import Finding, Place
from kitdocs.kit.model import Kit
from kitdocs.survey import Survey

#: So many of the digest's first letters are printed on a page at least.
SHOWN = 12
RULE = "page-published"


def check_published(site: Path, survey: Survey) -> list[Finding]:
    """A finding for every page of a kit in the folder `site` that is missing or of another model.

    A kit that cannot be read has no digest to compare with: its own findings say why.
    """
    findings: list[Finding] = []
    for kit in (found.kit for found in survey.kits if found.kit is not None):
        # Pages in a further language lie below its code, where the site has it.
        further = [site / code for code in kit.languages[1:] if (site / code).is_dir()]
        for root in (site, *further):
            findings += _check(kit, root)
    return findings


def _check(kit: Kit, site: Path) -> Iterator[Finding]:
    for page in _wanted(kit):
        if not any((site / name).is_file() for name in _addresses(page)):
            place = Place((site / _addresses(page)[0]).as_posix())
            expected = f"the page made from {page}"
            yield Finding(place, RULE, "no such page", expected, "Build the site.")
    for file in _published(kit, site):
        if kit.digest[:SHOWN] not in file.read_text("utf-8", errors="replace"):
            found = f"a page of the kit {kit.id} that does not carry the digest of its model"
            expected = f"{kit.digest[:SHOWN]} in it"
            mend = "Build the site again, with the plugin kitdocs."
            yield Finding(Place(file.as_posix()), RULE, found, expected, mend)


def _wanted(kit: Kit) -> Iterator[str]:
    yield f"{kit.folder}/index.md" if kit.folder else "index.md"
    for stage in kit.stages:
        yield stage.uri


def _published(kit: Kit, site: Path) -> list[Path]:
    """The kit's pages that are there: all in its folder, or those it must have."""
    if kit.folder:
        return sorted((site / kit.folder).rglob("*.html"))
    names = (name for page in _wanted(kit) for name in _addresses(page))
    return sorted({site / name for name in names if (site / name).is_file()})


def _addresses(page: str) -> tuple[str, ...]:
    """Where a page may be published: with directory addresses, and without."""
    name = page.removesuffix(".md")
    if name == "index" or name.endswith("/index"):
        return (f"{name}.html",)
    return (f"{name}/index.html", f"{name}.html")
