"""The parts list of a kit: each part by its id, and what a reference to one may mean."""

from __future__ import annotations

from collections.abc import Mapping

from kitdocs.finding import Finding
from kitdocs.kit import yaml_reader
from kitdocs.kit.designation import parse_designation
from kitdocs.kit.fact import NOWHERE
from kitdocs.kit.names import quoted
from kitdocs.kit.parts import Fastener, Part, PartsFile


def index_parts(file: PartsFile) -> tuple[dict[str, Part], list[Finding]]:
    """Parts by id; fasteners under their full designation."""
    findings: list[Finding] = []
    parts: dict[str, Part] = {}
    for key, part in file.parts.items():
        part.set_id(key)
        parts[key] = part
    for i, fastener in enumerate(file.fasteners):
        place = file.place("fasteners", i)
        if fastener.place() == NOWHERE:  # written as a designation alone, which has no keys
            fastener.set_source(yaml_reader.Mapping(place))
        parsed = parse_designation(fastener.designation)
        if parsed is None:
            expected = "a designation such as ISO 7045 M2.5 x 6"
            findings.append(Finding(place, "value", quoted(fastener.designation), expected))
            continue
        name = str(parsed)
        fastener.set_id(name)
        if name in parts:
            facts = (parts[name].place(),)
            found = f"'{name}' a second time"
            findings.append(Finding(place, "yaml-duplicate", found, "once", facts=facts))
        parts[name] = fastener
    return parts, findings


def parts_like(parts: Mapping[str, Part], reference: str) -> list[Part]:
    """All parts that a reference may mean: a designation without a standard may fit several."""
    if reference in parts:
        return [parts[reference]]
    wanted = parse_designation(reference)
    if wanted is None:
        return []
    return [p for p in parts.values() if isinstance(p, Fastener) and wanted.covers(p.parsed)]
