"""`kitdocs sign`: write who signed the design, and its digest, into the kit."""

from __future__ import annotations

import argparse
from datetime import date

from kitdocs.commands.common import content_folder, content_option, site_root, surveyed, unknown
from kitdocs.kit.signing import WRITTEN, sign_folder


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("kit", help="the kit's folder name")
    parser.add_argument("--by", required=True, metavar="NAME", help="who signs")
    parser.add_argument("--on", metavar="DATE", help="the date, YYYY-MM-DD (default: today)")
    content_option(parser)


def run(options: argparse.Namespace) -> int:
    found = surveyed(options)
    kits = {kit.id: kit for kit in found.kits}
    if options.kit not in kits:
        return unknown("kit", options.kit, kits)
    kit = kits[options.kit]
    on = options.on or date.today().isoformat()
    stopped = [f for f in kit.findings if f.severity == "error"]
    if not stopped:
        content = content_folder(options.content)
        stopped = sign_folder(site_root(content), content / kit.read.folder, options.by, on)
    for finding in stopped:
        print(finding)
    if stopped:
        print(f"{kit.id} is not signed")
        return 1
    print(f"{kit.id} signed by {options.by} on {on}: {kit.kit.digest[:WRITTEN]}")
    return 0
