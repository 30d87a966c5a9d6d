"""How many: what a count may state, and from where it is known."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from kitdocs.kit.model import Item
from kitdocs.words.audit.claims.claim import Claim
from kitdocs.words.audit.lexicon import Lexicon, Named, words_in
from kitdocs.words.audit.scope import LOOKED_AT, Scope, scope_of

PLANETS = frozenset(["mercury", "venus", "earth", "mars", "jupiter", "saturn", "uranus", "neptune"])


@dataclass(frozen=True)
class Number:
    """A count of the design: what it counts in words, and the expression that prints it."""

    value: int
    label: str
    expression: str = ""


def numbers(
    claim: Claim, named: Iterable[Named], scope: Scope, lexicon: Lexicon, sentence: str
) -> list[Number]:
    """The counts that a claim may agree with: of the nearest circle in which there are any."""
    named = tuple(named)
    key = lexicon.tongue.noun(claim.noun)
    if key == "tooth":
        return []
    if key == "hole":
        return list(_holes(named, scope))
    if key in ("step", "stage", "parcel", "planet", "pair"):
        for circle in (scope, scope.whole_stage, scope_of(scope.design)):
            if found := list(_things(key, circle, _is_of_kit(sentence, lexicon))):
                if key == "pair" and circle is not scope:  # the step itself meshes nothing
                    found.append(Number(len(scope.design.kit.meshes), "the meshes of the kit"))
                return found
        return []
    sets = lexicon.parts_called(claim.noun, claim.others, sentence)
    own = _own(claim, named, lexicon)
    if own is not None:
        return own
    on_one = [n for parts in sets for n in _on_one_arbor(parts, named, scope)]
    if on_one and scope.step is None:
        return on_one
    for circle in (scope, scope.whole_stage):
        near = [n for parts in sets for n in _of_parts(parts, named, circle, lexicon, sentence)]
        if near:
            return [*near, *on_one]
    every = [n for parts in sets for n in _in_all(parts, scope)]
    return [*every, *(n for parts in sets for n in _on_one_axis(parts, named, scope))]


def _own(claim: Claim, named: tuple[Named, ...], lexicon: Lexicon) -> list[Number] | None:
    """One, where what is counted is printed by `item('…')`, which is one thing."""
    for one in named:
        if claim.end <= one.start <= claim.end + 2 and _names_one(one, claim, lexicon):
            return [Number(1, f"{one.referents[0].id} is one item")]
    return None


def _names_one(one: Named, claim: Claim, lexicon: Lexicon) -> bool:
    """Whether an expression gives the name of one item, as it is or, beside `one`, in a form that
    the kit's words have: `item('…').accusative`, which may as well be a plural beside `two`."""
    call, _, form = one.source.rpartition(")")
    item = lexicon.design.kit.items.get(one.referents[0].id) if one.referents else None
    if not call.startswith("item(") or item is None:
        return False
    return not form or (claim.high == 1 and form[1:] in lexicon.names.forms(item.part))


def _of_parts(
    parts: frozenset[str], named: tuple[Named, ...], scope: Scope, lexicon: Lexicon, sentence: str
) -> Iterator[Number]:
    if not parts:
        return
    words = {word for _, _, word in words_in(sentence)}
    held = list(_fasteners(parts, _in_question(named, scope), scope))
    of_each = [one for one in held if one.expression]
    if of_each and lexicon.tongue.holding.search(sentence) and not lexicon.tongue.each & words:
        yield from of_each  # so many hold each thing
        return
    yield from _taken(parts, scope)
    acted = [item for item in scope.handled if item.part.id in parts]
    if acted:
        ids = ", ".join(f"'{item.id}'" for item in acted)
        yield Number(len(acted), "items of the step", f"count({ids})")
    for action in scope.actions:
        if _is_beside_the_point(action.verb, scope, lexicon, sentence):
            continue
        count = sum(scope.design.kit.items[i].part.id in parts for i in action.items
                    if i in scope.design.kit.items)  # fmt: skip
        if count > 1:
            ids = ", ".join(f"'{i}'" for i in action.items)
            yield Number(count, f"what `{action.verb}` names", f"count({ids})")
    in_all = any(lexicon.tongue.noun(word) == "step" for word in words)  # "in this step"
    yield from held[-1:] if in_all else held
    told = [r.id for n in named if n.source for r in n.referents if r.what == "item"]
    items = scope.design.kit.items
    count = sum(items[i].part.id in parts for i in dict.fromkeys(told) if i in items)
    if count > 1:
        yield Number(count, "what the sentence names")


def _is_beside_the_point(verb: str, scope: Scope, lexicon: Lexicon, sentence: str) -> bool:
    """Whether an action only looks at its items, and the words speak of no mesh: what is put on
    here is not counted by it."""
    grammar = lexicon.tongue.grammar
    if grammar is None or verb not in LOOKED_AT:
        return False
    return scope.step is None or not grammar.meshing.search(sentence.lower())


def _on_one_arbor(
    parts: frozenset[str], named: tuple[Named, ...], scope: Scope
) -> Iterator[Number]:
    """What stands on the one shaft that a sentence names: `two wheels sit on the lay arbor`."""
    kit = scope.design.kit
    told = {(r.what, r.id) for n in named for r in n.referents}
    shafts = [
        name
        for name in kit.arbors
        if name in kit.items and told & {("item", name), ("part", kit.items[name].part.id)}
    ]
    if len(shafts) == 1:
        there = scope.built if scope.step is not None else kit.items
        row = (item for item in kit.on_arbor[shafts[0]] if item.id in there)
        count = sum(item.part.id in parts for item in row)
        if count:
            yield Number(count, f"what stands on {shafts[0]}")


def _on_one_axis(parts: frozenset[str], named: tuple[Named, ...], scope: Scope) -> Iterator[Number]:
    """What comes on the axis of the post that a sentence names: `seven pipes will turn on it`."""
    kit = scope.design.kit
    told = {r.id for n in named for r in n.referents if r.what == "item"} & kit.arbors.keys()
    axes = {kit.arbors[name].axis for name in told if kit.arbors[name].fixed} - {None}
    if len(axes) == 1:
        row = [i for i in kit.items.values() if kit.arbors[i.arbor].axis in axes]
        count = sum(item.part.id in parts for item in row)
        if count:
            yield Number(count, f"what comes on the axis of {min(told)}")


def _taken(parts: frozenset[str], scope: Scope) -> Iterator[Number]:
    taken = {p: n for p, n in scope.taking.parts.items() if p in parts}
    if taken:
        yield Number(sum(taken.values()), "what is taken")


def _in_question(named: tuple[Named, ...], scope: Scope) -> list[Item]:
    """The items whose fastenings a sentence may count: those driven here, and those it names."""
    items, found = scope.design.kit.items, {item.id: item for item in scope.driven}
    for one in named:
        for referent in one.referents:
            if referent.what == "item" and referent.id in items:
                found[referent.id] = items[referent.id]
            elif referent.what == "part":
                near = (i for i in scope.near if items[i].part.id == referent.id)
                found |= {i: items[i] for i in near}
    return list(found.values())


def _fasteners(parts: frozenset[str], items: list[Item], scope: Scope) -> Iterator[Number]:
    """How many hold each of some items, and all of one part together."""
    sums: Counter[str] = Counter()
    every = 0
    driven = {item.id for item in scope.driven}
    for item in items:
        fastening = scope.design.fastenings.get(item.id)
        if fastening is None:
            continue
        for part, count in fastening.takes:
            if part.id in parts:
                yield Number(count, f"what holds {item.id}", f"item('{item.id}').screws")
                sums[part.id] += count
                every += count if item.id in driven else 0
    for count in (*sums.values(), every):
        if count:
            yield Number(count, "what holds them together")


def _holes(named: tuple[Named, ...], scope: Scope) -> Iterator[Number]:
    """Holes of the parts that a sentence names; else of those that the step acts on."""
    kit = scope.design.kit
    ids = [r.id for n in named for r in n.referents if r.what in ("item", "part")]
    parts = [kit.items[i].part if i in kit.items else kit.part(i) for i in ids]
    if not any(part and part.holes for part in parts):
        parts = [item.part for item in scope.acted]
        hosts = {kit.items[kit.held[i.id].to].part.id for i in scope.acted if i.id in kit.held}
        parts += [kit.parts[host] for host in sorted(hosts)]
    for part in {p.id: p for p in parts if p is not None}.values():
        for pattern in part.holes:
            yield Number(pattern.count, f"the holes of {part.id}")
        if part.holes:
            yield Number(len(part.hole_patterns), f"all holes of {part.id}")
        if part.set_screw:
            yield Number(part.set_screw.count, f"the cross holes of {part.id}")


def _is_of_kit(sentence: str, lexicon: Lexicon) -> bool:
    """Whether a sentence speaks of the kit as a whole."""
    return any(word in lexicon.tongue.whole for _, _, word in words_in(sentence))


def _things(key: str, scope: Scope, of_kit: bool) -> Iterator[Number]:
    kit, stage = scope.design.kit, scope.stage
    if key == "step" and stage:
        yield Number(len(stage.steps), "the steps of the stage")
    elif key == "stage":
        yield Number(len(kit.stages), "the stages of the kit")
        if stage and not of_kit:
            yield Number(stage.number - 1, "the stages before this one")
            yield Number(len(kit.stages) - stage.number, "the stages after this one")
    elif key == "parcel":
        yield Number(len(kit.deliveries), "the parcels of the kit")
    elif key == "planet":
        shown = [b for b in kit.bodies if b in PLANETS]
        if stage:
            added = [b for s in kit.stages[: stage.number] for b in s.front.adds if b in PLANETS]
            yield Number(sum(b in PLANETS for b in stage.front.adds), "what the stage adds")
            yield Number(len(added), "what is built so far")
        yield Number(len(shown), "the planets of the kit")
    elif key == "pair":
        meshed = sum(action.verb == "mesh" for action in scope.actions)
        if meshed:
            yield Number(meshed, "the meshes made here")
        elif stage is None:
            yield Number(len(kit.meshes), "the meshes of the kit")


def _in_all(parts: frozenset[str], scope: Scope) -> Iterator[Number]:
    """Of the machine as a whole, of what is built up to the stage, and of its parcel."""
    design = scope.design
    if scope.delivery:
        parcel = design.takings.delivered[scope.delivery]
        spares = design.takings.spares[scope.delivery]
        if sum(parcel[p] for p in parts):
            for some in (parts, *({part} for part in parts)):
                held = sum(parcel[p] for p in some)
                yield Number(held, "what the parcel holds")
                yield Number(held + sum(spares[p] for p in some), "the same with its spares")
            return
    items = [item for item in design.kit.items.values() if item.part.id in parts]
    yield Number(len(items) or sum(design.takings.used[p] for p in parts), "all of the machine")
    if scope.stage:
        before = Counter[str]()
        for stage in design.kit.stages[: scope.stage.number]:
            before.update(design.takings.stages[stage.id])
        yield Number(sum(before[p] for p in parts), "what is built so far")
        parcel = design.takings.delivered[scope.stage.front.delivery]
        yield Number(sum(parcel[p] for p in parts), "what the parcel holds")
        for part in parts:
            yield Number(before[part], f"{part} built so far")
    for part in parts:
        yield Number(design.takings.used[part], f"all of {part}")
