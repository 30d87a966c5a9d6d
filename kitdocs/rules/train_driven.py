"""train-driven: every arbor is driven from the crank."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.rules.rule import rule


@rule(
    "train-driven",
    group="Motion",
    demand="every arbor that is not fixed has one speed, given by the crank",
    formula="turns of b / turns of a = ∓ z_a / z_b for each mesh, relative to its carrier (Willis)",
    source="R. Willis, Principles of Mechanism (1841); ISO 1122-1 for the terms",
    example="the Saturn pipe's wheel meshes with nothing, so Saturn would not move",
    follows=("mesh-pair",),
)
def train_driven(design: Design) -> Iterator[Finding]:
    kit, motion = design.kit, design.motion
    for mesh in motion.uncoupled:
        yield Finding(
            mesh.place,
            "train-driven",
            f"{mesh.a.id} and {mesh.b.id} go round on different arms, so they cannot stay in mesh",
            "two axes of one carrier, or a carried axis and its carrier's own",
        )
    loose = set(motion.undetermined)
    for group in _coupled(design, loose):
        first = kit.arbors[group[0]]
        shown = [body.name for body in kit.bodies.values() if body.arbor in group]
        tail = f" (it shows {', '.join(shown)})" if shown else ""
        are = "is" if len(group) == 1 else "are"
        facts = [mesh.place for mesh in kit.meshes if {mesh.a.arbor, mesh.b.arbor} & set(group)]
        facts += [kit.arbors[name].place() for name in group]
        facts += [kit.axes[a.axis].place() for n in group if (a := kit.arbors[n]).axis]
        facts += [kit.bodies[b].place("arbor") for b in kit.bodies if kit.bodies[b].arbor in group]
        yield Finding(
            first.place(),
            "train-driven",
            f"{', '.join(group)} {are} not driven from the crank{tail}",
            "a mesh that gives each arbor its speed, or `fixed: true`",
            "Add the missing mesh.",
            facts=tuple(facts),
        )


def _coupled(design: Design, loose: set[str]) -> list[list[str]]:
    """The undriven arbors in groups that mesh with one another, each in the file's order."""
    partners: dict[str, set[str]] = {arbor: set() for arbor in loose}
    for mesh in design.kit.meshes:
        for one, other in ((mesh.a.arbor, mesh.b.arbor), (mesh.b.arbor, mesh.a.arbor)):
            if one in loose and other in loose:
                partners[one].add(other)
    groups: list[list[str]] = []
    seen: set[str] = set()
    for arbor in design.kit.arbors:
        if arbor not in loose or arbor in seen:
            continue
        group, waiting = set(), [arbor]
        while waiting:
            at = waiting.pop()
            if at not in group:
                group.add(at)
                waiting += partners[at]
        seen |= group
        groups.append([a for a in design.kit.arbors if a in group])
    return groups
