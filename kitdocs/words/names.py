"""What things are called: one name for each part, derived from its facts where it can be."""

from __future__ import annotations

from kitdocs.kit.model import Kit
from kitdocs.kit.parts import Fastener, Part, Toothed
from kitdocs.words.numbers import spelled

_KINDS: dict[str, tuple[str, str]] = {
    "wheel": ("wheel", "wheels"),
    "ring-wheel": ("ring wheel", "ring wheels"),
    "bevel-wheel": ("bevel wheel", "bevel wheels"),
    "contrate-wheel": ("contrate wheel", "contrate wheels"),
    "worm": ("worm", "worms"),
    "pulley": ("pulley", "pulleys"),
    "chain-wheel": ("chain wheel", "chain wheels"),
    "arbor": ("arbor", "arbors"),
    "pipe": ("pipe", "pipes"),
    "post": ("post", "posts"),
    "hub": ("hub", "hubs"),
    "collet": ("collet", "collets"),
    "spacer": ("spacer", "spacers"),
    "bush": ("bush", "bushes"),
    "pillar": ("pillar", "pillars"),
    "foot": ("foot", "feet"),
    "knob": ("knob", "knobs"),
    "washer": ("washer", "washers"),
    "plate": ("plate", "plates"),
    "dial": ("dial", "dials"),
    "arm": ("arm", "arms"),
    "hand": ("hand", "hands"),
    "crank-handle": ("crank handle", "crank handles"),
    "ball": ("ball", "balls"),
}

#: What a product standard's part is: its noun, its plural, and the head that tells it apart.
_FASTENERS: dict[str, tuple[str, str, str]] = {
    "ISO 4762": ("screw", "screws", "cap-head"),
    "ISO 7045": ("screw", "screws", "pan-head"),
    "ISO 7046": ("screw", "screws", "countersunk"),
    "ISO 10642": ("screw", "screws", "countersunk hex"),
    "ISO 4026": ("set screw", "set screws", "flat-point"),
    "ISO 4027": ("set screw", "set screws", "cone-point"),
    "ISO 4029": ("set screw", "set screws", "cup-point"),
    "ISO 7089": ("washer", "washers", "plain"),
    "ISO 4032": ("nut", "nuts", "hexagon"),
}


def head_word(fastener: Fastener) -> str:
    """How a fastener's head or point looks: `pan-head`; empty when its standard is not known."""
    known = _FASTENERS.get(fastener.parsed.product)
    return known[2] if known else ""


class Names:
    """The names of a kit's parts. Two fasteners of one size are told apart by their heads."""

    def __init__(self, kit: Kit):
        sizes: dict[str, int] = {}
        for part in kit.parts.values():
            if isinstance(part, Fastener):
                sizes[self._bare(part)[0]] = sizes.get(self._bare(part)[0], 0) + 1
        self._shared = {name for name, count in sizes.items() if count > 1}

    def _bare(self, part: Fastener) -> tuple[str, str]:
        one, many, _ = _FASTENERS.get(part.parsed.product, ("screw", "screws", ""))
        return f"{part.parsed.size} {one}", f"{part.parsed.size} {many}"

    def _both(self, part: Part) -> tuple[str, str]:
        one, many = self._derived(part)
        return one, part.plural or many

    def _derived(self, part: Part) -> tuple[str, str]:
        if part.name is not None:
            return part.name, _plural(part.name)
        if isinstance(part, Fastener):
            one, many = self._bare(part)
            head = head_word(part)
            if one in self._shared and head:
                size = part.parsed.size
                return one.replace(size, f"{size} {head}"), many.replace(size, f"{size} {head}")
            return one, many
        one, many = _KINDS[part.kind]
        if isinstance(part, Toothed):
            return f"{part.teeth}-tooth {one}", f"{part.teeth}-tooth {many}"
        words = part.id.replace("-", " ")
        return words, _plural(words)

    def one(self, part: Part) -> str:
        """Its name: `61-tooth wheel`."""
        return self._both(part)[0]

    def many(self, part: Part) -> str:
        """Its name in the plural: `61-tooth wheels`."""
        return self._both(part)[1]

    def counted(self, count: int, part: Part) -> str:
        """So many of it, as words: `three M2.5 × 6 screws`."""
        return f"{spelled(count)} {self.one(part) if count == 1 else self.many(part)}"


def _plural(name: str) -> str:
    """The plural of a name that ends in the noun of a kind; other names bring their own."""
    for one, many in _KINDS.values():
        if name == one or name.endswith(f" {one}"):
            return name.removesuffix(one) + many
    return name
