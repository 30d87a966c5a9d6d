"""From YAML data to a typed fact, and from what does not fit to findings."""

from __future__ import annotations

from typing import Any, TypeVar

from pydantic import ValidationError

from kitdocs.finding import Finding, Place
from kitdocs.kit.fact import Fact
from kitdocs.kit.names import nearest
from kitdocs.kit.yaml_reader import Empty, Mapping, place_of

F = TypeVar("F", bound=Fact)


def validate(model: type[F], data: Any, start: Place) -> tuple[F | None, list[Finding]]:
    """Read `data` as `model`; None and findings where it does not fit."""
    if not isinstance(data, Mapping):
        finding = Finding(start, "value", "no keys", f"keys: {', '.join(_keys(model))}")
        return None, [finding]
    try:
        return model.model_validate(data), []
    except ValidationError as error:
        return None, [_finding(one, data) for one in error.errors(include_url=False)]


def _keys(model: type[Fact]) -> list[str]:
    return [field.alias or name for name, field in model.model_fields.items()]


def _value_at(data: Any, path: tuple) -> Any:
    for step in path:
        try:
            data = data[step]
        except (KeyError, IndexError, TypeError):
            continue  # a union's tag names no value of the file
    return data


def _finding(error: dict, data: Mapping) -> Finding:
    path = tuple(error["loc"])
    place = place_of(data, path, data.place)
    kind, found = error["type"], error["input"]
    context = error.get("ctx", {})
    shown = "nothing" if isinstance(found, Empty) or found is None else _shown(found)
    if path and path[-1] == "[key]":
        box = _value_at(data, path[:-2])
        place = box.keys_at.get(path[-2], place) if isinstance(box, Mapping) else place
    if kind == "kitdocs":
        return Finding(place, "value", context["found"], context["expected"], context["mend"])
    if kind == "missing":
        return Finding(place, "key-missing", f"no '{path[-1]}' here", "it to be written")
    if kind == "extra_forbidden":
        box = _value_at(data, path[:-1])
        known = _keys(box.model) if isinstance(box, Mapping) and box.model else []
        place = box.keys_at.get(path[-1], place) if isinstance(box, Mapping) else place
        mend = nearest(path[-1], [k for k in known if k not in box])
        return Finding(place, "key-unknown", f"the key '{path[-1]}'", "a key that exists", mend)
    if kind == "union_tag_not_found":
        return Finding(place, "key-missing", "no 'kind' here", "the kind of part")
    if kind == "union_tag_invalid":
        tags = [tag.strip(" '") for tag in context["expected_tags"].split(",")]
        box = _value_at(data, path)
        place = box.places.get("kind", place) if isinstance(box, Mapping) else place
        mend = nearest(context["tag"], tags) or f"Known: {', '.join(sorted(tags))}."
        return Finding(place, "value", f"the kind '{context['tag']}'", "a kind that exists", mend)
    expected = {
        "tuple_type": "a list",
        "dict_type": "a mapping of key: value",
        "model_type": "a mapping of key: value",
        "literal_error": str(context.get("expected", "")).replace(" or ", ", "),
        "too_short": "more values",
        "too_long": f"{context.get('max_length')} values",
    }.get(kind, error["msg"])
    return Finding(place, "value", shown, expected)


def _shown(value: Any) -> str:
    if isinstance(value, str):
        return f"'{value}'"
    if isinstance(value, (list, tuple)):
        return f"{len(value)} values"
    return "a mapping"
