"""Theme templates compiled once in a preview: MkDocs makes a new environment for each build."""

from __future__ import annotations

import jinja2
from jinja2.bccache import Bucket


class CompiledTemplates(jinja2.BytecodeCache):
    """Jinja's own cache of compiled templates, held in memory; it compares the sources."""

    def __init__(self) -> None:
        self._kept: dict[str, bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        if kept := self._kept.get(bucket.key):
            bucket.bytecode_from_string(kept)

    def dump_bytecode(self, bucket: Bucket) -> None:
        self._kept[bucket.key] = bucket.bytecode_to_string()
