"""Reading text files: bytes to text, or a finding that says why not."""

from __future__ import annotations

from pathlib import Path

from kitdocs.finding import Finding, Place
from kitdocs.kit.yaml_reader import MAX_BYTES


def shown_path(file: Path, site_root: Path) -> str:
    """The path that findings show: POSIX, relative to the site where the file lies in it."""
    try:
        return file.relative_to(site_root).as_posix()
    except ValueError:
        return file.as_posix()


def read_text(file: Path, path: str) -> tuple[str | None, list[Finding]]:
    """The text of a UTF-8 file with its line ends made `\\n`; a byte-order mark is accepted."""
    try:
        size = file.stat().st_size
        if size > MAX_BYTES:
            found, expected = f"a file of {size:,} bytes", f"at most {MAX_BYTES:,}"
            return None, [Finding(Place(path), "file-read", found, expected, "Split the file.")]
        raw = file.read_bytes()
    except FileNotFoundError:
        return None, [Finding(Place(path), "file-read", f"no file {file.name}", "it here")]
    except OSError as error:
        found = f"a file that cannot be read ({error.strerror})"
        return None, [Finding(Place(path), "file-read", found, "a text file")]
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = raw[: error.start]
        line = before.count(b"\n") + 1
        column = error.start - before.rfind(b"\n")
        found = f"the byte 0x{raw[error.start]:02X}, which is not UTF-8"
        mend = "Save the file as UTF-8."
        return None, [Finding(Place(path, line, column), "file-read", found, "UTF-8 text", mend)]
    return text.replace("\r\n", "\n").replace("\r", "\n"), []
