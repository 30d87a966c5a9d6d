"""The command `kitdocs`: check, rules, schema, explain, teeth, sign.

Thin: it calls what the plugin calls.
"""

from __future__ import annotations

import argparse
import gc
import json
import os
import re
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from kitdocs import __version__
from kitdocs.finding import as_json, count_line, in_order, stops

if TYPE_CHECKING:
    from kitdocs.survey import Survey


def main(arguments: list[str] | None = None) -> int:
    """Run the command; 0 when all is well, 1 when findings stop it, 2 for a wrong call."""
    options = _parser().parse_args(arguments)
    gc.disable()  # nothing here lives long enough to be worth collecting
    try:
        code = options.run(options)
        sys.stdout.flush()
        return code
    except BrokenPipeError:  # the reader (head, less) has seen enough
        sys.stdout = open(os.devnull, "w")  # noqa: SIM115 (open to the end)
        return 1


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser("kitdocs", description="Check kits and explain their figures.")
    parser.add_argument("--version", action="version", version=f"kitdocs {__version__}")
    commands = parser.add_subparsers(title="commands", required=True, metavar="COMMAND")

    check = commands.add_parser("check", help="check every kit, without building the site")
    check.add_argument("--strict", action="store_true", help="warnings stop too")
    check.add_argument("--release", action="store_true", help="every kit must be signed as it is")
    check.add_argument("--json", action="store_true", help="print findings as JSON")
    check.add_argument(
        "--site",
        type=Path,
        metavar="FOLDER",
        help="also check that this built site is of today's model",
    )
    check.set_defaults(run=_check)

    rules = commands.add_parser("rules", help="list the rules, or explain one")
    rules.add_argument("rule", nargs="?", help="the rule to explain")
    rules.set_defaults(run=_rules)

    schema = commands.add_parser("schema", help="print the JSON Schema of a kit file")
    schema.add_argument("file", nargs="?", help="kit.yml, parts.yml, …; without it, all are listed")
    schema.add_argument("--into", type=Path, metavar="FOLDER", help="write all of them there")
    schema.set_defaults(run=_schema)

    explain = commands.add_parser("explain", help="show how the figures of a thing come about")
    explain.add_argument("name", help="an item, a body or an arbor; or `periods`")
    explain.add_argument("--kit", help="the kit, where several have the name")
    explain.set_defaults(run=_explain)

    teeth = commands.add_parser("teeth", help="find the wheels that come nearest to a ratio")
    _teeth_options(teeth)
    teeth.set_defaults(run=_teeth)

    sign = commands.add_parser("sign", help="sign the design of a kit that passes its rules")
    sign.add_argument("kit", help="the kit's folder name")
    sign.add_argument("--by", required=True, metavar="NAME", help="who signs")
    sign.add_argument("--on", metavar="DATE", help="the date, YYYY-MM-DD (default: today)")
    sign.set_defaults(run=_sign)

    folder = "the folder that holds the kits (default: docs_dir of mkdocs.yml)"
    check.add_argument("content", nargs="?", type=Path, help=folder)
    for command in (explain, teeth, sign):
        command.add_argument("--content", type=Path, metavar="FOLDER", help=folder)
    return parser


def _teeth_options(teeth: argparse.ArgumentParser) -> None:
    teeth.add_argument(
        "ratio", nargs="?", help="turns of the last wheel for one of the first: 254/19, 1/6.931"
    )
    teeth.add_argument("--body", help="find the train of this body of a kit instead")
    teeth.add_argument("--driver", metavar="ARBOR", help="what drives it (default: the time base)")
    teeth.add_argument("--pairs", type=int, default=2, help="1, 2 or 3 (default 2)")
    teeth.add_argument("--low", type=int, default=12, help="fewest teeth of a wheel (default 12)")
    teeth.add_argument("--high", type=int, default=100, help="most teeth (default 100)")
    teeth.add_argument(
        "--sum",
        action="append",
        default=[],
        help="tooth sum of every pair, or of each in turn when repeated; or `equal`",
    )
    teeth.add_argument("--module", metavar="MM")
    teeth.add_argument(
        "--distance",
        action="append",
        default=[],
        metavar="MM",
        help="between the axes of every pair, or of each in turn when repeated; needs the module",
    )
    teeth.add_argument("--sense", choices=("same", "opposite"), help="how the last wheel turns")
    teeth.add_argument("--within", metavar="SHARE", help="largest error: 0.01 %% or 40 ppm")
    teeth.add_argument("--best", type=int, default=10, help="so many ratios (default 10)")
    teeth.add_argument("--all", action="store_true", help="list every train of each ratio")
    teeth.add_argument("--reuse", action="store_true", help="the kit's wheels cost nothing")
    teeth.add_argument("--reuse-only", action="store_true", help="use the kit's wheels alone")
    teeth.add_argument("--kit", help="the kit that body, driver and wheels are of")


def _content(given: Path | None) -> Path:
    """The folder of the kits: the one given, or the `docs_dir` of a mkdocs.yml here."""
    if given is not None:
        return given.absolute()
    settings = Path("mkdocs.yml")  # may hold tags that only MkDocs can read, so not parsed
    text = settings.read_text("utf-8") if settings.is_file() else ""
    match = re.search(r"^docs_dir:[ \t]*['\"]?([^'\"#\n]+?)['\"]?[ \t]*(?:#.*)?$", text, re.M)
    return Path(match[1] if match else "docs").absolute()


def _surveyed(options: argparse.Namespace, release: bool = False) -> Survey:
    from kitdocs.survey import survey

    content = _content(options.content)
    if not content.is_dir():
        print(
            f"kitdocs: no folder {content.name} here; name the folder of the kits", file=sys.stderr
        )
        raise SystemExit(2)
    return survey(_site_root(content), content, release)


def _site_root(content: Path) -> Path:
    """What paths in findings are counted from."""
    return Path.cwd() if content.is_relative_to(Path.cwd()) else content.parent


def _check(options: argparse.Namespace) -> int:
    found = _surveyed(options, options.release)
    findings = found.findings
    if options.site:
        from kitdocs.pages.published import check_published

        findings = in_order([*findings, *check_published(options.site, found)])
    if options.json:
        print(as_json(findings))
    else:
        for finding in findings:
            print(finding)
        names = ", ".join(kit.id for kit in found.kits) or "no kit"
        print(f"{count_line(findings)} in {names}")
    return 1 if stops(findings, options.strict) else 0


def _sign(options: argparse.Namespace) -> int:
    from datetime import date

    from kitdocs.kit.signing import WRITTEN, sign_folder

    found = _surveyed(options)
    kits = {kit.id: kit for kit in found.kits}
    if options.kit not in kits:
        return _unknown("kit", options.kit, kits)
    kit = kits[options.kit]
    on = options.on or date.today().isoformat()
    stopped = [f for f in kit.findings if f.severity == "error"]
    if not stopped:
        content = _content(options.content)
        stopped = sign_folder(_site_root(content), content / kit.read.folder, options.by, on)
    for finding in stopped:
        print(finding)
    if stopped:
        print(f"{kit.id} is not signed")
        return 1
    print(f"{kit.id} signed by {options.by} on {on}: {kit.kit.digest[:WRITTEN]}")
    return 0


def _rules(options: argparse.Namespace) -> int:
    from kitdocs.rules.registry import all_rules

    rules = {rule.id: rule for rule in all_rules()}
    if options.rule is None:
        width = max(map(len, rules))
        for rule in rules.values():
            print(f"{rule.id:{width}}  {rule.demand}")
        return 0
    if options.rule not in rules:
        return _unknown("rule", options.rule, rules)
    rule = rules[options.rule]
    print(f"{rule.id} ({rule.group})\n  demands  {rule.demand}")
    for label, text in (
        ("formula", rule.formula),
        ("source", rule.source),
        ("example", rule.example),
    ):
        if text:
            print(f"  {label:7}  {text}")
    return 0


def _schema(options: argparse.Namespace) -> int:
    from kitdocs.kit.schema import schemas

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
        return _unknown("kit file", options.file, found)
    return 0


def _dumped(schema: dict) -> str:
    return json.dumps(schema, ensure_ascii=False, indent=1)


def _explain(options: argparse.Namespace) -> int:
    if options.name == "periods":
        from kitdocs.sky.periods import known, reference

        for text in known():
            period = reference(text)
            print(f"{text:20}  {float(period.days):.9g} days  {period.source}")
        return 0
    from kitdocs.words.explanation import explain

    found = _surveyed(options)
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
    return _unknown("item, body or arbor", options.name, names)


def _teeth(options: argparse.Namespace) -> int:
    from kitdocs.teeth_command import run

    return run(options, lambda: _surveyed(options).kits)


def _unknown(what: str, name: str, known: Iterable[str]) -> int:
    from kitdocs.kit.names import nearest

    print(f"kitdocs: no {what} '{name}'. {nearest(name, known)}".rstrip(), file=sys.stderr)
    return 2
