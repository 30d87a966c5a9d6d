"""Random damage to a kit's files: findings at places that exist, never a traceback."""

from __future__ import annotations

import tempfile
from pathlib import Path

from changed_kit import BASE, KIT, copy_base
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kitdocs.cli import main
from kitdocs.survey import survey

FILES = sorted(file.relative_to(BASE).as_posix() for file in BASE.rglob("*") if file.is_file())
#: Values that have made readers of YAML fail (see the golden cases).
NASTY = (
    "12:30", "012", "no", "2.10", "1e3", ".nan", ".inf", "-0", "0", "-1", "2,5", "", "~", "null",
    "[]", "{}", "[[[]]]", "{a: b}", "*a", "&a x", "!!python/name:os.system", "! x", "'", '"', "|",
    ">", "%", "@", "`", "9" * 5000, "0.1" + "0" * 400, "[" * 2000, "{" * 2000, "a: b: c", "# x",
    "\t", "\ufeff", "\x00", "\x07", "\u2028", "\u202e", "４３", "٤٣", "х", "\U0001f600", "é",
    "{{ item('x') }}", "{{ ((((( }}", "{% x %}", "{{", "}}", "```", "```step", "---", "...",
    "../../x", "/etc/passwd", "CON", "a/b.md", "M2.5 x 6", "earth", "post", "base",
)  # fmt: skip


@st.composite
def damages(draw: st.DrawFn) -> tuple[str, str, float, float, str]:
    """A file, a kind of damage, two places in it (shares of its length) and what is put there."""
    kinds = ("delete", "double", "swap", "cut", "insert", "scalar", "bytes", "value")
    text = st.one_of(st.sampled_from(NASTY), st.text(max_size=12))
    share = st.floats(0, 1, exclude_max=True)
    return (
        draw(st.sampled_from(FILES)),
        draw(st.sampled_from(kinds)),
        draw(share),
        draw(share),
        draw(text),
    )


def damaged(raw: bytes, kind: str, one: float, two: float, put: str) -> bytes:
    new = put.encode("utf-8", "surrogatepass")
    if kind in ("cut", "insert", "bytes"):
        at = int(one * len(raw))
        if kind == "cut":
            return raw[:at]
        return raw[:at] + (new if kind == "insert" else bytes([int(two * 256)])) + raw[at:]
    lines = raw.splitlines(keepends=True)
    i, j = int(one * len(lines)), int(two * len(lines))
    line = lines[i]
    if kind == "delete":
        del lines[i]
    elif kind == "double":
        lines.insert(j, line)
    elif kind == "swap":
        lines[i], lines[j] = lines[j], lines[i]
    elif kind == "scalar" and b": " in line:  # everything after the key
        lines[i] = line.partition(b": ")[0] + b": " + new + b"\n"
    else:  # one value among several: in braces, in brackets, in an expression
        words = line.split(b" ")
        words[int(two * len(words))] = new
        lines[i] = b" ".join(words)
    return b"".join(lines)


@settings(
    max_examples=150,
    derandomize=True,
    database=None,
    deadline=4000,  # ms: a kit of this size takes some hundredths of a second
    suppress_health_check=[HealthCheck.too_slow],
)
@given(st.lists(damages(), min_size=1, max_size=3))
def test_damage_gives_findings_that_can_be_found(done: list) -> None:
    with tempfile.TemporaryDirectory() as site_name:
        site = Path(site_name)
        folder = copy_base(site)
        for name, *damage in done:
            file = folder / name
            raw = file.read_bytes()
            if raw:
                file.write_bytes(damaged(raw, *damage))
        for finding in survey(site, site / "content").findings:
            for place in (finding.place, *finding.facts):
                assert_there(site, place)
            assert "\n" not in str(finding)
        assert main(["check", str(site / "content")]) in (0, 1)


def assert_there(site: Path, place) -> None:
    file = site / place.path
    if not file.exists():  # what is told of a missing file is told at its first line
        assert (place.line, place.column) == (1, 1)
        return
    text = file.read_bytes().replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    assert 1 <= place.line <= text.count(b"\n") + 1, place
    assert place.column >= 1


def test_a_kit_of_nothing_but_empty_files_is_told_as_such(tmp_path: Path) -> None:
    folder = copy_base(tmp_path)
    for name in FILES:
        (folder / name).write_bytes(b"")
    found = survey(tmp_path, tmp_path / "content").findings
    assert {f.place.path for f in found} == {
        f"content/{KIT}/{name}" for name in ("kit.yml", "parts.yml", "mechanism.yml",
                                             "deliveries.yml")
    }  # fmt: skip
