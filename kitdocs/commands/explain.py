"""`kitdocs explain`: show how the figures of a thing come about."""

from __future__ import annotations

import argparse
import sys

from kitdocs.commands.common import content_option, surveyed, unknown
from kitdocs.sky.periods import known, reference
from kitdocs.words.explanation import explain


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("name", help="an item, a body or an arbor; or `periods`")
    parser.add_argument("--kit", help="the kit, where several have the name")
    content_option(parser)


def run(options: argparse.Namespace) -> int:
    if options.name == "periods":
        for text in known():
            period = reference(text)
            print(f"{text:20}  {float(period.days):.9g} days  {period.source}")
        return 0
    found = surveyed(options)
    designs = [(k.id, k.design) for k in found.kits if k.design and options.kit in (None, k.id)]
    told = [(kit, text) for kit, one in designs if (text := explain(one, options.name))]
    for kit, text in told:
        print(f"{kit}: {text}" if len(told) > 1 else text)
    if told:
        return 0
    kits = [design.kit for _, design in designs]
    names = [n for kit in kits for n in (*kit.items, *kit.bodies, *kit.arbors)]
    if not kits:
        for finding in found.findings:
            print(finding, file=sys.stderr)
        return 1
    return unknown("item, body or arbor", options.name, names)
