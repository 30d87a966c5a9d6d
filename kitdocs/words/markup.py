"""Model text in Markdown: the one place where it is made literal."""

from __future__ import annotations

import re

_RISKY = re.compile(
    r"[^\w\s.,;:)%×°±–—−’…-]|_|^[-+]|(?<=\n)[-+]|^\d+\.(?=\s)"
    r"|-(?=-)|\.(?=\.)|\d(?=(?:st|nd|rd|th)\b)"  # what smart punctuation acts on
)


class Markup(str):
    """Text that is Markdown already, such as a link; it is not made literal again."""

    __slots__ = ()


def literal(text: object) -> str:
    """Text that Markdown shows letter for letter, whatever signs it holds.

    Signs that Markdown or its extensions may act on become character references: `#6-32` stays
    no heading, `M2.5*6*8` keeps its stars, `<M2.5x6>` is no tag, `1/2` no vulgar fraction and
    `(c)` no sign of copyright.
    """
    if isinstance(text, Markup):
        return text
    return _RISKY.sub(lambda m: "".join(f"&#{ord(c)};" for c in m[0]), str(text))
