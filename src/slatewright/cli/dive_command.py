"""``slatewright dive``: from a plan file to a schedule on screen, slate and chart."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from slatewright import cautions
from slatewright.cli import environment, files
from slatewright.cli.judging import Answer, answer_to, refuse, working
from slatewright.cli.reporting import refusals, say
from slatewright.errors import InputError

if TYPE_CHECKING:
    from slatewright.paper.slate_extras import SlateExtras

WORD_OPTION = "--on-my-word"


def run_dive(
    plan: Path,
    *,
    as_json: bool,
    slate: Path | None,
    chart: Path | None,
    house: Path | None,
    word: str | None = None,
) -> None:
    """Compute a dive, write what was asked for, and print it.

    Parameters
    ----------
    plan
        The plan file.
    as_json
        True for the document instead of the table.
    slate, chart
        Where to write the PDF and the SVG; None for neither.
    house
        A file of house rules; None for the person's own, or those as shipped.
    word
        The name of the person who answers for a slate without a way home; None for nobody.
    """
    with refusals(str(plan)):
        for target, kind in ((slate, files.SLATE), (chart, files.CHART)):
            if target is not None:
                files.check_target(target, kind)
        _check_word(word, slate)
        rules_path = environment.house_rules_path(house)
        answer = answer_to(plan, rules_path)
        refusal = answer.refusal
        if refusal is None and word is not None:
            say(f"{WORD_OPTION} changes nothing: {_why_not_needed(answer)}.")
            word = None
        refused = refusal is not None and word is None
        wrote = list(_written(answer, None if refused else slate, chart, word))
        if as_json:
            sys.stdout.write(f"{json.dumps(_document(answer), indent=2, allow_nan=False)}\n")
        else:
            _show(answer, rules_path)
        if as_json:
            for line in wrote:
                say(line)
        elif wrote:
            sys.stdout.write("\n".join(["", *wrote, ""]))
        if refusal is not None and refused:
            refuse(plan, refusal, _no_slate() if slate is not None else "")


def _check_word(word: str | None, slate: Path | None) -> None:
    if word is None:
        return
    if not any(letter.isalpha() for letter in word):
        raise InputError(
            "that is no name",
            where=f"{WORD_OPTION} {word!r}",
            right="the name of the person who answers for the slate",
        )
    if slate is None:
        raise InputError(
            "is given, but no slate is asked for",
            where=WORD_OPTION,
            right="with --slate OUT.pdf",
        )


def _why_not_needed(answer: Answer) -> str:
    if answer.loop is not None:
        return "each diver has bailout enough from every minute"
    if answer.judged is None:
        return cautions.NO_CYLINDERS
    return "there is a way home from every minute"


def _no_slate() -> str:
    return (
        f"No slate was printed. With {WORD_OPTION} NAME a person answers for one; it says so on "
        "every page."
    )


def _document(answer: Answer) -> dict[str, object]:
    if answer.loop is not None:
        from slatewright.supply.loop_document import loop_document  # noqa: PLC0415 - as below

        return loop_document(answer.loop)
    if answer.judged is None:
        from slatewright.dive.document import document  # noqa: PLC0415 - start-up is budgeted

        return document(answer.dive, not_judged=cautions.NO_CYLINDERS)
    from slatewright.supply.full_document import full_document  # noqa: PLC0415 - as above

    return full_document(answer.judged)


def _written(
    answer: Answer, slate: Path | None, chart: Path | None, word: str | None
) -> Iterator[str]:
    """Write what was asked for, all drawn before anything is written; yield what was written."""
    drawn: list[tuple[str, Path, files.Kind, bytes]] = []
    if slate is not None:
        from slatewright.paper.slate import slate_pdf  # noqa: PLC0415 - start-up is budgeted

        with working("Printing the slate"):
            pdf = slate_pdf(answer.dive, _extras(answer, word))
        drawn.append(("slate", slate, files.SLATE, pdf))
    if chart is not None:
        from slatewright.paper.profile_chart import profile_svg  # noqa: PLC0415 - as above

        with working("Drawing the profile"):
            drawn.append(("profile", chart, files.CHART, profile_svg(answer.dive).encode("utf-8")))
    for name, path, kind, content in drawn:
        files.write_whole(path, content, f"{kind.option} {path}")
        yield f"The {name} is in {path}."


def _extras(answer: Answer, word: str | None) -> SlateExtras:
    from slatewright.paper.slate_extras import SlateExtras  # noqa: PLC0415 - as above

    if answer.loop is not None:
        from slatewright.paper.slate_loop import loop_extras  # noqa: PLC0415 - as above

        return loop_extras(answer.loop, word)
    if answer.judged is None:
        return SlateExtras(not_judged=cautions.NO_CYLINDERS)
    from slatewright.paper.slate_judged import extras_of  # noqa: PLC0415 - as above

    return extras_of(answer.judged, word)


def _show(answer: Answer, rules_path: Path | None) -> None:
    from slatewright.cli.console import make_console  # noqa: PLC0415 - as above
    from slatewright.cli.dive_view import show_dive  # noqa: PLC0415 - as above

    rules_from = "as shipped" if rules_path is None else f"from {rules_path}"
    show_dive(make_console(), answer, rules_from=rules_from)
