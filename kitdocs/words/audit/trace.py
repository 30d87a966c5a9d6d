"""The trace: for each number in the words of each page, where it comes from."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from kitdocs.assembly.design import Design
from kitdocs.words.audit.auditor import Heard, audit
from kitdocs.words.audit.judging.statement import Against
from kitdocs.words.audit.site_words import SiteAudit


def trace(design: Design) -> list[dict[str, Any]]:
    """One entry for each number: its page (empty for what several pages show), language, place,
    sentence and text; `from` is `expression`, `fact`, `name`, `source` or `nothing`, and `by`
    the expression, the fact in words, the name or the source."""
    return [
        _entry(audited.words.uri, audited.words.code, heard)
        for audited in audit(design)
        for heard in audited.heard
    ]


def traces(designs: Iterable[Design | None], own: SiteAudit) -> list[dict[str, Any]]:
    """The entries of several kits, of which one that could not be read has none, and those of the
    site's own words."""
    of_kits = [entry for design in designs if design is not None for entry in trace(design)]
    return of_kits + [_entry(o.text.uri, o.text.language, o.heard) for o in own.heard]


def _entry(page: str, language: str, heard: Heard) -> dict[str, Any]:
    outcome = heard.outcome
    backed = not isinstance(outcome, Against)
    return {
        "page": page,
        "language": language,
        "place": str(heard.place),
        "sentence": heard.sentence.text,
        "number": heard.claim.text,
        "from": outcome.from_ if backed else "nothing",
        "by": outcome.by if backed else "",
    }
