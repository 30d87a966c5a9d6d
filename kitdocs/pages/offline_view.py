"""What a page says, and compares, when a newer build of the site is there."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass

from kitdocs.pages.kit_view import KitView
from kitdocs.pages.render import Renderer
from kitdocs.words.language import Language


@dataclass(frozen=True)
class OfflineView:
    """`bar` is the HTML that stands at the end of every page; `kits`, published at `uri`, is JSON
    that tells two builds apart: of each kit its title and revision, and of each stage the marks of
    its steps."""

    bar: str
    uri: str
    kits: str


def offline_view(kits: Sequence[KitView], renderer: Renderer, language: Language) -> OfflineView:
    """The same for every page in a language."""
    uri = f"kits-{language.code}.json"
    return OfflineView(renderer.block("offline", kits=uri), uri, _kits_json(kits))


def _kits_json(kits: Sequence[KitView]) -> str:
    """The kits as `assets/offline.js` compares them."""
    told = [
        {
            "id": kit.id,
            "title": kit.title,
            "revision": kit.revision,
            "stages": [
                {"id": stage.id, "number": stage.number, "steps": stage.steps}
                for stage in kit.outline
            ],
        }
        for kit in kits
    ]
    return json.dumps(told, ensure_ascii=False, separators=(",", ":")) + "\n"
