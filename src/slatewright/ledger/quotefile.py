"""Files of a quote: who comes, for how long, which dives, and who pays what."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Annotated, Final, Literal, Self

from pydantic import ValidationError, model_validator

from slatewright.dive.house_rules import HouseRules
from slatewright.fill.prices import decimal_of
from slatewright.ledger.gas import PlannedGas, gas_of_plan, room_of, with_helium
from slatewright.ledger.quote import Asked, Extra, Item, Party, Payer, Quote, quote
from slatewright.ledger.ratesfile import read_rates
from slatewright.toml.faults import Fault, faults_in, file_error, read_toml, refuse, toml_of
from slatewright.toml.keys import key
from slatewright.toml.tables import Line, Table

SCHEMA: Final = "slatewright/quote/1"
"""The first line of such a file says which kind of file it is."""


class DiveTable(Table):
    """``[[dive]]``: a dive of the course."""

    plan: Annotated[Line, key("its plan, with cylinders", '"../build-up-week/1-the-shelf.toml"')]


class ExtraTable(Table):
    """``[[extra]]``: something of the school's own."""

    what: Annotated[Line, key("what it is", '"harbour fees"')]
    price: Annotated[float, key("price; of one student where each pays", "45", ge=0, le=1_000_000)]
    paid_by: Annotated[Payer, key("who pays", '"the students together"', strict=False)] = (
        Payer.TOGETHER
    )


class PaysTable(Table):
    """``[[pays]]``: who pays something, where that is not as usual."""

    what: Annotated[Item, key("for what", '"lodging"', strict=False)]
    paid_by: Annotated[Payer, key("who pays", '"the school"', strict=False)]


class QuoteFile(Table):
    """A quote, exactly as written."""

    schema_: Annotated[
        Literal["slatewright/quote/1"], key("what the file is", f'"{SCHEMA}"', alias="schema")
    ]
    title: Annotated[Line, key("what the course is called", '"A week at the Stair"')]
    rates: Annotated[Line, key("file of rates", '"rates.toml"')]
    students: Annotated[int, key("how many students", "2", ge=1, le=12)]
    instructors: Annotated[int, key("how many instructors", "1", ge=1, le=12)] = 1
    assistants: Annotated[int, key("how many assistants", "0", ge=0, le=12)] = 0
    teaching_days: Annotated[int, key("days of teaching", "7", ge=1, le=100)]
    boat_days: Annotated[int, key("days on the boat", "5", ge=0, le=100)] = 0
    guide_days: Annotated[int, key("days with a guide", "0", ge=0, le=100)] = 0
    nights: Annotated[int, key("nights of lodging", "7", ge=0, le=100)] = 0
    dive: Annotated[tuple[DiveTable, ...], key("its dives, in order", "[[dive]]", strict=False)]
    pays: Annotated[tuple[PaysTable, ...], key("who pays what", "[[pays]]", strict=False)] = ()
    extra: Annotated[tuple[ExtraTable, ...], key("what else", "[[extra]]", strict=False)] = ()

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        refuse("QuoteFile", self._contradictions())
        return self

    def _contradictions(self) -> Iterator[Fault]:
        if not self.dive:
            yield Fault(("dive",), "names no dive", '[[dive]] with plan = "1-the-shelf.toml"')
        items = [table.what for table in self.pays]
        for i, item in enumerate(items):
            if item in items[:i]:
                yield Fault(("pays", i, "what"), f"{item} has its payer already", "each once")
        for name in ("boat_days", "guide_days"):
            if getattr(self, name) > self.teaching_days:
                yield Fault((name,), "is more than there are teaching days", "at most as many")

    def asked(self, gas_of: Callable[[str], PlannedGas]) -> Asked:
        """Return what is to be quoted.

        Parameters
        ----------
        gas_of
            What finds a plan by what the file calls it, and returns its gas.
        """
        return Asked(
            title=self.title,
            party=Party(self.students, self.instructors, self.assistants),
            dives=tuple(gas_of(table.plan) for table in self.dive),
            teaching_days=self.teaching_days,
            boat_days=self.boat_days,
            guide_days=self.guide_days,
            nights=self.nights,
            payers={table.what: table.paid_by for table in self.pays},
            extras=tuple(
                Extra(table.what, decimal_of(table.price), table.paid_by) for table in self.extra
            ),
        )


def parse_quote(text: str, path: Path | None = None) -> QuoteFile:
    """Read the text of a quote.

    Parameters
    ----------
    text
        The text.
    path
        Its file, for the messages; None if there is none.

    Raises
    ------
    PlanFileError
        With every fault and its line.
    """
    raw = toml_of(text, path)
    try:
        return QuoteFile.model_validate(raw)
    except ValidationError as error:
        raise file_error(dict.fromkeys(faults_in(error, QuoteFile, raw)), text, path) from None


def quote_of(
    path: Path,
    rules: HouseRules,
    *,
    helium: Decimal = Decimal(1),
    students: int | None = None,
) -> Quote:
    """Return the quote that a file asks for.

    Parameters
    ----------
    path
        The file.
    rules
        The house rules.
    helium
        What today's price of helium is multiplied by.
    students
        How many students come; None for as many as the file says.

    Raises
    ------
    PlanFileError
        If it, or a file that it names, has faults.
    NoSafeAnswer
        If a plan has no safe answer, or a fill cannot be done.
    InputError
        If something cannot be priced.
    """
    file = parse_quote(read_toml(path)[0], path)
    rates = read_rates(path.parent / file.rates)
    asked = file.asked(lambda name: gas_of_plan(path.parent / name, rules))
    if students is not None:
        asked = replace(asked, party=replace(asked.party, students=students))
    return quote(asked, rates, with_helium(room_of(rates.fill_room), helium))
