"""What a sentence says of the things that it names, held against what they are in the machine.

A name may be at hand in a step and wrong all the same: a spacer that is oiled, a wheel that meshes
with no other there, a screw that turns round. Each check reads one plain form of words (a name
after its verb, or the words between two names) and tells only of what cannot be.
"""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.words.audit.lexicon import Lexicon, Named
from kitdocs.words.audit.names.alone import Alone
from kitdocs.words.audit.names.company import Company
from kitdocs.words.audit.names.free_order import FreeOrder
from kitdocs.words.audit.names.hosts import Hosts
from kitdocs.words.audit.names.instructed import Instructed
from kitdocs.words.audit.names.paired import Paired
from kitdocs.words.audit.names.things import Fault, Thing, Things, is_lower_end
from kitdocs.words.audit.names.work import Work
from kitdocs.words.audit.scope import Scope
from kitdocs.words.sentences import Sentence


class RoleCheck:
    """Reads what sentences say of things, in one language of a kit."""

    def __init__(self, lexicon: Lexicon):
        self.things, machine = Things(lexicon), Work(lexicon.design)
        self.words = lexicon.tongue.roles
        if self.words is not None:
            self.instructed = Instructed(self.words, machine)
            self.alone = Alone(self.words, machine, self.things, lexicon)
            self.paired = Paired(self.words, machine)
            self.company = Company(self.words, machine)
            self.free_order = FreeOrder(self.words, machine, lexicon)
            self.hosts = Hosts(self.words, machine, lexicon)

    def is_no_part(self, named: Named, sentence: Sentence, scope: Scope) -> bool:
        """Whether a name is that of no part there, but of the lower end of one."""
        return self.words is not None and any(
            is_lower_end(sentence.text, one, self.words.lower_end)
            for one in self.things.read((named,), scope)
        )

    def faults(self, sentence: Sentence, scope: Scope, named: tuple[Named, ...]) -> Iterator[Fault]:
        """What a sentence says that its things cannot be or do, each thing once."""
        if self.words is None or scope.stage is None or sentence.kind in ("row", "code"):
            return
        text = sentence.text
        things = [
            one
            for one in self.things.read(named, scope)
            if not is_lower_end(text, one, self.words.lower_end)
        ]
        told: set[int] = set()
        for fault in self._faults(text, things, scope) if things else ():
            if fault[0].start not in told:
                told.add(fault[0].start)
                yield fault

    def _faults(self, text: str, things: list[Thing], scope: Scope) -> Iterator[Fault]:
        if scope.step is not None:
            yield from self.instructed.faults(text, things, scope)
            yield from self.hosts.faults(text, things, scope)
        yield from self.alone.faults(text, things, scope)
        yield from self.paired.faults(text, things, scope)
        yield from self.free_order.faults(text, things, scope)
        yield from self.company.faults(text, things, scope)
