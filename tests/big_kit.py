"""A kit of any size without a finding: rows of idlers on a base, for speed and for comparison.

Each arbor has a washer, a wheel and spacers. The wheels of a row mesh in a chain; the first
arbors of the rows are geared together above them. Each row is built towards its first arbor,
whose upper wheel hangs over the second one's.
"""

from __future__ import annotations

from pathlib import Path

from kits import write_kit

ITEMS_AN_ARBOR = 8

PARTS = """\
parts:
  base: {{kind: plate, width: {width:.1f}, depth: {depth:.1f}, thickness: 9, material: ply}}
  shaft: {{kind: arbor, plural: shafts, diameter: 6, length: 60, shoulder: 6, material: steel}}
  washer: {{kind: washer, plural: washers, outside: 12, bore: 6.1, thickness: 0.5,
           material: bronze}}
  row-wheel: {{kind: wheel, teeth: 40, module: 0.8, thinning: 0.02, face: 3, bore: 5.99}}
  end-wheel: {{kind: wheel, teeth: 50, module: 0.8, thinning: 0.02, face: 3, bore: 5.99}}
  spacer: {{kind: spacer, plural: spacers, outside: 10, bore: 6.1, length: 4, material: brass}}
  collar: {{kind: hub, plural: collars, outside: 10, bore: 5.99, length: 4, material: brass}}
"""


LAST = "\n## Turn it\n\nTurn the {{ item('a0') }}.\n\n```step\nturn: a0\n```\n"


def big_kit(folder: Path, items: int) -> Path:
    """Write a kit of about so many items under `folder/content`; its folder."""
    count = max(2, round(items / ITEMS_AN_ARBOR))
    columns = max(2, round(count**0.5))
    rows = -(-count // columns)
    axes, arbors, meshes, held, steps = [], [], [], [], []
    for n in range(count):
        row, column = divmod(n, columns)
        x, y = 32.04 * (column - columns / 2), 40.04 * (row - rows / 2)
        axes.append(f"  a{n}: {{at: [{x:.3f}, {y:.3f}]}}")
        top = f"end-{n}: end-wheel" if column == 0 else f"s{n}-4: spacer"
        stack = [f"washer-{n}: washer", f"s{n}-1: spacer", f"row-{n}: row-wheel"]
        stack += [f"s{n}-2: spacer", f"s{n}-3: spacer", top, f"collar-{n}: collar"]
        entries = ", ".join(f"{{{entry}}}" for entry in stack)
        arbors.append(f"  a{n}: {{axis: a{n}, part: shaft, stands-on: base, stack: [{entries}]}}")
        placed = [entry.split(":")[0] for entry in stack]
        pressed = [f"row-{n}", *([f"end-{n}"] if column == 0 else []), f"collar-{n}"]
        held += [f"  {item}: {{to: a{n}, by: press}}" for item in pressed]
        met = [(f"row-{n}", f"row-{n - 1}")] if column else []
        met += [(f"end-{n}", f"end-{n - columns}")] if row and not column else []
        meshes += [f"  - [{a}, {b}]" for a, b in met]
        facts = [f"- fit: a{n}", f"- slide-on: [{placed[0]}, {placed[1]}]", f"- press: row-{n}"]
        last = (n + 1) % columns == 0 or n + 1 == count
        facts += [] if last else [f"- mesh: [row-{n + 1}, row-{n}]"]
        facts += [f"- slide-on: [{placed[3]}, {placed[4]}]"]
        facts += [f"- {'slide-on' if column else 'press'}: {placed[5]}"]
        facts += [f"- mesh: [end-{n}, end-{n - columns}]"] if row and not column else []
        facts += [f"- press: collar-{n}"]
        steps.append((row, -column, "## Build the next shaft\n\nBuild it.\n\n```step\n"
                      f"- id: arbor-{n}\n" + "\n".join(facts) + "\n```\n"))  # fmt: skip
    ends = rows
    counts = {"base": 1, "shaft": count, "washer": count, "row-wheel": count}
    counts |= {"end-wheel": ends, "spacer": 4 * count - ends, "collar": count}
    first = "## Lay the base\n\nLay it.\n\n```step\nfit: base\n```\n\n"
    return write_kit(
        folder,
        parts=PARTS.format(width=32.04 * columns + 40, depth=40.04 * rows + 40),
        mechanism="\n".join(
            ["crank: a0", "axes:", *axes, "arbors:",
             "  frame: {fixed: true, stack: [{base: base}]}", *arbors,
             "meshes:", *meshes, "held:", *held]
        ) + "\n",
        deliveries="deliveries:\n  only: {title: All, month: 1, holds: {"
        + ", ".join(f"{part}: {n}" for part, n in counts.items()) + "}}\n",
        stages={"all.md": "---\ntitle: All\ndelivery: only\nsummary: All.\n---\n"
                "Build it.\n\n" + first + "\n".join(step for *_, step in sorted(steps)) + LAST},
        more="unchecked: {word-order: its steps are made by a program and say nothing}\n",
        name="big",
    )  # fmt: skip
