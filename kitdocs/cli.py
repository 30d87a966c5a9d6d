"""The command `kitdocs`. Thin: its commands are in `commands/`, and call what the plugin calls."""

from __future__ import annotations

import argparse
import gc
import importlib
import os
import sys

from kitdocs import __version__

#: The commands and what they do, in the order of their list; each is a module of `commands/`.
COMMANDS = {
    "check": "check every kit, without building the site",
    "rules": "list the rules, or explain one",
    "schema": "print the JSON Schema of a kit file",
    "explain": "show how the figures of a thing come about",
    "teeth": "find the wheels that come nearest to a ratio",
    "revise": "show what changed between two revisions, and write the errata",
    "narrate": "tell a stage as a timed script, and write captions of it",
    "captions": "check finished captions against a stage",
    "translated": "say that a translated page is up to date, or begin a new one",
    "pack": "write the site as a zip that opens from a disk",
    "sign": "sign the design of a kit that passes its rules",
}


def main(arguments: list[str] | None = None) -> int:
    """Run the command; 0 when all is well, 1 when findings stop it, 2 for a wrong call."""
    arguments = sys.argv[1:] if arguments is None else arguments
    options = _parser(arguments).parse_args(arguments)
    gc.disable()  # nothing here lives long enough to be worth collecting
    try:
        code = options.run(options)
        sys.stdout.flush()
        return code
    except BrokenPipeError:  # the reader (head, less) has seen enough
        sys.stdout = open(os.devnull, "w")  # noqa: SIM115 (open to the end)
        return 1


def _parser(arguments: list[str]) -> argparse.ArgumentParser:
    """The parser. Only the command that is called is imported, so that each starts at once."""
    parser = argparse.ArgumentParser("kitdocs", description="Check kits and explain their figures.")
    parser.add_argument("--version", action="version", version=f"kitdocs {__version__}")
    commands = parser.add_subparsers(title="commands", required=True, metavar="COMMAND")
    called = next((word for word in arguments if not word.startswith("-")), "")
    for name, told in COMMANDS.items():
        command = commands.add_parser(name, help=told)
        if name == called:
            module = importlib.import_module(f"kitdocs.commands.{name}")
            module.options(command)
            command.set_defaults(run=module.run)
    return parser
