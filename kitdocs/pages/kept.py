"""What a preview keeps from one rendering of the site to the next."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any, TypeVar

from kitdocs.kit.model import Kit
from kitdocs.kit.reader import ReadKit

T = TypeVar("T")


class Kept:
    """Results by name; each is made again only when what it was made from has changed."""

    def __init__(self) -> None:
        self._last: dict[Hashable, tuple[object, Any]] = {}

    def of(self, name: Hashable, source: object, make: Callable[[], T]) -> T:
        """The result called `name`, made from `source`: the last one, or else a new one."""
        last = self._last.get(name)
        if last is None or last[0] != source:
            last = self._last[name] = (source, make())
        return last[1]


def facts_of(read: ReadKit, kit: Kit) -> tuple[object, ...]:
    """All of a kit that its pages come from, but for the words of its stages and own pages.

    The digest takes in the facts of the stages; it leaves out the order in which data is
    written, which shows on the pages, so the data files stand beside it. Titles of translated
    pages stand on other pages too.
    """
    data = {file: t for file, t in read.texts.items() if file.suffix != ".md"}
    titles = {key: (t.front.title, t.front.summary) for key, t in kit.translations.items()}
    return kit.digest, data, titles
