"""What expressions can reach: items, parts, bodies and the rest, each showing its facts.

A view knows the few facts that words may use and prints them as readers see them; asking for
anything else is `Unknown`, with the nearest fact that there is.
"""

from __future__ import annotations

import posixpath
from collections.abc import Callable, Iterable
from fractions import Fraction
from math import ceil
from typing import Any

from kitdocs.assembly.design import Design
from kitdocs.assembly.proof import Proof
from kitdocs.finding import Place
from kitdocs.kit.names import nearest
from kitdocs.kit.parts import Fastener, Part
from kitdocs.kit.stage import Stage
from kitdocs.mechanism.meshes import mesh_kind, speed_ratio
from kitdocs.mechanism.positions import axis_distance
from kitdocs.words.language import marked
from kitdocs.words.markup import Markup, literal
from kitdocs.words.names import Names
from kitdocs.words.numbers import NBSP

#: The measures of parts that readers see, with what each is called.
MEASURES: dict[str, str] = {
    "length": marked("length"),
    "bore": marked("bore"),
    "outside": marked("outside"),
    "diameter": marked("diameter"),
    "thickness": marked("thickness"),
    "face": marked("face"),
    "reach": marked("reach"),
    "width": marked("width"),
    "depth": marked("depth"),
    "module": marked("module"),
}


#: Facts of a body that come from its train.
_OF_A_TRAIN = ("period", "reference", "source", "error", "drift", "ratio", "turns_per_year")


class Unknown(Exception):
    """An expression names something that is not there."""

    def __init__(self, found: str, expected: str, mend: str, facts: tuple[Place, ...] = ()):
        super().__init__(found)
        self.found, self.expected, self.mend, self.facts = found, expected, mend, facts

    @classmethod
    def among(cls, found: str, expected: str, name: str, known: Iterable[str]) -> Unknown:
        return cls(found, expected, nearest(name, known))


class View:
    """A name and some facts, each worked out when it is asked for.

    `absent` are facts that it would have if the model held, with where the model does not.
    """

    __slots__ = ("_absent", "_facts", "_shown", "_what")

    def __init__(
        self,
        what: str,
        shown: Callable[[], str],
        facts: dict[str, Callable[[], Any]],
        absent: dict[str, Place] | None = None,
    ):
        self._what, self._shown, self._facts, self._absent = what, shown, facts, absent or {}

    def __str__(self) -> str:
        return self._shown()

    def fact(self, name: str) -> Any:
        """One of its facts. Raises Unknown for what it does not have."""
        if name in self._absent:
            found = f"'.{name}' of {self._what}, which cannot be told"
            raise Unknown(found, "a fact that it has", "", (self._absent[name],))
        if name not in self._facts:
            raise Unknown.among(
                f"'.{name}' of {self._what}", "a fact that it has", name, self._facts
            )
        return self._facts[name]()


def names_in_reach(design: Design, names: Names, uri: str, stage: Stage | None) -> dict[str, Any]:
    """The names that an expression on the page `uri` may begin with."""
    kit = design.kit
    reach = _Reach(design, names, uri, stage)
    about = {
        "title": lambda: names.title,
        "revision": lambda: kit.about.revision,
        "maker": lambda: kit.about.maker,
        "summary": lambda: names.summary,
    }
    return {
        "item": reach.item,
        "part": reach.part,
        "count": reach.count,
        "body": reach.body,
        "mesh": reach.mesh,
        "arbor": reach.arbor,
        "proof": reach.proof,
        "proof_turns": _Late(reach.proof_turns),
        "delivery": reach.delivery,
        "given": _given,
        "stage": reach.stage,
        "step": reach.step,
        "kit": View("the kit", lambda: names.title, about),
        "crank_turns_per_year": _Late(lambda: reach.crank_turns(kit.about.time.arbor)),
    }


def _given(figure: str, source: str) -> str:
    """A figure that the design does not know, with where it comes from, which the page lists."""
    if not figure.strip() or not source.strip():
        raise Unknown("a figure without its source", "given('24 hours', 'the data sheet')", "")
    return figure.strip().replace(" ", NBSP)


class _Late:
    """A value worked out when it is printed."""

    def __init__(self, value: Callable[[], str]):
        self._value = value

    def __str__(self) -> str:
        return self._value()


class _Reach:
    def __init__(self, design: Design, names: Names, uri: str, stage: Stage | None):
        self.design, self.kit, self.uri, self.here = design, design.kit, uri, stage
        self.names, self.numbers, self.language = names, names.numbers, names.language

    def _known(self, what: str, name: str, known: Iterable[str]) -> None:
        if name not in known:
            raise Unknown.among(f"'{name}'", f"the id of {what}", name, known)

    def item(self, name: str) -> View:
        self._known("an item", name, self.kit.items)
        item = self.kit.items[name]
        facts = {
            **self._part_facts(item.part),
            "part": lambda: self.part(item.part.id),
            "arbor": lambda: self.arbor(item.arbor),
        }
        absent: dict[str, Place] = {}
        fastening = self.design.fastenings.get(name)
        if fastening is not None and fastening.part is not None:
            held = fastening.part
            facts["screw"] = lambda: self.names.one(held)
            facts["screws"] = lambda: self.names.counted(fastening.count, held)
            if fastening.driver:
                facts["driver"] = lambda: self.names.driver(fastening.driver or "")
            elif isinstance(held, Fastener):
                absent["driver"] = held.place()
        return View(f"the item '{name}'", lambda: self.names.one(item.part), facts, absent)

    def part(self, reference: str) -> View:
        part = self.kit.part(reference)
        if part is None:
            raise Unknown.among(f"'{reference}'", "the id of a part", reference, self.kit.parts)
        facts = {**self._part_facts(part), "plural": lambda: self.names.many(part)}
        return View(f"the part '{reference}'", lambda: self.names.one(part), facts)

    def _part_facts(self, part: Part) -> dict[str, Callable[[], Any]]:
        facts: dict[str, Callable[[], Any]] = {"name": lambda: self.names.one(part)}
        for key, form in self.names.forms(part).items():
            facts[key] = lambda form=form: form
        written = vars(part)  # asking for what is not there is slow
        if written.get("teeth") is not None:
            facts["teeth"] = lambda: written["teeth"]
        if written.get("material") is not None:
            facts["material"] = lambda: self.names.material(part)
        if written.get("mark") is not None:
            facts["mark"] = lambda: self.names.mark(part)
        for key in MEASURES:
            if written.get(key):
                facts[key] = lambda key=key: self.numbers.millimetres(written[key])
        return facts

    def count(self, *names: str) -> str:
        for name in names:
            self._known("an item", name, self.kit.items)
        return self.numbers.spelled(len(names))

    def body(self, name: str) -> View:
        self._known("a body", name, self.kit.bodies)
        body = self.kit.bodies[name]
        train = self.design.trains.get(name)
        called = self.names.body(name)
        facts: dict[str, Callable[[], Any]] = {"name": lambda: called}
        for key, form in self.names.body_forms(name).items():
            facts[key] = lambda form=form: form
        numbers = self.numbers
        if train is not None:
            facts |= {
                "period": lambda: numbers.days(train.period_days),
                "reference": lambda: numbers.days(train.reference.days),
                "source": lambda: train.reference.source,
                "error": lambda: numbers.per_cent(train.error),
                "drift": lambda: numbers.with_unit(
                    numbers.signed(train.drift_deg_per_year, 2), "°"
                ),
                "ratio": lambda: numbers.fraction(abs(train.ratio)),
                "turns_per_year": lambda: numbers.turns(train.turns_per_year),
            }
        absent = dict.fromkeys(_OF_A_TRAIN, body.place("arbor")) if train is None else None
        return View(f"the body '{name}'", lambda: called, facts, absent)

    def mesh(self, a: str, b: str) -> View:
        for name in (a, b):
            self._known("an item", name, self.kit.items)
        mesh = self.kit.mesh(a, b)
        if mesh is None or mesh_kind(mesh) is None:
            raise Unknown(f"a mesh of '{a}' and '{b}'", "two items that mesh", "")
        ratio = abs(speed_ratio(mesh))
        first = mesh.a.id == a
        facts: dict[str, Callable[[], Any]] = {
            "ratio": lambda: self.numbers.fraction(ratio if first else 1 / ratio)
        }
        distance = axis_distance(self.kit, mesh.a.arbor, mesh.b.arbor, self.design.positions)
        if distance is not None:
            facts["distance"] = lambda: self.numbers.millimetres(distance)
        return View(f"the mesh of '{a}' and '{b}'", lambda: facts["ratio"](), facts)

    def arbor(self, name: str) -> View:
        self._known("an arbor", name, self.kit.arbors)
        shown = self.names.arbor(name)
        facts: dict[str, Callable[[], Any]] = {"name": lambda: shown}
        if self.design.motion.speeds.get(name):
            speed = self.design.motion.speeds[name]
            facts["turns_per_crank"] = lambda: self.numbers.turns(speed)
            facts["crank_turns"] = lambda: self.crank_turns(name)
            facts["degrees_per_crank"] = lambda: self.numbers.degrees(360 * abs(speed))
        moving = ("turns_per_crank", "crank_turns", "degrees_per_crank")
        absent = {key: self.kit.arbors[name].place() for key in moving if key not in facts}
        return View(f"the arbor '{name}'", lambda: shown, facts, absent)

    def crank_turns(self, name: str) -> str:
        speed: Fraction | None = self.design.motion.speeds.get(name)
        if not speed:
            where = self.kit.arbors[name].place()
            raise Unknown(f"'{name}', which does not turn", "a driven arbor", "", (where,))
        return self.numbers.turns(1 / speed)

    def _proof(self) -> Proof:
        found = self.design.proofs.get(self.here.id) if self.here else None
        if found is None:
            where = (self.here.place,) if self.here else ()
            expected = "the page of a stage whose last step turns something"
            raise Unknown("a proof where there is none", expected, "", where)
        return found

    def proof_turns(self) -> str:
        return self.numbers.counted_turns(self._proof().turns)

    def proof(self, name: str) -> View:
        of = {shown.body or shown.arbor: shown for shown in self._proof().shown}
        self._known("a body or arbor of this stage's proof", name, of)
        shown, numbers = of[name], self.numbers
        sense = marked("clockwise") if shown.turns < 0 else marked("anticlockwise")
        facts: dict[str, Callable[[], Any]] = {
            "degrees": lambda: numbers.degrees(round(abs(shown.degrees))),
            "turns": lambda: numbers.turns(shown.turns),
            "sense": lambda: self.language.text(sense),
            "tolerance": lambda: numbers.degrees(ceil(shown.tolerance)),
        }
        return View(f"the proof of '{name}'", facts["degrees"], facts)

    def delivery(self, name: str) -> View:
        self._known("a delivery", name, self.kit.deliveries)
        delivery = self.kit.deliveries[name]
        facts = {
            "title": lambda: self.names.delivery(name),
            "month": lambda: delivery.month,
            "number": lambda: list(self.kit.deliveries).index(name) + 1,
        }
        return View(f"the delivery '{name}'", facts["title"], facts)

    def stage(self, name: str) -> Markup:
        stage = self._stage(name)
        text = self.language.text(
            "stage %(number)s, %(title)s", number=stage.number, title=self.names.stage(stage)
        )
        return Markup(f"[{literal(text)}]({self._to(stage)})")

    def step(self, name: str, stage_name: str | None = None) -> Markup:
        stage = self._stage(stage_name) if stage_name is not None else self.here
        if stage is None:
            raise Unknown(f"'{name}' on a page that is no stage", "step('ID', 'STAGE')", "")
        steps = {step.id: step for step in stage.steps}
        self._known(f"a step of stage '{stage.id}'", name, steps)
        number = steps[name].number
        if stage is self.here:
            return Markup(
                f"[{literal(self.language.text('step %(number)s', number=number))}](#{name})"
            )
        text = self.language.text(
            "step %(number)s of stage %(stage)s", number=number, stage=stage.number
        )
        return Markup(f"[{literal(text)}]({self._to(stage)}#{name})")

    def _stage(self, name: str) -> Stage:
        stages = {stage.id: stage for stage in self.kit.stages}
        self._known("a stage", name, stages)
        return stages[name]

    def _to(self, stage: Stage) -> str:
        return posixpath.relpath(stage.uri, posixpath.dirname(self.uri) or ".")
