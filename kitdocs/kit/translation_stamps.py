"""Writing into translated pages: the digests of what they were made from, and new pages."""

from __future__ import annotations

import re
from collections.abc import Mapping

from kitdocs.kit.procedures import Procedure
from kitdocs.kit.sections import Fences, Section
from kitdocs.kit.translation import procedure_sections

_IN_BLOCK = re.compile(r"(\s*translates:[ \t]*)(\S+)(?:[ \t]+\S+)?[ \t]*")
_IN_FRONT = re.compile(r"translates[ \t]*:.*")
_FRONT = re.compile(r"---[ \t]*\n(.*?)^---[ \t]*(?:\n|$)", re.DOTALL | re.MULTILINE)
_ID = re.compile(r"(?m)^[ \t]*(?:-[ \t]+)?\{?[ \t]*id:[ \t]*([^\s,}]+)")
#: The first action of a step: its verb, and the first item that it names.
_FIRST = re.compile(
    r"(?m)^[ \t]*(?:-[ \t]+)?\{?[ \t]*([a-z-]+):[ \t]*(?:\[|\{[ \t]*item:)?[ \t]*([^\s,\]}]+)"
)


def stamped(text: str, opening: str | None, steps: Mapping[str, str]) -> str:
    """The text of a translated page with today's digests, all else byte for byte.

    `opening` is the digest of the original's opening words, None for a procedure, which has none;
    `steps` are those of its steps, by what the page calls them. A section that names no step of
    the original keeps what it has.
    """
    end = "\r\n" if "\r\n" in text else "\n"
    lines = text.replace("\r\n", "\n").split("\n")
    fences, out = Fences(), []
    for line in lines:
        inside = fences.take(line) == "inside" and fences.name == "step"
        match = _IN_BLOCK.fullmatch(line) if inside else None
        if match and match[2] in steps:
            line = f"{match[1]}{match[2]} {steps[match[2]]}"
        out.append(line)
    made = "\n".join(out)
    if opening is not None:
        made = _with_front(made, f"translates: {opening}")
    return made.replace("\n", end)


def _with_front(text: str, line: str) -> str:
    front = _FRONT.match(text)
    if front is None:
        return f"---\n{line}\n---\n{text}"
    lines = front[1].split("\n")
    there = next((n for n, old in enumerate(lines) if _IN_FRONT.fullmatch(old)), None)
    if there is None:
        lines.insert(len(lines) - 1, line)
    else:
        lines[there] = line
    return f"---\n{chr(10).join(lines)}---\n{text[front.end() :]}"


def new_page(
    front: Mapping[str, str], opening: str, sections: Mapping[str, tuple[str, str]]
) -> str:
    """A page to be translated: the original's words, with a block for each step that names it.

    It holds no digests yet, so that it counts as not looked at. `sections` are heading and words
    by what the page calls the step.
    """
    lines = "".join(f"{key}: {value}\n" for key, value in front.items())
    out = [f"---\n{lines}---\n"] if front else []
    out += [f"{opening.strip()}\n"] if opening.strip() else []
    for name, (title, words) in sections.items():
        body = re.sub(r"\n{3,}", "\n\n", words).strip()
        out.append(
            f"{chr(10) if out else ''}## {title}\n\n{body}\n\n```step\ntranslates: {name}\n```\n"
        )
    return "".join(out)


def open_ids(procedure: Procedure) -> list[str]:
    """What a translation calls each step of a procedure: its id with its slots left open."""
    return [_open_id(section, number) for number, section in
            enumerate(procedure_sections(procedure), start=1)]  # fmt: skip


def _open_id(section: Section, number: int) -> str:
    facts = section.facts[0][0] if section.facts else ""
    if named := _ID.search(facts):
        return named[1]
    first = _FIRST.search(facts)
    return f"{first[1]}-{first[2]}" if first else f"step-{number}"
