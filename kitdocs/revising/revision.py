"""What lies between two revisions of a kit, as a whole; and its entry in the kit's errata."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from kitdocs.kit.errata import ChangedParcel, ChangedStage, Erratum
from kitdocs.revising.facts import ChangedFact, changed_facts
from kitdocs.revising.pages import changed_pages
from kitdocs.revising.steps import Revisions
from kitdocs.survey import KitSurvey

ERRATA = "errata.yml"


@dataclass(frozen=True)
class Revision:
    """From one revision of a kit to the next. `pages` and `beside` are paths in the kit's folder;
    `beside` are translations and captions of stages that have changed."""

    title: str
    before: str
    now: str
    facts: tuple[ChangedFact, ...]
    stages: tuple[ChangedStage, ...]
    parcels: tuple[ChangedParcel, ...]
    pages: tuple[str, ...]
    beside: tuple[str, ...]

    @property
    def same_number(self) -> bool:
        """Whether the design has changed and still has the revision that it had."""
        return self.before == self.now and bool(self.facts or self.stages or self.parcels)


def revision(old: KitSurvey, new: KitSurvey, folder: Path, sent: Sequence[str]) -> Revision:
    """Compare a kit with what it was. `folder` is where its files are now; `sent` are the parcels
    that have gone out by the earlier one. Both kits must have been read."""
    assert old.design and new.design
    both = Revisions(old.design, new.design)
    stages = both.stages()
    was, now = old.design.kit.about, new.design.kit.about
    facts = changed_facts(old.design.kit, new.design.kit)
    return Revision(
        title=now.title,
        before=was.revision,
        now=now.revision,
        facts=tuple(fact for fact in facts if fact.path != "revision"),
        stages=stages,
        parcels=both.parcels(sent),
        pages=changed_pages(old, new),
        beside=tuple(_beside(folder, new, stages)),
    )


def _beside(folder: Path, kit: KitSurvey, stages: Sequence[ChangedStage]) -> list[str]:
    changed = {stage.stage for stage in stages}
    found: list[str] = []
    for written in kit.kit.about.stages:
        page = folder / written
        if page.stem in changed:
            files = {*page.parent.glob(f"{page.stem}.*.md"), *page.parent.glob(f"{page.stem}*.vtt")}
            found += sorted(file.relative_to(folder).as_posix() for file in files)
    return found


def erratum(found: Revision, on: str) -> Erratum:
    """The entry of the errata for what a builder or a sent parcel has to know. `on` is ISO 8601."""
    written = {
        "from": found.before,
        "to": found.now,
        "on": on,
        "parcels": found.parcels,
        "stages": found.stages,
    }
    return Erratum(**written)


def with_erratum(text: str, entry: Erratum) -> str:
    """The text of an `errata.yml`, which may be empty, with one more entry at its top."""
    data = entry.model_dump(by_alias=True, exclude_defaults=True, mode="json")
    lines = yaml.safe_dump([data], allow_unicode=True, sort_keys=False, width=98).splitlines()
    head, key, rest = text.partition("errata:\n")
    first = re.match(r"(?:[ \t]*(?:#.*)?\n)*( *)- ", rest)
    indent = first[1] if first else "  "  # entries of one list stand at one depth
    block = "".join(f"{indent}{line}\n" for line in lines)
    return f"{head}errata:\n{block}{rest}" if key else f"{text}errata:\n{block}"


def as_text(found: Revision) -> str:
    """The comparison for a terminal."""
    out = [f"{found.title}: {found.before} -> {found.now}"]
    if found.same_number:
        out.append(f"  The design has changed: give it another revision than {found.before}.")
    out += _section("Facts", [f"{fact.place}: {fact}" for fact in found.facts])
    steps = []
    for stage in found.stages:
        for step in stage.steps:
            steps.append(f"stage {stage.stage}, step {step.step}: {', '.join(step.changes)}")
            steps += [f"  {_pair(one)}" for one in (*step.parts, *step.figures)]
    out += _section("Steps", steps)
    parcels = []
    for parcel in found.parcels:
        parcels.append(f"{parcel.delivery}{' (sent)' if parcel.state == 'sent' else ''}")
        parcels += [f"  {_pair(one)}" for one in parcel.parts]
    out += _section("Parcels", parcels)
    out += _section("Pages that read otherwise", list(found.pages))
    out += _section("Translations and captions of changed stages", list(found.beside))
    if len(out) == 1:
        out.append("  nothing has changed")
    return "\n".join(out)


def _pair(one: Any) -> str:
    return f"{one.before or 'none'} -> {one.now or 'none'}"


def _section(title: str, lines: list[str]) -> list[str]:
    return [title, *(f"  {line}" for line in lines)] if lines else []


def revision_json(found: Revision) -> str:
    """The comparison for programs."""
    data = {
        "title": found.title,
        "from": found.before,
        "to": found.now,
        "facts": [{"path": f.path, "place": str(f.place), "change": str(f)} for f in found.facts],
        "stages": [s.model_dump(by_alias=True, mode="json") for s in found.stages],
        "parcels": [p.model_dump(by_alias=True, mode="json") for p in found.parcels],
        "pages": found.pages,
        "beside": found.beside,
    }
    return json.dumps(data, ensure_ascii=False, indent=1)
