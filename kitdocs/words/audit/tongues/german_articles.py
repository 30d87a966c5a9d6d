"""German articles before the names of things: an article of another gender tells that the name is
not the one that was meant, or that the sentence was left behind when the name changed."""

from __future__ import annotations

import re
from functools import lru_cache

#: Articles that go with nouns of each gender in the singular, and with plurals.
_ARTICLES = {
    "m": frozenset(["der", "den", "dem", "des", "ein", "einen", "einem", "eines"]),
    "f": frozenset(["die", "der", "eine", "einer"]),
    "n": frozenset(["das", "dem", "des", "ein", "einem", "eines"]),
    "plural": frozenset(["die", "der", "den"]),
}
_EVERY = frozenset().union(*_ARTICLES.values())
#: Nouns that names of parts end in, by gender (from memory).
_NOUNS = {
    "m": "ring stift arm griff stab ständer fuß knopf kleber draht bolzen zapfen flansch schlüssel"
    " dreher karton lack pfosten deckel rahmen zeiger stein trieb riemen hebel",
    "f": "welle säule platte scheibe schraube nabe kugel mutter buchse hülse kurbel skala stange"
    " achse spindel leiste kappe feder kette klemme schnecke pinzette zange",
    "n": "rad rohr ritzel öl lager blatt gewicht gestell gehäuse glas holz brett",
}
_TAILS = {noun: gender for gender, nouns in _NOUNS.items() for noun in nouns.split()}
_BEFORE = re.compile(r"(?<!\w)([a-zäöü]+)\s+$", re.IGNORECASE)
_LAST = re.compile(r"[a-zäöüß]+$")


@lru_cache(maxsize=1024)
def _gender(name: str) -> str:
    """The gender of a name in the singular, by the noun that it ends in; empty if not known."""
    last = _LAST.search(name.lower())
    tails = (tail for tail in _TAILS if last and last[0].endswith(tail))
    longest = max(tails, key=len, default="")
    return _TAILS.get(longest, "")


def _article_before(text: str, start: int) -> str:
    """The article that stands right before a place, in lower case; empty where none does."""
    before = _BEFORE.search(text, max(0, start - 12), start)
    article = before[1].lower() if before else ""
    return article if article in _EVERY else ""


def wrong_article(text: str, start: int, one: str, is_plural: bool) -> tuple[str, str]:
    """The article that stands before a name at `start` and cannot be that of it, called `one` in
    the singular, and those that can; both empty where none is wrong."""
    article = _article_before(text, start)
    kind = "plural" if is_plural else _gender(one)
    if not article or not kind or article in _ARTICLES[kind]:
        return "", ""
    return article, ", ".join(sorted(_ARTICLES[kind]))
