"""From YAML data to a typed fact, and from what does not fit to findings."""

from __future__ import annotations

import re
from typing import Any, TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from kitdocs.finding import Finding, Place
from kitdocs.kit.fact import Fact
from kitdocs.kit.names import nearest, nearest_name, quoted
from kitdocs.kit.yaml_reader import Mapping, place_of

F = TypeVar("F", bound=Fact)


def validate(model: type[F], data: Any, start: Place) -> tuple[F | None, list[Finding]]:
    """Read `data` as `model`; None and findings where it does not fit."""
    if not isinstance(data, Mapping):
        keys = f"keys: {', '.join(_keys(model))}"
        return None, [Finding(start, "value", _shown(data), keys)]
    try:
        return model.model_validate(data), []
    except ValidationError as error:
        errors = error.errors(include_url=False)
        return None, [_finding(one, data) for one in errors if not _misspelt(one, errors, data)]


def _misspelt(error: ErrorDetails, errors: list[ErrorDetails], data: Mapping) -> bool:
    """Whether this key is missing only because it is misspelt, which another finding tells."""
    *at, key = error["loc"]
    if error["type"] != "missing":
        return False
    written = [
        str(e["loc"][-1])
        for e in errors
        if e["type"] == "extra_forbidden" and list(e["loc"][:-1]) == at
    ]
    return any(
        nearest_name(name, _free_keys(_value_at(data, tuple(at)))) == key for name in written
    )


def _free_keys(box: Any) -> list[str]:
    """The keys that a mapping might have and has not."""
    known = _keys(box.model) if isinstance(box, Mapping) and box.model else []
    return [key for key in known if key not in box]


def _keys(model: type[Fact]) -> list[str]:
    return [field.alias or name for name, field in model.model_fields.items()]


def _value_at(data: Any, path: tuple) -> Any:
    for step in path:
        try:
            data = data[step]
        except (KeyError, IndexError, TypeError):
            continue  # a union's tag names no value of the file
    return data


def _finding(error: ErrorDetails, data: Mapping) -> Finding:
    path = tuple(error["loc"])
    place = place_of(data, path, data.place)
    kind, found = error["type"], error["input"]
    context = error.get("ctx", {})
    shown = _shown(found)
    if path and path[-1] == "[key]":
        box = _value_at(data, path[:-2])
        place = box.keys_at.get(path[-2], place) if isinstance(box, Mapping) else place
    if kind == "kitdocs":
        return Finding(place, "value", context["found"], context["expected"], context["mend"])
    if kind == "missing":
        return Finding(place, "key-missing", f"no '{path[-1]}' here", f"`{path[-1]}: …`")
    if kind == "extra_forbidden":
        return _unknown_key(str(path[-1]), _value_at(data, path[:-1]), place)
    if kind == "union_tag_not_found":
        return Finding(place, "key-missing", "no 'kind' here", "`kind: …`")
    if kind == "union_tag_invalid":
        tags = [tag.strip(" '") for tag in context["expected_tags"].split(",")]
        box = _value_at(data, path)
        place = box.places.get("kind", place) if isinstance(box, Mapping) else place
        mend = nearest(context["tag"], tags) or f"Known: {', '.join(sorted(tags))}."
        found = f"the kind {quoted(context['tag'])}" if context["tag"] else "no kind"
        return Finding(place, "value", found, "a kind that exists", mend)
    words = re.findall(r"'([^']+)'", str(context.get("expected", "")))  # to choose from
    expected = {
        "tuple_type": "a list",
        "dict_type": "a mapping of key: value",
        "model_type": "a mapping of key: value",
        "literal_error": ", ".join(words),
        "too_short": "more values",
        "too_long": f"{context.get('max_length')} values",
    }.get(kind, error["msg"])
    close = nearest_name(str(found), words)
    return Finding(place, "value", shown, expected, f"Did you mean '{close}'?" if close else "")


def _unknown_key(key: str, box: Any, place: Place) -> Finding:
    place = box.keys_at.get(key, place) if isinstance(box, Mapping) else place
    mend = nearest(key, _free_keys(box)) or "Delete it."
    if key.isdigit():  # in braces, what follows a decimal comma is read as a key
        mend = "Data files use a decimal point, not a comma."
    return Finding(place, "key-unknown", f"the key {quoted(key)}", "a key that exists", mend)


def _shown(value: Any) -> str:
    if isinstance(value, str):
        return quoted(value) if value else "nothing"
    if isinstance(value, (list, tuple)):
        return f"a list of {len(value)}"
    return "nothing" if value is None else "a mapping"
