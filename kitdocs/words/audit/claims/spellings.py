"""Designations in all their spellings, as prose has them."""

from __future__ import annotations

import re

from kitdocs.kit.designation import Designation, parse_designation

#: `M2.5 × 6`, `M2,5x6`, `M2.5*6`, `M2.5-6`, `ISO 7045 – M2.5 x 6`; the x may be a Cyrillic one.
DESIGNATION = re.compile(
    r"(?<!\w)(?:(?:ISO|DIN|EN)[ \u00a0]*\d{3,5}(?:-\d)?[ \u00a0–-]*)?"
    r"M[ \u00a0]?\d{1,2}(?:[.,]\d{1,2})?"
    r"(?:[ \u00a0\u202f]*[x×*хХX✕·-][ \u00a0\u202f]*\d{1,3}(?:[.,]\d{1,2})?){0,2}(?![\w]|[.,]\d)"
)


def read_spelling(text: str) -> Designation | None:
    """The designation that a text spells, in whatever way; None when it is none."""
    text = re.sub(r"[\u00a0\u202f]", " ", text)
    text = re.sub(r"(?<=\d),(?=\d)", ".", text)
    text = re.sub(r"^(ISO|DIN|EN)\s*(\d+(?:-\d)?)[ –-]*(?=M)", r"\1 \2 ", text)
    text = re.sub(r"M\s+(?=\d)", "M", text)
    head, mark, size = text.partition("M")
    return parse_designation(head + mark + re.sub(r"\s*[x×*хХX✕·-]\s*", " x ", size))


def covers(said: Designation, part: Designation) -> bool:
    """Whether a part is meant: it is the one said, or has the thread that alone is said."""
    if said.length or said.thread != part.thread:
        return said.covers(part)
    return said.standard in ("", part.standard)
