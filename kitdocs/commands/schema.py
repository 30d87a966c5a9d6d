"""`kitdocs schema`: print the JSON Schema of a kit file."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from kitdocs.commands.common import unknown
from kitdocs.kit.schema import schemas


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", nargs="?", help="kit.yml, parts.yml, …; without it, all are listed")
    parser.add_argument("--into", type=Path, metavar="FOLDER", help="write all of them there")


def run(options: argparse.Namespace) -> int:
    found = schemas()
    if options.into:
        options.into.mkdir(parents=True, exist_ok=True)
        for name, schema in found.items():
            file = options.into / f"{name.removesuffix('.yml')}.schema.json"
            file.write_text(_dumped(schema) + "\n", encoding="utf-8")
            print(file)
    elif options.file is None:
        print("\n".join(found))
    elif options.file in found:
        print(_dumped(found[options.file]))
    else:
        return unknown("kit file", options.file, found)
    return 0


def _dumped(schema: dict) -> str:
    return json.dumps(schema, ensure_ascii=False, indent=1)
