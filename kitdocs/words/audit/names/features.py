"""Parts of a thing that words speak of (`the shoulder of the post`), and what has them."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from kitdocs.kit.parts import Fastener, Part, Shaft, Supply, Tool, Toothed


def _has(*keys: str) -> Callable[[Part], bool]:
    return lambda part: any(getattr(part, key, None) for key in keys)


#: What parts have, by its name in English, as findings tell it. Of tools no shape is known.
_FEATURES: Mapping[str, Callable[[Part], bool]] = {
    "shoulder": lambda part: bool(getattr(part, "shoulder", part.kind in ("hub", "bush"))),
    "flat": _has("flat"),
    "bore": _has("bore", "holes"),
    "hole": _has("bore", "holes", "set_screw"),
    "end": lambda part: isinstance(part, Fastener) or _has("length", "reach")(part),
    "tooth": lambda part: isinstance(part, Toothed) or hasattr(part, "teeth"),
    "rim": lambda part: not isinstance(part, (Shaft, Fastener, Supply)),
}


def has_feature(part: Part, key: str) -> bool:
    """Whether a part has what words say that it has. Of a pillar's cross holes no model tells."""
    return isinstance(part, Tool) or part.kind == "pillar" or _FEATURES[key](part)
