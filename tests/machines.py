"""Bare machines for tests: arbors, wheels and meshes, without shafts, heights or parcels."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from pathlib import Path

from kits import good_kit

from kitdocs.kit.model import Kit

_TOOTHED = {
    "wheel": "kind: wheel, teeth: {n}, module: 1, face: 2",
    "ring": "kind: ring-wheel, teeth: {n}, module: 1, face: 2, outside: 500",
    "bevel": "kind: bevel-wheel, teeth: {n}, module: 1, face: 2",
    "contrate": "kind: contrate-wheel, teeth: {n}, module: 1, face: 2",
    "worm": "kind: worm, starts: {n}, module: 1, length: 10",
    "pulley": "kind: pulley, teeth: {n}, pitch: 2, face: 4",
    "sprocket": "kind: chain-wheel, teeth: {n}, pitch: 2, face: 4",
}


def machine(
    tmp_path: Path,
    arbors: Mapping[str, Mapping[str, str]],
    meshes: Iterable[object] = (),
    *,
    carried: Mapping[str, str] | None = None,
    fixed: Iterable[str] = (),
    level: Iterable[str] = (),
    crank: str | None = None,
    bodies: Mapping[str, object] | None = None,
    time: Mapping[str, object] | None = None,
) -> Kit:
    """A kit of nothing but motion.

    `arbors` maps an arbor to its items and their parts, named `wheel-40`, `ring-90`, `worm-1`
    and so on by kind and teeth. `arm@post` is the arbor `arm` on the axis `post`; an arbor has
    an axis of its own otherwise. `carried` maps an axis to the arbor that carries it. The crank
    is the first arbor, and one turn of it is 365.25 days, if nothing else is said.
    """
    carried = carried or {}
    split = {key: tuple(key.split("@")) if "@" in key else (key, key) for key in arbors}
    axes = {
        axis: {"carried-by": carried[axis], "distance": 1} if axis in carried else {"at": [0, 0]}
        for _, axis in split.values()
    }
    for axis in level:
        axes[axis]["lies"] = "level"
    names = [name for name, _ in split.values()]
    mechanism = {
        "crank": crank or names[0],
        "axes": axes,
        "arbors": {
            name: {
                "axis": axis,
                "fixed": name in fixed,
                "stack": [{item: part} for item, part in arbors[key].items()],
            }
            for key, (name, axis) in split.items()
        },
        "meshes": list(meshes),
    }
    used = {part for stack in arbors.values() for part in stack.values()}
    parts = {part: re.fullmatch(r"([a-z]+)-(\d+)", part) for part in sorted(used)}
    lines = [f"  {p}: {{{_TOOTHED[m[1]].format(n=m[2])}}}" for p, m in parts.items() if m]
    about = {
        "title": "Test", "revision": "1", "maker": "Test", "summary": "Test.", "stages": [],
        "time": time or {"arbor": mechanism["crank"], "days": "365.25"},
        "bodies": bodies or {},
    }  # fmt: skip
    return good_kit(
        tmp_path,
        mechanism=json.dumps(mechanism),
        parts="\n".join(["parts:", *lines]) if lines else "parts: {}",
        kit=json.dumps(about),
    )


def compound_train(text: str) -> tuple[dict[str, dict[str, str]], list[list[str]]]:
    """Arbors and meshes of a train written as a product: `64/38*48/24`, driver over driven."""
    pairs = [pair.split("/") for pair in text.split("*")]
    arbors: dict[str, dict[str, str]] = {"a0": {}}
    meshes = []
    for n, (driver, driven) in enumerate(pairs):
        arbors[f"a{n}"][f"driver-{n}"] = f"wheel-{driver}"
        arbors[f"a{n + 1}"] = {f"driven-{n}": f"wheel-{driven}"}
        meshes.append([f"driver-{n}", f"driven-{n}"])
    return arbors, meshes
