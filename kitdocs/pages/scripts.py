"""The scripts of the pages: ES modules as they are written, and all in one script for a disk.

Templates' `assets/kitdocs.js` is the one script that a page loads. It imports the module NAME.js
beside it for each element with `data-kd-module="NAME"` and calls the `start(element)` that the
module exports. All scripts are published in one folder that is named by their digest, so that a
browser never mixes those of two builds.

Browsers import no module from `file:`, whose pages have no origin. So the modules are also joined
into one plain script, which the first loads there. For that a module keeps to the forms of
`import` and `export` below, begins each on a line of its own, and awaits nothing outside a
function.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from graphlib import CycleError, TopologicalSorter
from pathlib import PurePosixPath

import jinja2

FOLDER = "assets"
ENTRY = "kitdocs.js"
ON_DISK = "kitdocs-disk.js"

_NAMES = r"\w+(?: +as +\w+)?"
_IMPORT = re.compile(
    rf"^import (?:\{{\s*(?P<names>{_NAMES}(?:,\s*{_NAMES})*),?\s*\}}|\* as (?P<all>\w+)) "
    r'from (?P<quote>["\'])\./(?P<module>[\w-]+\.js)(?P=quote);',
    re.ASCII | re.MULTILINE,
)
_EXPORT = re.compile(
    r"^export (?=(?:async function\*?|function\*?|const|let|class) (?P<name>\w+))",
    re.ASCII | re.MULTILINE,
)
_REFUSED = re.compile(r"^(?:import|export)\b|\bimport\.meta\b|\bimport\(", re.MULTILINE)
_FORMS = "import { a } from './b.js'; or export before function, class, const or let"


def published_scripts(assets: Mapping[str, bytes], files: Mapping[str, str]) -> dict[str, bytes]:
    """`assets` with the scripts of `assets/` in the folder where they are published.

    Keys are addresses in the site, and `files` gives the file that each comes from. Raises
    `jinja2.TemplateSyntaxError` for a module that cannot be joined.
    """
    scripts = {path.name: uri for uri in assets if _is_script(path := PurePosixPath(uri))}
    if ENTRY not in scripts:
        return dict(assets)
    found = {name: assets[uri] for name, uri in scripts.items()}
    modules = {name: text.decode("utf-8") for name, text in found.items() if name != ENTRY}
    found[ON_DISK] = _joined(modules, {n: files[scripts[n]] for n in modules}).encode()
    whole = hashlib.sha256()
    for name in sorted(found):
        whole.update(f"{name}\0{len(found[name])}\0".encode() + found[name])
    folder = f"{FOLDER}/kd-{whole.hexdigest()[:12]}"
    kept = {uri: data for uri, data in assets.items() if uri not in scripts.values()}
    return dict(sorted((kept | {f"{folder}/{n}": d for n, d in found.items()}).items()))


def is_entry(uri: str) -> bool:
    """Whether this is the address of the script that every page loads."""
    return re.fullmatch(rf"{FOLDER}/kd-[0-9a-f]+/{re.escape(ENTRY)}", uri) is not None


def _is_script(path: PurePosixPath) -> bool:
    return path.suffix == ".js" and path.parent == PurePosixPath(FOLDER)


def _joined(modules: Mapping[str, str], files: Mapping[str, str]) -> str:
    """One plain script that gives modules by name, each carried out when first asked for."""
    needs = {name: _needed(name, text, modules, files[name]) for name, text in modules.items()}
    try:
        order = list(TopologicalSorter(dict(sorted(needs.items()))).static_order())
    except CycleError as error:
        name = str(error.args[1][0])
        told = f"modules that import each other: {', '.join(error.args[1])}"
        raise jinja2.TemplateSyntaxError(told, 1, name, files[name]) from error
    made = "\n".join(f"{_quoted(name)}: {_wrapped(modules[name])}," for name in order)
    return (
        '"use strict";\n(() => {\nconst done = new Map();\nconst make = {\n'
        f"{made}\n}};\n"
        "globalThis.kitdocsModule = (name) => {\n"
        "  if (!done.has(name)) done.set(name, make[name](globalThis.kitdocsModule));\n"
        "  return done.get(name);\n};\n})();\n"
    )


def _needed(name: str, text: str, modules: Mapping[str, str], file: str) -> list[str]:
    """The modules that one imports. What cannot be joined is refused at its line."""
    code = _without_comments(text)
    rest = _EXPORT.sub(_blank, _IMPORT.sub(_blank, code))
    if wrong := _REFUSED.search(rest):
        told = f"`{rest[wrong.start() :].splitlines()[0].strip()}` in a module; write {_FORMS}"
        raise jinja2.TemplateSyntaxError(told, _line(rest, wrong.start()), name, file)
    found = []
    for match in _IMPORT.finditer(code):
        if match["module"] not in modules:
            told = f"no module {match['module']} to import"
            raise jinja2.TemplateSyntaxError(told, _line(code, match.start()), name, file)
        found.append(match["module"])
    return found


def _wrapped(text: str) -> str:
    """A module as a function that takes what gives modules, and gives what this one exports."""
    names = [match["name"] for match in _EXPORT.finditer(_without_comments(text))]
    body = _EXPORT.sub("", _IMPORT.sub(_given, text))
    return f"(need) => {{\n{body}\nreturn {{ {', '.join(names)} }};\n}}"


def _given(match: re.Match[str]) -> str:
    bound = match["all"] or "{ " + " ".join(match["names"].split()).replace(" as ", ": ") + " }"
    return f"const {bound} = need({_quoted(match['module'])});"


def _without_comments(text: str) -> str:
    """A module with its block comments blank, on as many lines."""
    return re.sub(r"/\*.*?\*/", _blank, text, flags=re.DOTALL)


def _blank(match: re.Match[str]) -> str:
    return "".join("\n" if letter == "\n" else " " for letter in match[0])


def _line(text: str, at: int) -> int:
    return text.count("\n", 0, at) + 1


def _quoted(name: str) -> str:
    return f'"{name}"'
