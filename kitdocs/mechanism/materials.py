"""What a part's `material` says, by its words: how it holds a thread and takes a press fit."""

from __future__ import annotations

import re
from typing import Literal

MaterialKind = Literal["hard", "aluminium", "soft"]

_WORDS: dict[MaterialKind, str] = {
    "hard": r"steel|brass|bronze",
    "aluminium": r"alumini?um",
    "soft": r"\bply|wood|birch|beech|\bmdf\b|acetal|nylon|acrylic|plastic",
}

Glued = Literal["metal", "wood", "plastic"]

_GLUED: dict[Glued, str] = {
    "metal": rf"{_WORDS['hard']}|{_WORDS['aluminium']}",
    "wood": r"\bply|wood|birch|beech|\bmdf\b",
    "plastic": r"acetal|nylon|acrylic|plastic",
}


def glued_kinds(material: str | None) -> tuple[Glued, ...]:
    """What an adhesive has to hold to, of a material's words; none for words not known."""
    text = (material or "").lower()
    return tuple(kind for kind, words in _GLUED.items() if re.search(words, text))


def material_kinds(material: str | None) -> tuple[MaterialKind, ...]:
    """Every kind that a material's words name, hardest first; none for words that are not known."""
    text = (material or "").lower()
    return tuple(kind for kind, words in _WORDS.items() if re.search(words, text))
