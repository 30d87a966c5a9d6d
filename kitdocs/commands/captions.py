"""`kitdocs captions`: finished captions checked against the stage that they are of."""

from __future__ import annotations

import argparse
from pathlib import Path

from kitdocs.commands.common import (
    content_folder,
    content_option,
    site_root,
    stage_of,
    stage_options,
    surveyed,
    unknown,
)
from kitdocs.finding import as_json, count_line, in_order, stops
from kitdocs.kit.captions import caption_file
from kitdocs.kit.source import read_text, shown_path
from kitdocs.words.narration.check import all_findings, read_captions


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", type=Path, help="the captions, a WebVTT file")
    parser.add_argument("--stage", required=True, help="the stage, by the name of its page")
    parser.add_argument("--strict", action="store_true", help="warnings stop too")
    parser.add_argument("--json", action="store_true", help="print findings as JSON")
    stage_options(parser)
    content_option(parser)


def run(options: argparse.Namespace) -> int:
    meant = stage_of(surveyed(options), options.stage, options.kit)
    if isinstance(meant, int):
        return meant
    kit, stage = meant
    languages = kit.kit.languages
    named = options.file.name.removesuffix(".vtt").rpartition(".")[2]  # base.de.vtt
    code = options.language or (named if named in languages else languages[0])
    if code not in languages:
        return unknown("language", code, languages)
    file = options.file.absolute()
    path = shown_path(file, site_root(content_folder(options.content)))
    text, findings = read_text(file, path)
    cues = 0
    if text is not None:
        captions = caption_file(file.read_bytes(), text, path, path, code)
        cues = len(read_captions(captions).cues)
        findings = in_order(all_findings(kit.design, stage, captions))
    if options.json:
        print(as_json(findings))
    else:
        for finding in findings:
            print(finding)
        print(f"{count_line(findings)} in {cues} captions of stage {stage.number}, {stage.title}")
    return 1 if stops(findings, options.strict) else 0
