"""A text kept in a file of its own from build to build."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path


def keep_text(file: Path, text: str) -> None:
    """Write a file that appears when it is whole, since another build may write the same one.

    Where nothing can be kept, only time is lost.
    """
    part = file.with_name(f"{file.name}.part")
    with suppress(OSError):
        file.parent.mkdir(parents=True, exist_ok=True)
        part.write_text(text, "utf-8", newline="\n")
        part.replace(file)
