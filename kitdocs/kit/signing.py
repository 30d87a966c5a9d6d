"""Signing: who has signed the design, of which model, and writing that into `kit.yml`."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Literal

from kitdocs.finding import Finding
from kitdocs.kit.model import Kit
from kitdocs.kit.reader import read_kit

#: So many letters of the digest are written; the rest tells nothing more to a person.
WRITTEN = 16
RULE = "design-signed"


def signature(kit: Kit) -> Literal["signed", "changed", "unsigned"]:
    """Whether the model is the one that was signed."""
    signed = kit.about.signed
    if signed is None:
        return "unsigned"
    return "signed" if kit.digest.startswith(signed.digest) else "changed"


def release_finding(kit: Kit) -> Finding | None:
    """Why a release of this kit is refused; None where its model is the signed one."""
    state, signed = signature(kit), kit.about.signed
    if state == "signed":
        return None
    mend = f"Check the design record, then run `kitdocs sign {kit.id} --by NAME`."
    if signed is None:
        return Finding(kit.about.place(), RULE, "a design that nobody has signed",
                       "`signed` in kit.yml", mend)  # fmt: skip
    found = f"a model that has changed since {signed.by} signed it on {signed.on}"
    expected = f"the model {signed.digest}, not {kit.digest[: len(signed.digest)]}"
    return Finding(signed.place("digest"), RULE, found, expected, mend)


def sign(text: str, by: str, on: str, digest: str) -> str:
    """The text of `kit.yml` with a `signed` line put in, or put in place of the one there.

    Everything else stays byte for byte, line ends included. `on` is a date, YYYY-MM-DD.
    """
    end = "\r\n" if "\r\n" in text else "\n"
    name = json.dumps(by, ensure_ascii=False)  # any name is right YAML in double quotes
    line = f"signed: {{by: {name}, on: {on}, digest: {digest[:WRITTEN]}}}"
    there = _block(text)
    if there is None:
        return f"{text}{'' if not text or text.endswith(end) else end}{line}{end}"
    start, stop = there
    last = text[start:stop]
    return text[:start] + line + last[len(last.rstrip("\r\n")) :] + text[stop:]


def sign_folder(site_root: Path, folder: Path, by: str, on: str) -> list[Finding]:
    """Write a signature into the `kit.yml` of a folder; findings, and the file as it was, where
    the kit cannot be read or its file takes no line more."""
    read = read_kit(site_root, folder)
    if read.kit is None:
        return read.findings
    file = folder / "kit.yml"
    before = file.read_bytes()
    after = sign(before.decode("utf-8"), by, on, read.kit.digest)
    file.write_bytes(after.encode("utf-8"))
    again = read_kit(site_root, folder)
    if again.kit is None or signature(again.kit) != "signed":
        file.write_bytes(before)
        return again.findings or [Finding(read.kit.about.place(), RULE, "a file that takes no line",
                                          "a kit.yml in block style")]  # fmt: skip
    return []


def _block(text: str) -> tuple[int, int] | None:
    """Where the `signed` block begins and ends: its line, and the deeper lines that belong to it.

    Blank lines and comments after its last line do not belong to it.
    """
    at = start = stop = 0
    found = inside = False
    for line in text.splitlines(keepends=True):
        bare = line.strip()
        if re.match(r"""(signed|"signed"|'signed')[ \t]*:""", line):
            found = inside = True
            start, stop = at, at + len(line)
        elif inside and bare and not line.startswith((" ", "\t", "}")) and not bare.startswith("#"):
            inside = False
        elif inside and bare and not bare.startswith("#"):
            stop = at + len(line)
        at += len(line)
    return (start, stop) if found else None
