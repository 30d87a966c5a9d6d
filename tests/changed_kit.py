"""The base kit of the tests, with changes: what golden cases and damage tests begin from."""

from __future__ import annotations

import shutil
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from kitdocs.survey import Survey, survey

BASE = Path(__file__).parent / "basekit" / "bench"
KIT = "bench"


def copy_base(site: Path) -> Path:
    """Copy the base kit into `site/content` and return its folder."""
    folder = site / "content" / KIT
    shutil.copytree(BASE, folder)
    return folder


def change(folder: Path, changes: Iterable[Mapping[str, Any]]) -> None:
    """Make changes to the files of a kit.

    Each names a `file` and what becomes of it: `find` (which must occur once; with `every: true`
    at least once) is replaced by `put`, text or `{repeat: TEXT, times: N}` or `{bytes: HEX}`;
    `new` is the whole text; `delete: true` takes it away; `rename` gives it another name.
    """
    for one in changes:
        file = folder / one["file"]
        if "new" in one:
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(_bytes(one["new"]))
        elif "rename" in one:
            file.rename(folder / one["rename"])
        elif one.get("delete"):
            file.unlink()
        else:
            find, raw = one["find"].encode(), file.read_bytes()
            count = raw.count(find)
            assert count == 1 or (count and one.get("every")), (
                f"{one['find']!r} occurs {count} times in {one['file']}"
            )
            file.write_bytes(raw.replace(find, _bytes(one["put"])))


def surveyed(site: Path, changes: Iterable[Mapping[str, Any]] = ()) -> Survey:
    """The survey of a site whose one kit is the base kit with these changes."""
    change(copy_base(site), changes)
    return survey(site, site / "content")


def lines(found: Survey) -> list[str]:
    """The findings as they are printed."""
    return [str(finding) for finding in found.findings]


def _bytes(put: Any) -> bytes:
    if isinstance(put, str):
        return put.encode()
    if "bytes" in put:
        return bytes.fromhex(put["bytes"])
    text: str = put["repeat"]
    return (text * int(put["times"])).encode()
