"""Figures from elsewhere: those that the design does not know, each with its source.

An editor writes `{{ given('24 hours', 'the maker’s data sheet') }}`. The page shows the figure,
and lists it with its source; so does the design record.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from kitdocs.words.sentences import Backed, Sentence
from kitdocs.words.syntax import asked
from kitdocs.words.views import Unknown


@dataclass(frozen=True)
class Given:
    """A figure as it is shown, and where it comes from."""

    figure: str
    source: str


def given_by(backed: Backed) -> Given | None:
    """The figure that an expression gives from elsewhere; None for every other expression."""
    if not backed.source.startswith("given"):
        return None
    try:
        said = asked(backed.source)
    except Unknown:
        return None
    if said.name != "given" or said.ids is None or len(said.ids) != 2:
        return None
    return Given(said.ids[0].strip(), said.ids[1].strip())


def given_in(sentences: Iterable[Sentence]) -> tuple[Given, ...]:
    """The figures from elsewhere of some sentences, each once, in order."""
    found = (given_by(backed) for sentence in sentences for backed in sentence.backed)
    return tuple(dict.fromkeys(given for given in found if given is not None))
