"""Better choices: what other teeth, on the axes as they stand, would do for a body's train."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from kitdocs.kit.model import Item
from kitdocs.mechanism.meshes import mesh_kind
from kitdocs.mechanism.tooth_choice.better import Better, better_choices
from kitdocs.mechanism.tooth_choice.train_teeth import BetterTrain
from kitdocs.mechanism.trains import Train
from kitdocs.pages.handbook import Handbook
from kitdocs.words.language import marked

_BOUND = {
    "shared": marked(
        "one of its wheels meshes with others too, which would have to change with it"
    ),
    "carries": marked("it also moves what carries the body, or what the body is seen from"),
}

#: What kinds of mesh are called.
MESH_KINDS = {
    "external": marked("external"),
    "internal": marked("internal"),
    "bevel": marked("bevel"),
    "contrate": marked("contrate"),
    "worm": marked("worm"),
    "belt": marked("belt"),
    "chain": marked("chain"),
}


@dataclass(frozen=True)
class NewTeeth:
    """One pair of a better choice: its wheels, teeth now and then, driver over driven."""

    pair: str
    now: str
    then: str


@dataclass(frozen=True)
class ChoiceRow:
    """A better choice; the pairs of it change together.

    `to_make` is empty where the kit has every wheel of it; `also` names the other bodies whose
    trains have one of the pairs.
    """

    pairs: tuple[NewTeeth, ...]
    error: str
    to_make: str
    also: str


@dataclass(frozen=True)
class FixedPair:
    """A pair that was not looked at, and why."""

    pair: str
    why: str


@dataclass(frozen=True)
class ChoicesView:
    """`looked_at` says whether there was a pair to change; `exact` that nothing can be better."""

    rows: tuple[ChoiceRow, ...]
    fixed: tuple[FixedPair, ...]
    looked_at: bool
    exact: bool


def choices_view(book: Handbook, train: Train) -> ChoicesView | None:
    """The better choices for a body, the best first; None for a body without wheels."""
    if not train.chain:
        return None
    pairs = {better.driver: better for better in better_choices(book.design, train.body)}
    ones = [better.one for better in pairs.values() if better.one]
    least = min((abs(choice.error) for choice in ones), default=abs(train.error))
    # Two pairs are worth changing only where no single one does as well.
    twos = {better.two.changes: better.two for better in pairs.values() if better.two}
    found = [*ones, *(two for two in twos.values() if abs(two.error) < least)]
    best = sorted(found, key=lambda choice: abs(choice.error))
    return ChoicesView(
        rows=tuple(_row(book, pairs, choice) for choice in best),
        fixed=tuple(_fixed(book, train, pairs)),
        looked_at=any(better.bound is None for better in pairs.values()),
        exact=not train.error,
    )


def _row(book: Handbook, pairs: Mapping[str, Better], choice: BetterTrain) -> ChoiceRow:
    items = book.kit.items
    also = [body for change in choice.changes for body in pairs[change.driver].also]
    return ChoiceRow(
        pairs=tuple(
            NewTeeth(
                _named(book, items[change.driver], items[change.driven]),
                _over(pairs[change.driver].teeth),
                _over(change.teeth),
            )
            for change in choice.changes
        ),
        error=book.numbers.per_cent(choice.error) if choice.error else book.text("exact"),
        to_make="; ".join(_new_wheels(book, choice)),
        also=", ".join(book.names.body(body) for body in dict.fromkeys(also)),
    )


def _over(teeth: tuple[int, int]) -> str:
    return f"{teeth[0]}/{teeth[1]}"


def _new_wheels(book: Handbook, choice: BetterTrain) -> Iterator[str]:
    """The wheels to make, by module: `19 and 53 teeth of module 0.8`."""
    for module in dict.fromkeys(module for _, module in choice.to_make):
        counts = [str(teeth) for teeth, its in choice.to_make if its == module]
        yield book.text(
            "%(teeth)s teeth of module %(module)s",
            teeth=book.listed(counts),
            module=book.numbers.plain(module),
        )


def _fixed(book: Handbook, train: Train, pairs: Mapping[str, Better]) -> Iterator[FixedPair]:
    """The pairs that were left as they are, in the order of the train."""
    for link in train.chain:
        better, kind = pairs.get(link.driver.id), mesh_kind(link.mesh)
        if better is None:
            only = book.text(
                "only external pairs of wheels are looked at (%(kind)s)",
                kind=book.text(MESH_KINDS.get(kind or "", kind or "")),
            )
            yield FixedPair(_named(book, link.driver, link.driven), only)
        elif better.bound:
            yield FixedPair(_named(book, link.driver, link.driven), book.text(_BOUND[better.bound]))


def _named(book: Handbook, driver: Item, driven: Item) -> str:
    first, second = book.names.one(driver.part), book.names.one(driven.part)
    return book.text("%(first)s with %(second)s", first=first, second=second)
