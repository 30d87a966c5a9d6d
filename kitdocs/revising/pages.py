"""Which published pages read otherwise in a later revision."""

from __future__ import annotations

import re
import tempfile
from pathlib import Path

from kitdocs.pages.charts import ChartCache
from kitdocs.pages.render import shipped_templates
from kitdocs.pages.site import Page, render_site
from kitdocs.survey import KitSurvey, Survey


class _Undrawn(ChartCache):
    """Charts as the data that they are drawn from: enough to tell whether one is another."""

    def svg(self, chart: object) -> str:
        return repr(chart)


def changed_pages(old: KitSurvey, new: KitSurvey) -> tuple[str, ...]:
    """The addresses of the kit's pages that read otherwise, new and dropped ones among them."""
    before, now = _pages(old), _pages(new)
    return tuple(
        uri
        for uri in dict.fromkeys((*now, *before))
        if _text(before.get(uri), old) != _text(now.get(uri), new)
    )


def _pages(kit: KitSurvey) -> dict[str, Page]:
    """The kit's pages by their address in the kit, as if it had no findings."""
    sound = KitSurvey(kit.read, kit.design, ())
    with tempfile.TemporaryDirectory() as folder:
        charts = _Undrawn(Path(folder) / "charts")
        site = render_site(Survey((sound,), ()), _link, [shipped_templates()], charts)
    home = f"{kit.read.folder}/" if kit.read.folder else ""
    own = [(uri, page) for uri, page in site.pages.items() if uri.startswith(home)]
    return {uri.removeprefix(home): page for uri, page in own}


def _link(page: str, target: str) -> str:
    return target


def _text(page: Page | None, kit: KitSurvey) -> str | None:
    """What a reader sees of a page, without what every page says of its revision."""
    if page is None:
        return None
    text = re.sub(r"(?s)<(style|script)\b.*?</\1>", "", page.markdown)
    text = re.sub(r'(?s)<p class="kd-(?:revision|draft)".*?</p>| data-[\w-]+="[^"]*"', "", text)
    return "\n".join(line for line in text.replace(kit.kit.digest, "").splitlines() if line)
