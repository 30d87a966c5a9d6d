"""The tables of the sky, kept between builds, since computing one takes numpy and a second."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import asdict
from datetime import date
from functools import cache
from importlib.metadata import version
from pathlib import Path
from typing import Any

import kitdocs.sky
from kitdocs.pages.kept_text import keep_text
from kitdocs.sky.calendar import Track, tracks


@cache
def _computed_by() -> str:
    """What a table depends on beside its bodies and days: our code, and the library's version."""
    code = sorted(Path(kitdocs.sky.__file__).parent.glob("*.py"))
    whole = b"".join(file.read_bytes() for file in code)
    return f"{hashlib.sha256(whole).hexdigest()} {version('pyerfa')}"


class SkyCache:
    """Tracks of bodies over calendars, as JSON under the digest of what they come from."""

    def __init__(self, folder: Path):
        self.folder = folder

    def tracks(self, bodies: Sequence[str], first: date, last: date) -> Mapping[str, Track]:
        """The track of each body over a calendar, both days included."""
        facts = json.dumps([bodies, first.isoformat(), last.isoformat(), _computed_by()])
        file = self.folder / f"{hashlib.sha256(facts.encode()).hexdigest()}.json"
        with suppress(OSError, ValueError, TypeError, KeyError):
            kept = json.loads(file.read_text("utf-8"))
            return {body: _track(kept[body]) for body in bodies}
        found = tracks(bodies, first, last)
        keep_text(file, json.dumps({body: asdict(track) for body, track in found.items()}))
        return found


def _track(kept: Mapping[str, Any]) -> Track:
    return Track(**{**kept, "values": tuple(kept["values"])})
