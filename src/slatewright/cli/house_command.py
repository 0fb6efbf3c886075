"""``slatewright house``: the house rules, what they ask, and a file to choose one's own in."""

from __future__ import annotations

import json
import sys
from importlib.resources import files as package_files
from pathlib import Path
from typing import TYPE_CHECKING, Final

from rich.text import Text

from slatewright.cli import environment
from slatewright.cli.console import HEAD, SOFT, make_console, wrapped
from slatewright.cli.files import write_whole
from slatewright.cli.reporting import refusals
from slatewright.cli.words import rule_words
from slatewright.dive.house_rules import HouseRules, house_rule_text, read_house_rules
from slatewright.errors import InputError

if TYPE_CHECKING:
    from rich.console import Console

SCHEMA: Final = "slatewright/house/1"


def run_house(*, as_json: bool, write: Path | None, house: Path | None) -> None:
    """Show the house rules in force, or write a file to begin one's own with.

    Parameters
    ----------
    as_json
        True for a document instead of text.
    write
        Where to write the rules as shipped; None to show those in force.
    house
        A file of house rules; None for the person's own, or those as shipped.
    """
    with refusals("house"):
        if write is not None:
            _write(write)
            return
        path = environment.house_rules_path(house)
        rules = read_house_rules(path)
        if as_json:
            told = {
                "schema": SCHEMA,
                "file": None if path is None else str(path),
                "rules": rules.model_dump(),
            }
            sys.stdout.write(json.dumps(told, indent=2, allow_nan=False) + "\n")
        else:
            _show(make_console(), rules, path)


def _write(path: Path) -> None:
    where = f"--write {path}"
    if path.exists():
        raise InputError(
            "is there already, and may hold choices of yours",
            where=where,
            right="another name; nothing was overwritten",
        )
    own = environment.own_house_rules()
    try:
        if path == own:
            path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = (error.strerror or "no reason given").lower()
        raise InputError(f"the folder cannot be made: {reason}", where=where) from None
    if not path.parent.is_dir():
        raise InputError(
            f"there is no folder {path.parent}", where=where, right="a folder that exists"
        )
    shipped = package_files("slatewright.data").joinpath("house-rules.toml").read_bytes()
    write_whole(path, shipped, where)
    used = "It is used from now on." if path == own else f"Use it with --house {path}"
    print(f"The rules as shipped are in {path}, to be changed there. {used}")  # noqa: T201 - the result


def _show(console: Console, rules: HouseRules, path: Path | None) -> None:
    shipped, width = HouseRules(), console.width
    source = "as shipped" if path is None else f"from {path}"
    lines = wrapped(Text("House rules", HEAD).append(f" {source}", "not bold"), width)
    for name in type(rules).model_fields:
        value = Text(rule_words(rules, name), HEAD)
        if rule_words(rules, name) != rule_words(shipped, name):
            value.append(
                f"  (shipped: {rule_words(shipped, name).partition(' = ')[2]})", "not bold"
            )
        lines += [Text(), *wrapped(value, width)]
        question, *rest = house_rule_text(name).splitlines()
        lines += wrapped(Text(question), width, indent=2)
        for words in rest:
            lines += wrapped(Text(words, SOFT), width, indent=2)
    own = environment.own_house_rules()
    if path is None:
        lines += [Text(), *wrapped(Text(f"Your own: slatewright house --write {own}"), width)]
    for line in lines:
        console.print(line, soft_wrap=True)
