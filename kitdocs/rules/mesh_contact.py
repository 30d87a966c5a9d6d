"""mesh-contact: the next teeth meet before the last ones part."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.assembly.design import Design
from kitdocs.finding import Finding
from kitdocs.mechanism.contact import contact_ratio
from kitdocs.rules.mesh_facts import mesh_facts
from kitdocs.rules.rule import rule
from kitdocs.words.numbers import plain


@rule(
    "mesh-contact",
    group="Gearing",
    demand="more than one pair of teeth of an involute mesh is in contact, with something to "
    "spare; of clock forms, crossing axes, belts and chains this does not follow from the facts",
    formula="[√(r_a1² − r_b1²) + √(r_a2² − r_b2²) − a sin α_w] / (π m cos α): {mesh-contact}, with "
    "the signs of an internal pair where it is one",
    source="ISO 21771:2007; 1.2 is common practice",
    example="7 teeth with 7 teeth of a normal form: 1.14",
    follows=("mesh-pair", "mesh-distance"),
)
def mesh_contact(design: Design) -> Iterator[Finding]:
    limit = design.limit("mesh-contact")
    for mesh in design.kit.meshes:
        ratio = contact_ratio(design.kit, mesh, design.positions)
        if ratio is not None and not limit.holds(ratio):
            yield Finding(
                mesh.place,
                "mesh-contact",
                f"{mesh.a.id} and {mesh.b.id} have a contact ratio of {plain(ratio, 2)}",
                limit.text,
                "Choose more teeth, or less shift.",
                facts=mesh_facts(design, mesh),
            )
