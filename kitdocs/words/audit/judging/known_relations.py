"""What the design knows of things together: how far apart, how high, how tight they are."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from itertools import combinations, product

from kitdocs.assembly.design import Design
from kitdocs.mechanism.heights import Span, stack_height
from kitdocs.words.audit.judging.known import Known, of_axes, of_part
from kitdocs.words.audit.lexicon import Referent

#: Ids of items.
Items = Collection[str]
_SAME = 1e-6  # mm


def of_distances(design: Design, items: Items) -> Iterator[Known]:
    """How far the axes of things are apart."""
    arbors = sorted({design.kit.items[i].arbor for i in items})
    yield from (k for k in of_axes(design, [Referent("arbor", a) for a in arbors]) if k.value)


def of_heights(design: Design, items: Items, above: Items, of_lower_end: bool) -> Iterator[Known]:
    """How high the ends of things are over the upper or the lower ends of others; over the
    bench where there are no others."""
    spans = design.heights.spans
    for name, seat in product(items, above or ("",)):
        span, other = spans.get(name), spans.get(seat, Span(0.0, 0.0))
        if span is None or name == seat or (seat and seat not in spans):
            continue
        base = other.bottom if of_lower_end else other.top
        for end, height in (("top", span.top - base), ("bottom", span.bottom - base)):
            if abs(height) > _SAME:
                label = f"how high the {end} of {name} is over {seat or 'the bench'}"
                yield Known(abs(height), "mm", "height", label)


def of_gaps(design: Design, items: Items) -> Iterator[Known]:
    """The room between things that lie one above the other, and of one in the hole of another."""
    spans = design.heights.spans
    for a, b in combinations(sorted(i for i in items if i in spans), 2):
        gap = max(spans[a].bottom - spans[b].top, spans[b].bottom - spans[a].top)
        if gap > _SAME:
            yield Known(gap, "mm", "gap", f"what is between {a} and {b}")
    yield from of_fits(design, items, items)


def of_fits(design: Design, items: Items, others: Items) -> Iterator[Known]:
    """How much wider or narrower holes are than what is in them, of things and others."""
    for pair in design.pairings:
        ends = (pair.inner.id, pair.outer.id)
        if not any(a in items and b in others for a, b in (ends, ends[::-1])):
            continue
        label = f"the room of {pair.inner.id} in {pair.outer.id}"
        yield from (Known(abs(v), "mm", "clearance", label) for v in pair.clearance or ())


def of_differences(design: Design, parts: Items) -> Iterator[Known]:
    """By how much things differ in a measure that both have; one alone, from others of its kind."""
    every = design.kit.parts
    pairs = [(every[a], every[b]) for a, b in combinations(sorted(parts), 2)]
    if len(parts) == 1:
        one = every[next(iter(parts))]
        pairs = [(one, other) for other in every.values() if other.kind == one.kind]
    for a, b in pairs:
        there = {k.fact: k.value for k in of_part(b, "") if k.what in ("mm", "teeth")}
        for known in of_part(a, ""):
            apart = abs(known.value - there.get(known.fact, known.value))
            if known.what in ("mm", "teeth") and apart > _SAME:
                label = f"by how much {a.id} and {b.id} differ in {known.fact}"
                yield Known(apart, known.what, "difference", label)


def of_rises(design: Design, items: Items) -> Iterator[Known]:
    """How far arbors that things are on can rise."""
    arbors = {design.kit.items[i].arbor for i in items}
    for arbor, play in design.end_plays.items():
        if {arbor, play.retainer.arbor} & arbors:
            yield Known(play.gap, "mm", "end play", f"how far {arbor} can rise")


def of_stack(design: Design, items: Items) -> Iterator[Known]:
    """How much of their arbors what stands on them takes up."""
    on_arbor = design.kit.on_arbor
    for arbor in sorted({design.kit.items[i].arbor for i in items}):
        stack = [item for item in on_arbor[arbor] if item.where == "stack"]
        if stack:
            yield Known(stack_height(stack), "mm", "stack", f"the stack on {arbor}")


def of_screws(design: Design, items: Items, through: bool) -> Iterator[Known]:
    """How far the screws that hold things reach: through these, or into what holds them."""
    for name in sorted(items):
        fastening = design.fastenings.get(name)
        if fastening is None or fastening.kind != "screw":
            continue
        if fastening.engagement and not through:
            label = f"how far the screws of {name} reach into {fastening.host.id}"
            yield Known(fastening.engagement, "mm", "engagement", label)
        if through and (thick := getattr(fastening.item.part, "thickness", None)):
            yield Known(thick, "mm", "thickness", f"the thickness of {name}")
        if fastening.grip and through:
            yield Known(fastening.grip, "mm", "grip", f"what the screws of {name} go through")


def hosts(design: Design, items: Items) -> list[str]:
    """What things are held to."""
    held = design.kit.held
    return sorted({held[i].to for i in items if i in held})


def of_hosts(design: Design, items: Items) -> Iterator[Known]:
    """The holes that things are put into."""
    for host in hosts(design, items):
        for pattern in design.kit.items[host].part.holes:
            if pattern.size:
                yield Known(pattern.size, "mm", "size", f"the holes of {host}")
