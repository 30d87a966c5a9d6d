"""`kitdocs rules`: list the rules, or explain one."""

from __future__ import annotations

import argparse

from kitdocs.commands.common import unknown
from kitdocs.rules.registry import all_rules


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("rule", nargs="?", help="the rule to explain")


def run(options: argparse.Namespace) -> int:
    rules = {rule.id: rule for rule in all_rules()}
    if options.rule is None:
        width = max(map(len, rules))
        for rule in rules.values():
            print(f"{rule.id:{width}}  {rule.demand}")
        return 0
    if options.rule not in rules:
        return unknown("rule", options.rule, rules)
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
