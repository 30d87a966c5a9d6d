"""`kitdocs narrate`: a stage as a timed script in speakable words, and as captions."""

from __future__ import annotations

import argparse
import json
import sys
from dataclasses import asdict
from pathlib import Path

from kitdocs.commands.common import content_option, stage_of, stage_options, surveyed, unknown
from kitdocs.finding import counted, stops
from kitdocs.words.narration.cues import cues
from kitdocs.words.narration.script import RATES, Script, script
from kitdocs.words.narration.vtt import written

_SLOWEST, _FASTEST = 40.0, 300.0  # words a minute that a voice can speak


def options(parser: argparse.ArgumentParser) -> None:
    rates = ", ".join(f"{code} {rate}" for code, rate in RATES.items())
    parser.add_argument("stage", help="the stage, by the name of its page")
    parser.add_argument("--rate", type=float, metavar="WPM", help=f"words a minute ({rates})")
    parser.add_argument("--captions", type=Path, metavar="FILE.vtt", help="write captions there")
    parser.add_argument("--json", action="store_true", help="print the script as JSON")
    stage_options(parser)
    content_option(parser)


def run(options: argparse.Namespace) -> int:
    if options.rate is not None and not _SLOWEST <= options.rate <= _FASTEST:
        least, most = f"{_SLOWEST:g}", f"{_FASTEST:g}"
        print(f"kitdocs: --rate is {least} to {most} words a minute", file=sys.stderr)
        return 2
    meant = stage_of(surveyed(options), options.stage, options.kit)
    if isinstance(meant, int):
        return meant
    kit, stage = meant
    # Captions are written from the stage, not the stage from them: wrong ones may be written anew.
    findings = [f for f in kit.findings if not f.place.path.endswith(".vtt")]
    if stops(findings):
        for finding in findings:
            print(finding, file=sys.stderr)
        print(f"kitdocs: {kit.id} has errors, so nothing is told of it", file=sys.stderr)
        return 1
    languages = kit.kit.languages
    code = options.language or languages[0]
    if code not in languages:
        return unknown("language", code, languages)
    told = script(kit.design, stage, code, options.rate)
    if options.captions:
        try:
            options.captions.write_text(written(cues(told)), encoding="utf-8", newline="\n")
        except OSError as error:
            print(f"kitdocs: {options.captions}: {error.strerror}", file=sys.stderr)
            return 1
    print(_as_json(told, kit.id) if options.json else _as_table(told))
    return 0


def _as_json(told: Script, kit: str) -> str:
    script = {
        "kit": kit,
        "stage": told.stage.id,
        "language": told.code,
        "rate": told.rate,
        "seconds": round(told.seconds, 3),
        "lines": [asdict(line) for line in told.lines],
    }
    return json.dumps(script, ensure_ascii=False, indent=1)


def _as_table(told: Script) -> str:
    rows = [" start  hands  words"]
    for line in told.lines:
        hands = f"{line.pause:3.0f} s" if line.pause else ""
        rows.append(f"{_clock(line.start):>6}  {hands:5}  {line.spoken}")
    words = sum(line.end - line.start for line in told.lines)
    rows.append(
        f"{_clock(told.seconds)} in all: {_clock(words)} of words at {told.rate:g} a minute, "
        f"{_clock(told.seconds - words)} of hands, in {counted(len(told.lines), 'sentence')}"
    )
    return "\n".join(rows)


def _clock(seconds: float) -> str:
    """`12:07`, minutes and seconds."""
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes}:{rest:02}"
