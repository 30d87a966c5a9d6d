"""What must be so at the end of a stage, and of the build."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kitdocs.assembly.bench import Bench
from kitdocs.assembly.state import MACHINE, Draft
from kitdocs.finding import Finding, Place
from kitdocs.kit.stage import Stage


class Ends:
    """Looks at a build where one stage ends and the next begins.

    `design` is the finished machine: what nothing holds even there is no matter of the steps.
    """

    def __init__(self, bench: Bench, design: Draft):
        self._bench = bench
        self._design = design
        self._free: frozenset[str] | None = None
        self._carried: set[str] = set()  # told of as not held at the end of some stage

    def of_stage(self, stage: Stage) -> Iterator[Finding]:
        """What is off or slack, and what nothing holds."""
        bench, draft = self._bench, self._bench.draft
        for item in tuple(draft.off):
            yield from self._left(stage, item, "off", "refit", bench.history(item))
        for item, hold in draft.holds.items():
            if hold == "slack":
                yield from self._left(stage, item, "slack", "tighten", bench.held_at(item)[:1])
        yield from self._unfastened(stage)
        yield from self._unheld(stage)
        yield from self._on_bench(stage)

    def _left(
        self, stage: Stage, item: str, what: str, mend: str, facts: tuple[Place, ...]
    ) -> Iterator[Finding]:
        if item in self._bench.told or item in self._carried:
            return
        self._carried.add(item)
        yield Finding(
            facts[0] if facts else stage.place,
            "step-slack",
            f"{item} is still {what} at the end of stage {stage.id}",
            "everything back in place and tight",
            f"Add `{mend}: {item}` to a later step of the stage.",
            facts=facts,
        )

    def _unfastened(self, stage: Stage) -> Iterator[Finding]:
        """What a fastening should hold that nobody has made yet."""
        kit, draft = self._bench.kit, self._bench.draft
        for item, held in kit.held.items():
            if draft.hold(item) == "out" and draft.together(item, held.to):
                yield from self._told(
                    stage,
                    [item],
                    f"{item} is not fastened",
                    f"`fasten: {item}` before it ends"
                    if held.by != "press"
                    else f"`press: {item}`",
                    (held.place(),),
                )

    def _unheld(self, stage: Stage) -> Iterator[Finding]:
        bench = self._bench
        loose = [(item, cluster) for item, cluster in bench.loose() if self._kept(item)]
        items = sorted({i for _, cluster in loose for i in cluster})
        if items:
            above = {a for i in items for a in bench.access.above(i)}
            missing = sorted(above - set(bench.draft.at))
            facts = [bench.kit.items[i].place for i in missing]
            yield from self._told(
                stage,
                items,
                f"nothing holds {_listed(items)}",
                "everything on the machine fastened, or kept in by something that is",
                facts,
            )

    def _kept(self, item: str) -> bool:
        """Whether an item is held in the finished machine."""
        if self._free is None:
            bench = self._bench
            mine, bench.draft = bench.draft, self._design
            self._free = frozenset(i for _, cluster in bench.loose() for i in cluster)
            bench.draft = mine
        return item not in self._free

    def _on_bench(self, stage: Stage) -> Iterator[Finding]:
        bench = self._bench
        for assembly in sorted(bench.draft.members):
            if assembly == MACHINE or assembly in bench.draft.off:
                continue
            members = bench.draft.members[assembly]
            loose = sorted(bench.rattling(assembly)) if members else []
            if loose:
                yield from self._told(
                    stage,
                    loose,
                    f"nothing holds {_listed(loose)} on {assembly}, made up on the bench",
                    "what is kept for a later stage fastened together",
                )

    def _told(
        self,
        stage: Stage,
        items: list[str],
        found: str,
        expected: str,
        facts: Iterable[Place] = (),
    ) -> Iterator[Finding]:
        bench = self._bench
        new = [i for i in items if i not in self._carried and i not in bench.told]
        self._carried.update(items)
        if not new:
            return
        places = [place for item in new for place in bench.history(item)]
        yield Finding(
            places[0] if places else stage.place,
            "step-held",
            f"{found} at the end of stage {stage.id}",
            expected,
            facts=(*places, *facts, *self._written(new)),
        )

    def _written(self, items: list[str]) -> Iterator[Place]:
        """Where items and their arbors are written."""
        kit = self._bench.kit
        for item in items:
            yield kit.items[item].place
            yield kit.arbors[kit.items[item].arbor].place()

    def of_build(self) -> Iterator[Finding]:
        """What lies on the bench when the last stage is done."""
        bench = self._bench
        for assembly, members in sorted(bench.draft.members.items()):
            if assembly == MACHINE or not members or assembly in bench.draft.off:
                continue
            if members & bench.told:
                continue
            places = bench.history(assembly)
            yield Finding(
                places[0] if places else bench.kit.items[assembly].place,
                "build-complete",
                f"{assembly} is still on the bench at the end of the build",
                "everything in its place on the machine",
                f"Add `place: {assembly}` to a step.",
                facts=(*places, *(bench.kit.items[i].place for i in sorted(members))),
            )


def _listed(items: list[str]) -> str:
    shown = items[:4]
    more = len(items) - len(shown)
    return ", ".join(shown) + (f" and {more} more" if more else "")
