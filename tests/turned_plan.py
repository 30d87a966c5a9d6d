"""The plan that turns, as a reader sees it: the panel of the crank, its figures, the drawing."""

from __future__ import annotations

import re
from math import degrees

from playwright.sync_api import Locator, Page

#: Where each arm and each toothed wheel stands on the screen: from its axis to its end.
SEEN = """(panel) => {
  const svg = panel.parentElement.querySelector('svg');
  const on = (element, x, y) => new DOMPoint(x, y).matrixTransform(element.getScreenCTM());
  const arms = {}, balls = [];
  for (const bar of svg.querySelectorAll('.kd-moving > .kd-bar[data-body]')) {
    const [x, y, tx, ty] = bar.getAttribute('d').match(/-?[\\d.]+/g).map(Number);
    const [a, b] = [on(bar, x, y), on(bar, tx, ty)];
    arms[bar.dataset.body] = { at: [a.x, a.y], angle: Math.atan2(a.y - b.y, b.x - a.x) };
  }
  for (const mark of svg.querySelectorAll('.kd-moving > .kd-mark[data-body]')) {
    const [x, y, tx, ty] = mark.getAttribute('d').match(/-?[\\d.]+/g).map(Number);
    const [a, b] = [on(mark, x, y), on(mark, tx, ty)];
    arms['wheel ' + mark.dataset.body] = { at: [], angle: Math.atan2(a.y - b.y, b.x - a.x) };
  }
  for (const ball of svg.querySelectorAll('.kd-ball')) {
    const p = on(ball, ball.getAttribute('cx'), ball.getAttribute('cy'));
    balls.push([ball.dataset.body, p.x, p.y]);
  }
  return { arms, balls };
}"""

#: Whole turns, degrees, and which way round.
Figure = tuple[int, int, str]


def panel(page: Page) -> Locator:
    return page.locator(".kd-crank-panel")


def turn(page: Page, turns: float) -> None:
    field = panel(page).locator("input[type=number]")
    field.fill(str(turns))
    field.dispatch_event("change")


def seen(page: Page) -> dict:
    """Arms and wheels by arbor, and balls, in px and radians of the screen."""
    return panel(page).evaluate(SEEN)


def moved(before: dict, after: dict, name: str, against: str | None = None) -> float:
    """By how many degrees an arm has turned on the screen, against another, within a turn."""
    by = after["arms"][name]["angle"] - before["arms"][name]["angle"]
    if against:
        by -= after["arms"][against]["angle"] - before["arms"][against]["angle"]
    return degrees(by)


def figures(page: Page) -> dict[str, Figure]:
    """What the panel says of each body."""
    found = {}
    for row in panel(page).locator("tbody tr").all():
        turns, angle, way = row.locator("td").all_inner_texts()
        found[_name(row)] = (int(turns), int(angle.removesuffix("°")), way)
    return found


def proof_figures(page: Page) -> dict[str, Figure]:
    """What the proof of the stage says of each body."""
    told = {}
    for row in page.locator("table.kd-proof tbody tr").all():
        angle, way = row.locator("td").all_inner_texts()[:2]
        turns, rest = re.search(r"(\d+) turn", angle), re.search(r"(\d+)\s?°", angle)
        told[_name(row)] = (int(turns[1]) if turns else 0, int(rest[1]) if rest else 0, way)
    return told


def _name(row: Locator) -> str:
    return row.locator("th").evaluate("th => th.firstChild.textContent.trim()")
