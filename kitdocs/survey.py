"""The survey of a site: every kit read, computed and checked, each once.

This is what the command line and the plugin both call.
"""

from __future__ import annotations

import gc
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding, Place, in_order, stops
from kitdocs.kit.reader import ReadKit, has_changed, kit_address, kit_folders, read_kit
from kitdocs.kit.signing import release_finding
from kitdocs.kit.site_texts import site_texts
from kitdocs.kit.source import shown_path
from kitdocs.kit.use_places import at_their_uses
from kitdocs.rules import registry
from kitdocs.words.audit.site_words import SiteAudit, audit_site


@dataclass(frozen=True)
class KitSurvey:
    """One kit: what was read, its design where it could be read, and its findings."""

    read: ReadKit
    design: Design | None
    findings: tuple[Finding, ...]

    @property
    def id(self) -> str:
        return self.read.id

    @property
    def kit(self):
        return self.read.kit

    @property
    def files(self) -> list[Path]:
        return self.read.files

    @property
    def is_mute(self) -> bool:
        """Whether its words could not be checked."""
        unrun = {"step-facts", "expression"}
        return any(f.rule in unrun and f.severity == "error" for f in self.findings)

    @property
    def stopped(self) -> bool:
        """Whether the kit has errors, so that none of its pages may be published."""
        return stops(self.findings)


@dataclass(frozen=True)
class Survey:
    """All kits of a site. `findings` are those of all of them, in the order of their places.

    `site_findings` stop every kit; what is wrong with the site's own words (`own_words`) none.
    """

    kits: tuple[KitSurvey, ...]
    site_findings: tuple[Finding, ...]
    own_words: SiteAudit = field(default_factory=SiteAudit)

    @cached_property
    def findings(self) -> list[Finding]:
        of_kits = (finding for kit in self.kits for finding in kit.findings)
        return in_order([*self.site_findings, *self.own_words.findings, *of_kits])

    @property
    def files(self) -> list[Path]:
        return [file for kit in self.kits for file in kit.files]


def survey(
    site_root: Path,
    content: Path,
    release: bool = False,
    last: Survey | None = None,
    settings: Path | None = None,
) -> Survey:
    """Read and check every kit under `content`; paths in findings are from `site_root`.

    A `release` demands of every kit that its model is the one that was signed. `last` is an
    earlier survey of the same folders: its kits are taken over where no file has changed.
    `settings` is the site's mkdocs.yml, where it is not in `site_root` under that name.
    """
    before = {kit.read.folder: kit for kit in last.kits} if last else {}
    kits = []
    with _rare_collection():
        for folder in kit_folders(content):
            known = before.get(kit_address(folder, content))
            if known is None or has_changed(known.read, folder):
                known = _kit(site_root, folder, content, release)
            kits.append(known)
    found: list[Finding] = []
    if not kits:
        place = Place(shown_path(content, site_root))
        mend = "Make a folder for the kit, with its kit.yml."
        found.append(Finding(place, "file-read", "no kit.yml in any folder", "a kit", mend))
    found += _same_ids(kits)
    own = _own_words(site_root, content, kits, settings or site_root / "mkdocs.yml")
    if own is None:
        told = "words outside of kits could not be checked until every kit can"
        place = Place(shown_path(content, site_root))
        found.append(Finding(place, "not-run", told, severity="note"))
    return Survey(tuple(kits), tuple(found), own or SiteAudit())


def _own_words(
    site_root: Path, content: Path, kits: Sequence[KitSurvey], settings: Path
) -> SiteAudit | None:
    """What the site says outside of its kits; None where words of a kit could not be checked."""
    first = next((kit.kit.languages[0] for kit in kits if kit.kit), "en")
    texts = site_texts(site_root, content, [kit.read.folder for kit in kits], settings, first)
    designs = tuple(kit.design for kit in kits if kit.design and not kit.is_mute)
    if len(designs) == len(kits) or not texts:
        return audit_site(designs, texts)
    return None


@contextmanager
def _rare_collection() -> Iterator[None]:
    """Let the garbage collector look seldom: what is read and computed mostly stays."""
    before = gc.get_threshold()
    gc.set_threshold(100_000, *before[1:])
    try:
        yield
    finally:
        gc.set_threshold(*before)


def _kit(site_root: Path, folder: Path, content: Path, release: bool) -> KitSurvey:
    read = read_kit(site_root, folder, content)
    if read.kit is None:
        place = Place(shown_path(folder / "kit.yml", site_root))
        found = "no rule could be checked on this kit until its files can be read"
        note = Finding(place, "not-run", found, severity="note")
        return KitSurvey(read, None, (*at_their_uses(read.findings, read.uses), note))
    design = Design(read.kit)
    unsigned = release_finding(read.kit) if release else None
    found = [*read.findings, *registry.run(design, read.findings)]
    of_steps = {rule.id for rule in registry.all_rules() if rule.group == "Steps"}
    told = tuple(at_their_uses(found, read.uses, read.kit, of_steps))
    return KitSurvey(read, design, (*told, unsigned) if unsigned else told)


def _same_ids(kits: Iterable[KitSurvey]) -> list[Finding]:
    seen: dict[str, KitSurvey] = {}
    findings = []
    for kit in kits:
        other = seen.setdefault(kit.id, kit)
        if other is not kit and kit.kit is not None:
            found = f"a second kit folder called {kit.id}"
            place = kit.kit.about.place()
            findings.append(Finding(place, "yaml-duplicate", found, "one", "Rename the folder."))
    return findings
