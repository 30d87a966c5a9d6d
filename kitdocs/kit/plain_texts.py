"""Texts that readers see and that no model has a key for: front matter, settings, figures.

Nothing here is checked: MkDocs and browsers read these files themselves, and say what they cannot
read. Only what is written in them matters.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import yaml

from kitdocs.finding import Place
from kitdocs.kit.stage import Passage

_Loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

#: The keys that lead to a value; of a list, the numbers of its entries.
Keys = tuple[str, ...]


def yaml_texts(text: str, start: Place, keys_in: str = "") -> Iterator[tuple[Keys, Passage]]:
    """Every value of a YAML text, whatever its tags, with the keys that lead to it; of what stands
    under the key `keys_in` the keys too. Nothing of a text that is no YAML."""
    try:
        root = yaml.compose(text, _Loader)
    except yaml.YAMLError:
        return
    if root is not None:
        yield from _values(root, (), start, keys_in, set())


def _values(
    node: yaml.Node, path: Keys, start: Place, keys_in: str, seen: set[int]
) -> Iterator[tuple[Keys, Passage]]:
    if isinstance(node, yaml.ScalarNode):
        if node.value:
            yield path, Passage(node.value, _at(node, start))
        return
    if id(node) in seen:  # an alias says no more than its anchor
        return
    seen.add(id(node))
    for number, one in enumerate(node.value):
        key, value = one if isinstance(one, tuple) else (None, one)
        said = key.value if isinstance(key, yaml.ScalarNode) else str(number)
        if key is not None and keys_in in path:
            yield path, Passage(said, _at(key, start))
        yield from _values(value, (*path, said), start, keys_in, seen)


def _at(node: yaml.Node, start: Place) -> Place:
    mark, quoted = node.start_mark, node.style in ("'", '"')
    return start.shifted(mark.line + 1, mark.column + 1 + quoted)


_FIGURE = re.compile(
    r"<(text|title|desc|foreignObject)\b(?:[^>]*[^>/])?>(.*?)</\1\s*>", re.S | re.I
)
_NAMED = re.compile(r"\baria-label\s*=\s*(\"([^\"]*)\"|'([^']*)')", re.I)
_UNSEEN = re.compile(r"<!--.*?-->|<(style|script)\b.*?</\1\s*>", re.S | re.I)
_TAG = re.compile(r"<[^>]*>")


def figure_texts(text: str, start: Place) -> tuple[Passage, ...]:
    """What an SVG drawing says: its lettering, its title and its description, in order."""
    shown = _UNSEEN.sub(_blank, text)
    found = [
        (match.start(2), _TAG.sub(_blank, match[2]))
        for match in _FIGURE.finditer(shown)
        if match[2].strip()
    ]
    for match in _NAMED.finditer(shown):
        group = 2 if match[2] is not None else 3
        found.append((match.start(group), match[group]))
    return tuple(Passage(said, start.within(text, at)) for at, said in sorted(found))


def _blank(match: re.Match[str]) -> str:
    return re.sub(r"[^\n]", " ", match[0])
