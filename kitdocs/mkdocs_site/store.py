"""Results kept from build to build, by the digest of what they were made from."""

from __future__ import annotations

import json
import os
from contextlib import suppress
from pathlib import Path
from typing import Any


class Store:
    """JSON values in one file. What a whole build had no use for is dropped at its end."""

    def __init__(self, file: Path):
        self._file = file
        self._kept = _read(file)
        self._used: dict[str, Any] = {}
        self._written = set(self._kept)

    def get(self, key: str) -> Any:
        """The value under `key`; None where there is none."""
        found = self._kept.get(key)
        if found is not None:
            self._used[key] = found
        return found

    def put(self, key: str, value: Any) -> None:
        self._used[key] = value

    def forget(self) -> None:
        """End a build: drop what it has not used."""
        self._kept, self._used = self._used, {}

    def save(self) -> None:
        """Write the file where it has changed; where that cannot be, only time is lost."""
        if self._kept.keys() == self._written:
            return
        part = self._file.with_name(f"{self._file.name}.{os.getpid()}.part")
        with suppress(OSError):
            self._file.parent.mkdir(parents=True, exist_ok=True)
            part.write_text(json.dumps(self._kept), "utf-8")
            part.replace(self._file)
            self._written = set(self._kept)


def _read(file: Path) -> dict[str, Any]:
    try:
        kept = json.loads(file.read_text("utf-8"))
    except (OSError, ValueError):
        return {}
    return kept if isinstance(kept, dict) else {}
