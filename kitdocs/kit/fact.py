"""The base of everything read from a kit file: frozen, strict, and aware of its place."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Self

from pydantic import BaseModel, ConfigDict, model_validator

from kitdocs.finding import Place
from kitdocs.kit.yaml_reader import Mapping, place_of

NOWHERE = Place("(unplaced)")


def _key(field: str) -> str:
    return field.rstrip("_").replace("_", "-")


def _keys(path: tuple[str | int, ...]) -> tuple[str | int, ...]:
    return tuple(_key(s) if isinstance(s, str) and s.isidentifier() else s for s in path)


class Fact(BaseModel):
    """A typed mapping of a kit file. Keys are the field names with hyphens for underscores."""

    model_config = ConfigDict(frozen=True, extra="forbid", alias_generator=_key, defer_build=True)

    # Slots, since pydantic's private attributes are slow to read and these are read all the time.
    __slots__ = ("_id", "_source")
    if TYPE_CHECKING:
        _id: str
        _source: Any

    @model_validator(mode="wrap")
    @classmethod
    def _keep_source(cls, data: Any, handler: Any) -> Any:
        if isinstance(data, Mapping):
            data.model = cls  # tells the reader which keys were allowed here
        fact = handler(data)
        fact.set_source(data)
        return fact

    def set_source(self, data: Any) -> None:
        """Tell the fact what it was read from, which knows the places."""
        object.__setattr__(self, "_source", data)
        object.__setattr__(self, "_id", "")

    def set_id(self, key: str) -> None:
        """Tell the fact the key that it is written under."""
        object.__setattr__(self, "_id", key)

    def changed(self, **values: Any) -> Self:
        """The same fact, in the same place, with other values for some of its fields."""
        other = self.model_copy(update=values)
        other.set_source(self._source)
        other.set_id(self._id)
        return other

    @property
    def id(self) -> str:
        """The key that this fact is written under, where it is one of many."""
        return self._id

    def place(self, *path: str | int) -> Place:
        """Where this fact, or the value at `path` in it, is written.

        Field names may be given with underscores. A value left to its default has the place of
        the nearest written thing above it.
        """
        return place_of(self._source, _keys(path), NOWHERE)

    def key_place(self, key: str, *path: str | int) -> Place:
        """Where the key `key` of the mapping at `path` is written."""
        data = self._source
        for step in _keys(path):
            data = data[step]
        return data.keys_at[key]
