"""`kitdocs check`: every kit read, computed and checked, without building the site."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from kitdocs.commands.common import content_argument, surveyed
from kitdocs.finding import as_json, count_line, in_order, stops


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--strict", action="store_true", help="warnings stop too")
    parser.add_argument("--release", action="store_true", help="every kit must be signed as it is")
    parser.add_argument("--json", action="store_true", help="print findings as JSON")
    parser.add_argument(
        "--site",
        type=Path,
        metavar="FOLDER",
        help="also check that this built site is of today's model",
    )
    parser.add_argument(
        "--trace",
        type=Path,
        metavar="FILE",
        help="write where each number in the words of each page comes from, as JSON",
    )
    content_argument(parser)


def run(options: argparse.Namespace) -> int:
    found = surveyed(options, options.release)
    findings = found.findings
    if options.site:
        from kitdocs.pages.published import check_published  # noqa: PLC0415 (seldom needed)

        findings = in_order([*findings, *check_published(options.site, found)])
    if options.trace:
        from kitdocs.words.audit.trace import traces  # noqa: PLC0415 (seldom needed)

        entries = traces((kit.design for kit in found.kits), found.own_words)
        text = json.dumps(entries, ensure_ascii=False, indent=1)
        options.trace.write_text(text + "\n", encoding="utf-8")
    if options.json:
        print(as_json(findings))
    else:
        for finding in findings:
            print(finding)
        names = ", ".join(kit.id for kit in found.kits) or "no kit"
        print(f"{count_line(findings)} in {names}")
    return 1 if stops(findings, options.strict) else 0
