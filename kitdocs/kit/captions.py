"""Caption files beside a stage page: `stages/base.vtt` and `stages/base.de.vtt`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from kitdocs.kit.translation import language_of


@dataclass(frozen=True)
class CaptionFile:
    """A caption file as it is, its lines ended by `\\n`.

    `path` is as findings show it, `uri` from the content folder. `has_mark` and `has_returns` say
    whether it begins with a byte-order mark, and whether lines end in a carriage return.
    """

    path: str
    uri: str
    language: str
    text: str
    has_mark: bool = False
    has_returns: bool = False


def caption_paths(page: Path, first: str) -> Iterator[tuple[Path, str]]:
    """The caption files beside a stage page, each with its language: `first` is that of a file
    without a code."""
    stem = page.name.removesuffix(".md")
    for file in sorted(page.parent.glob(f"{stem}.*vtt")):
        language = language_of(f"{file.name.removesuffix('.vtt')}.md")
        if file.name in (f"{stem}.vtt", f"{stem}.{language}.vtt"):
            yield file, language or first


def caption_file(raw: bytes, text: str, path: str, uri: str, language: str) -> CaptionFile:
    """A caption file from its bytes and what `read_text` made of them."""
    return CaptionFile(path, uri, language, text, raw.startswith(b"\xef\xbb\xbf"), b"\r" in raw)
