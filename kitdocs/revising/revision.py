"""What lies between two revisions of a kit, as a whole; and its entry in the kit's errata."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import yaml

from kitdocs.assembly.design import Design
from kitdocs.kit.errata import Before, ChangedParcel, ChangedStage, Erratum
from kitdocs.kit.model import Kit
from kitdocs.kit.reader import ReadKit
from kitdocs.revising.beside import Beside, beside
from kitdocs.revising.facts import ChangedFact, changed_facts
from kitdocs.revising.pages import ChangedPage, changed_pages
from kitdocs.revising.parcels import changed_parcels
from kitdocs.revising.steps import Revisions
from kitdocs.revising.telling import Telling

ERRATA = "errata.yml"


@dataclass(frozen=True)
class Side:
    """A kit as it was read in one revision; `content` is the folder that its path counts from."""

    read: ReadKit
    content: Path

    @property
    def kit(self) -> Kit:
        assert self.read.kit
        return self.read.kit

    @property
    def folder(self) -> Path:
        """Where the kit's files are."""
        return self.content / self.read.folder


@dataclass(frozen=True)
class Revision:
    """From one revision of a kit to the next. `words` are what things are called. `unbuilt` are
    the stages that nobody can have built yet, since their parcels have not gone out."""

    title: str
    before: str
    now: str
    facts: tuple[ChangedFact, ...]
    words: tuple[ChangedFact, ...]
    stages: tuple[ChangedStage, ...]
    parcels: tuple[ChangedParcel, ...]
    pages: tuple[ChangedPage, ...] | None
    beside: tuple[Beside, ...]
    unbuilt: frozenset[str]

    @property
    def same_number(self) -> bool:
        """Whether the design has changed and still has the revision that it had."""
        return self.before == self.now and bool(self.facts or self.stages or self.parcels)

    @property
    def concerns_builders(self) -> bool:
        """Whether there is anything for the errata."""
        return bool(self.parcels or self.built)

    @property
    def built(self) -> tuple[ChangedStage, ...]:
        """The changed stages that somebody may have built."""
        return tuple(stage for stage in self.stages if stage.stage not in self.unbuilt)


def revision(old: Side, new: Side, sent: Sequence[str] | None) -> Revision:
    """Compare a kit with what it was. `sent` are the parcels that have gone out by the earlier
    revision, None where that is not known. Both kits must have been read."""
    before, now = Design(old.kit), Design(new.kit)
    telling = Telling(before, now)
    stages = Revisions(before, now, telling).stages()
    changed = [f for f in changed_facts(old.kit, new.kit) if f.path != "revision"]
    words = tuple(fact for fact in changed if fact.is_words)
    named = any(_is_listed(fact) for fact in changed)
    return Revision(
        title=new.kit.about.title,
        before=old.kit.about.revision,
        now=new.kit.about.revision,
        facts=tuple(fact for fact in changed if not fact.is_words),
        words=words,
        stages=stages,
        parcels=changed_parcels(before, now, telling, sent),
        pages=changed_pages(old.read, new.read, old.content, new.content),
        beside=beside(before, now, old.folder, new.folder, named),
        unbuilt=_unbuilt(old.kit, new.kit, sent),
    )


def _is_listed(fact: ChangedFact) -> bool:
    """Whether the lists of words of further languages say it too."""
    told = fact.is_words or fact.path.rpartition(".")[2] in ("mark", "material")
    return told and not fact.path.startswith("stages.")


def _unbuilt(old: Kit, new: Kit, sent: Sequence[str] | None) -> frozenset[str]:
    if sent is None:
        return frozenset()
    parcel = {stage.id: stage.front.delivery for kit in (new, old) for stage in kit.stages}
    return frozenset(stage for stage, delivery in parcel.items() if delivery not in sent)


def erratum(found: Revision, on: str) -> Erratum:
    """The entry of the errata for what a builder or a sent parcel has to know. `on` is ISO 8601."""
    written = {
        "from": found.before,
        "to": found.now,
        "on": on,
        "parcels": found.parcels,
        "stages": found.built,
    }
    return Erratum(**written)


_KEY = re.compile(r"^errata:[ \t]*(?:#.*)?\r?\n", re.M)


def with_erratum(text: str, entry: Erratum) -> str:
    """The text of an `errata.yml`, which may be empty, with one more entry at its top.

    What is there stays byte for byte. A list in brackets is left alone: it is not added to.
    """
    data = entry.model_dump(by_alias=True, exclude_defaults=True, mode="json")
    lines = yaml.safe_dump([data], allow_unicode=True, sort_keys=False, width=98).splitlines()
    key = _KEY.search(text)
    head, rest = (text[: key.end()], text[key.end() :]) if key else (text, "")
    first = re.match(r"(?:[ \t]*(?:#.*)?\r?\n)*( *)- ", rest)
    indent = first[1] if first else "  "  # entries of one list stand at one depth
    end = "\r\n" if "\r\n" in text else "\n"
    if head and not head.endswith("\n"):
        head += end
    block = "".join(f"{indent}{line}{end}" for line in lines)
    return f"{head}{'' if key else f'errata:{end}'}{block}{rest}"


def as_text(found: Revision) -> str:
    """The comparison for a terminal."""
    out = [f"{found.title}: {found.before} -> {found.now}"]
    if found.same_number:
        out.append(f"  The design has changed: give it another revision than {found.before}.")
    out += _section("Facts", [f"{fact.place}: {fact}" for fact in found.facts])
    out += _section("Names and titles", [f"{fact.place}: {fact}" for fact in found.words])
    out += _section("Stages and steps", [line for s in found.stages for line in _stage(s, found)])
    parcels = []
    for parcel in found.parcels:
        told = [parcel.state or "", "" if parcel.missing else "nothing missing"]
        told = ", ".join(word for word in told if word)
        parcels.append(f"{parcel.delivery}{f' ({told})' if told else ''}")
        parcels += [f"  {_pair(one)}" for one in parcel.parts]
    out += _section("Parcels", parcels)
    pages = ["cannot be told: a kit has errors"] if found.pages is None else map(str, found.pages)
    out += _section("Pages that read otherwise", list(pages))
    out += _section("Translations and captions", [str(file) for file in found.beside])
    if len(out) == 1:
        out.append("  nothing has changed")
    return "\n".join(out)


def _stage(stage: ChangedStage, found: Revision) -> list[str]:
    unbuilt = " (its parcel has not gone out)" if stage.stage in found.unbuilt else ""
    lines = []
    if stage.number:
        lines.append(f"in another place in the build: {_pair(stage.number)}")
    if stage.parcel:
        lines.append(f"from another parcel: {_pair(stage.parcel)}")
    lines += [f"a new caution: {hazard}" for hazard in stage.cautions]
    for step in stage.steps:
        lines.append(f"step {step.step}: {', '.join(step.changes)}")
        lines += [f"  {_pair(one)}" for one in (*step.parts, *step.figures)]
    return [f"stage {stage.stage}{unbuilt}", *(f"  {line}" for line in lines)]


def _pair(one: Before) -> str:
    return f"{one.before or 'none'} -> {one.now or 'none'}"


def _section(title: str, lines: list[str]) -> list[str]:
    return [title, *(f"  {line}" for line in lines)] if lines else []


def revision_json(found: Revision) -> dict[str, Any]:
    """The comparison for programs."""
    return {
        "title": found.title,
        "from": found.before,
        "to": found.now,
        "facts": [_fact(fact) for fact in found.facts],
        "words": [_fact(fact) for fact in found.words],
        "stages": [s.model_dump(by_alias=True, mode="json") for s in found.stages],
        "parcels": [p.model_dump(by_alias=True, mode="json") for p in found.parcels],
        "pages": None
        if found.pages is None
        else [{"page": page.uri, "languages": page.languages} for page in found.pages],
        "beside": [asdict(file) for file in found.beside],
        "unbuilt": sorted(found.unbuilt),
    }


def _fact(fact: ChangedFact) -> dict[str, str]:
    return {"path": fact.path, "place": str(fact.place), "change": str(fact)}


def as_json(found: Sequence[Revision]) -> str:
    """The comparisons of several kits, one JSON document: of one kit by itself, else a list."""
    data = [revision_json(one) for one in found]
    return json.dumps(data[0] if len(data) == 1 else data, ensure_ascii=False, indent=1)
