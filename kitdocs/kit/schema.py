"""JSON Schema of the kit files, for completion and hints in an editor."""

from __future__ import annotations

from typing import Any

from kitdocs.kit.about import StageFront
from kitdocs.kit.procedures import ProcedureFront
from kitdocs.kit.reader import KIT_FILES
from kitdocs.kit.stage import ACTIONS
from kitdocs.kit.translation import TranslatedFront
from kitdocs.kit.words_file import WordsFile

_DIALECT = "https://json-schema.org/draft/2020-12/schema"


def schemas() -> dict[str, dict[str, Any]]:
    """The schema of each kind of file or block, by name: `parts.yml`, `stage`, `step`."""
    found = {name: model.model_json_schema(by_alias=True) for name, model in KIT_FILES.items()}
    found["stage"] = StageFront.model_json_schema(by_alias=True)
    found["procedure"] = ProcedureFront.model_json_schema(by_alias=True)
    found["words"] = WordsFile.model_json_schema(by_alias=True)
    found["translated"] = TranslatedFront.model_json_schema(by_alias=True)
    found["step"] = _step()
    found["use"] = _use()
    return {name: {"$schema": _DIALECT, **schema} for name, schema in found.items()}


def _use() -> dict[str, Any]:
    name = {"type": "string", "description": "The procedure's name."}
    slot = {"type": "string", "description": "The item for the slot of this name."}
    whole = {"type": "object", "properties": {"procedure": name}, "required": ["procedure"]}
    return {"title": "Use", **whole, "additionalProperties": slot}


def _step() -> dict[str, Any]:
    item: dict[str, Any] = {"type": "string"}
    plain: dict[str, Any] = {"anyOf": [item, {"type": "array", "items": item, "minItems": 1}]}
    numbered = {"aim": "at", "turn": "turns"}
    actions: dict[str, Any] = {"id": {"type": "string", "description": "The step's own id."}}
    for verb, meaning in ACTIONS.items():
        schema: dict[str, Any] = dict(plain)
        if key := numbered.get(verb):
            fields = {"item": item, key: {"type": "number"}}
            whole = {"type": "object", "properties": fields, "required": ["item", key]}
            schema = whole if verb == "aim" else {"anyOf": [*plain["anyOf"], whole]}
        actions[verb] = {**schema, "description": meaning}
    facts = {"type": "object", "properties": actions, "additionalProperties": False}
    return {"title": "Step", "anyOf": [facts, {"type": "array", "items": facts}]}
