"""The kinds of value a kit file may hold, each with its check and its message.

YAML gives text (`yaml_reader.py`); these types turn text into numbers only where a number is
asked for, so `012`, `no`, `12:30`, `2.10` and `1e3` stay themselves everywhere else.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import Annotated, Any, TypeVar

from pydantic_core import PydanticCustomError, core_schema

from kitdocs.kit.names import quoted
from kitdocs.kit.yaml_reader import Empty

ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


def fault(found: str, expected: str, mend: str = "") -> PydanticCustomError:
    """A validation error in the three parts that a finding has."""
    return PydanticCustomError(
        "kitdocs", "{found}", {"found": found, "expected": expected, "mend": mend}
    )


def _written(value: Any, expected: str) -> str:
    if isinstance(value, Empty):
        raise fault("nothing", expected, "Write a value, or delete the key.")
    if not isinstance(value, str):
        kind = "a list" if isinstance(value, list) else "a mapping"
        raise fault(kind, expected)
    return value


def _text(value: Any) -> str:
    return str(_written(value, "text"))


def _whole(value: Any) -> int:
    text = _written(value, "a whole number")
    if not re.fullmatch(r"-?(0|[1-9][0-9]{0,8})", text):
        raise fault(quoted(text), "a whole number such as 12", "Use the digits 0 to 9 only.")
    return int(text)


def _decimal_text(value: Any, expected: str) -> str:
    text = _written(value, expected)
    if re.fullmatch(r"-?[0-9]+,[0-9]+", text):
        raise fault(quoted(text), expected, "Data files use a decimal point, not a comma.")
    if not re.fullmatch(r"-?(0|[1-9][0-9]{0,11})(\.[0-9]{1,12})?", text):
        raise fault(quoted(text), expected, "Use digits and one decimal point.")
    return text


def _decimal(value: Any) -> float:
    return float(Decimal(_decimal_text(value, "a number such as 2.5")))


def _exact(value: Any) -> Fraction:
    return Fraction(_decimal_text(value, "a number such as 365.25"))


def _flag(value: Any) -> bool:
    text = _written(value, "true or false")
    if text not in ("true", "false"):
        raise fault(quoted(text), "true or false")
    return text == "true"


def _share(value: Any) -> Fraction:
    text = _written(value, "a share such as 0.25 %")
    match = re.fullmatch(r"([0-9]+(?:\.[0-9]+)?)\s*(%|ppm)", text)
    if not match:
        raise fault(quoted(text), "a share such as 0.25 % or 40 ppm", "Write the unit: % or ppm.")
    return Fraction(match[1]) / (100 if match[2] == "%" else 1_000_000)


def check_id(text: str) -> str:
    """An id is ASCII so that two ids that look alike are the same id."""
    if ID.fullmatch(text):
        return text
    strange = next((c for c in text if not re.match(r"[a-z0-9-]", c)), None)
    if strange is None:
        raise fault(quoted(text), "an id such as earth-wheel", "Hyphens stand between words.")
    name = f"'{strange}' (U+{ord(strange):04X})" if not strange.isspace() else "a space"
    raise fault(
        f"{name} in the id {quoted(text).partition(' (with')[0]}",
        "the letters a to z, digits and hyphens",
        "Ids are lower case; a thing's readable name goes in its name.",
    )


_Real = TypeVar("_Real", int, float, Fraction)


def _positive(value: _Real) -> _Real:
    if value <= 0:
        raise fault(f"{float(value):g}", "more than 0")
    return value


def _not_negative(value: float) -> float:
    if value < 0:
        raise fault(f"{value:g}", "0 or more")
    return value


class Read:
    """Makes a type of a function that reads what is written, and of its JSON Schema.

    One function a type, called by pydantic's core as it is: no chain of validators whose
    signatures would be looked at for every field.
    """

    def __init__(self, parse: Callable[[Any], Any], schema: dict[str, Any]):
        self.parse, self.schema = parse, schema

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self.parse)

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> dict[str, Any]:
        return self.schema


class AlsoWritten:
    """A second, shorter way to write a fact, which `expand` turns into the full one."""

    def __init__(self, expand: Callable[[Any], Any], schema: dict[str, Any]):
        self.expand, self.schema = expand, schema

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> core_schema.CoreSchema:
        return core_schema.no_info_before_validator_function(self.expand, handler(source))

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> dict[str, Any]:
        return {"anyOf": [self.schema, handler(core)]}


def text_of(check: Callable[[str], str], **schema: Any) -> Read:
    """A type of text that `check` accepts, or changes to its one spelling."""
    return Read(lambda value: check(_text(value)), TEXT_SCHEMA | schema)


# A schema-aware editor sees 2.10 as a number; text fields accept it, since it stays text here.
TEXT_SCHEMA = {"type": ["string", "number", "boolean"]}
LENGTH_SCHEMA = {"type": "number", "exclusiveMinimum": 0, "description": "mm"}


def read_length(value: Any) -> float:
    """A length above 0, mm."""
    return _positive(_decimal(value))


Text = Annotated[str, Read(_text, TEXT_SCHEMA)]
Id = Annotated[str, text_of(check_id, type=["string", "number"], pattern=f"^{ID.pattern}$")]
Flag = Annotated[bool, Read(_flag, {"type": "boolean"})]
Count = Annotated[int, Read(lambda v: _positive(_whole(v)), {"type": "integer", "minimum": 1})]
Number = Annotated[float, Read(_decimal, {"type": "number"})]
Length = Annotated[float, Read(read_length, LENGTH_SCHEMA)]
Offset = Annotated[
    float,
    Read(
        lambda value: _not_negative(_decimal(value)),
        {"type": "number", "minimum": 0, "description": "mm"},
    ),
]
Days = Annotated[
    Fraction,
    Read(
        lambda value: _positive(_exact(value)),
        {"type": "number", "exclusiveMinimum": 0, "description": "days"},
    ),
]
Share = Annotated[Fraction, Read(_share, {"type": "string", "examples": ["0.25 %", "40 ppm"]})]
