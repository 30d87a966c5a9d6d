"""The syntax of expressions: a name, ids in brackets, and facts after full stops.

Jinja's own parser decides what an expression is. Nearly all are of one plain form, which is read
here without it: bringing it in takes longer than reading a whole kit.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from kitdocs.kit.names import quoted
from kitdocs.words.views import Unknown

_ID = r"""'[^'\\]*'|"[^"\\]*\""""
_PLAIN = re.compile(
    rf"(?a:([a-z_]\w*)(?:\(\s*((?:{_ID})(?:\s*,\s*(?:{_ID}))*)\s*\))?((?:\.[a-z_]\w*)*))", re.I
)


@dataclass(frozen=True)
class Asked:
    """What an expression asks for. `ids` is None where it has no brackets."""

    name: str
    ids: tuple[str, ...] | None = None
    facts: tuple[str, ...] = ()


@lru_cache(maxsize=4096)
def asked(source: str) -> Asked:
    """What the text between `{{` and `}}` asks for. Raises Unknown for anything else."""
    if plain := _PLAIN.fullmatch(source):
        name, ids, facts = plain.groups()
        given = None if ids is None else tuple(i[1:-1] for i in re.findall(_ID, ids))
        return Asked(name, given, tuple(facts.split(".")[1:]))
    from jinja2 import TemplateError  # noqa: PLC0415  (only for what is not plain)
    from jinja2.sandbox import SandboxedEnvironment  # noqa: PLC0415

    try:
        body = SandboxedEnvironment(optimized=False).parse("{{" + source + "}}").body
        return _from_tree(body)
    except (TemplateError, RecursionError):
        found = quoted(source) if source else "nothing between {{ and }}"
        raise Unknown(found, "an expression of the guide's table", "") from None


def no_fact(name: str) -> Unknown:
    return Unknown(f"'.{name}' of a text or number", "no facts of it", "Delete it.")


def _from_tree(body: list[Any]) -> Asked:
    """What Jinja's tree asks for, where it is names, attributes, calls and constants only."""
    from jinja2 import nodes  # noqa: PLC0415  (as above)

    if len(body) != 1 or not isinstance(body[0], nodes.Output) or len(body[0].nodes) != 1:
        raise Unknown("no expression", "an expression of the guide's table", "")
    node = body[0].nodes[0]
    if isinstance(node, (nodes.Const, nodes.TemplateData)):
        raise Unknown("a text or number", "something of the model", "Write it without the braces.")
    node, facts = _without_facts(node, nodes.Getattr)
    inner, more = _without_facts(getattr(node, "node", node), nodes.Getattr)
    if isinstance(inner, nodes.Const):
        raise no_fact([*more, *facts][0])
    if isinstance(node, nodes.Name):
        return Asked(node.name, None, facts)
    if not isinstance(node, nodes.Call) or node.dyn_args or node.dyn_kwargs or node.kwargs:
        raise _operator()
    if not isinstance(node.node, nodes.Name):
        raise Unknown("something in () that takes nothing", "no brackets there", "")
    ids_at_most = (nodes.Const, nodes.Name, nodes.Getattr, nodes.Call)
    if not all(isinstance(argument, ids_at_most) for argument in node.args):
        raise _operator()
    ids = tuple(getattr(argument, "value", None) for argument in node.args)
    if not all(isinstance(name, str) for name in ids):
        raise Unknown("an id that is no text", "ids in quotation marks: 'ID'", "")
    return Asked(node.node.name, ids, facts)


def _without_facts(node: Any, fact: type) -> tuple[Any, tuple[str, ...]]:
    facts: list[str] = []
    while isinstance(node, fact):
        facts.insert(0, node.attr)
        node = node.node
    return node, tuple(facts)


def _operator() -> Unknown:
    return Unknown("an operator", "names, attributes and calls only", "Write it out.")
