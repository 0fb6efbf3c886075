"""Files of rates: TOML, with every fault and its line; money is read as it is written."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Annotated, Any, Final, Literal, Self

from pydantic import StringConstraints, ValidationError, model_validator

from slatewright.errors import InputError
from slatewright.fill.prices import decimal_of
from slatewright.ledger.money import NOTHING
from slatewright.ledger.rates import ClosedRates, DayRates, Gear, HeadRates, Rates, Step
from slatewright.supply.catalogue import cylinder_named
from slatewright.toml.faults import Fault, faults_in, file_error, read_toml, refuse, toml_of
from slatewright.toml.keys import key
from slatewright.toml.tables import Line, Table

SCHEMA: Final = "slatewright/rates/1"
"""The first line of a file of rates says which kind of file it is."""
_MOST: Final = 1_000_000


def _money(text: str, example: str) -> Any:  # noqa: ANN401 - as `key`
    return key(text, example, ge=0, le=_MOST)


class DayTable(Table):
    """``[day]``: what a day costs."""

    boat: Annotated[float, _money("the boat for a day, whole", "640")] = 0.0
    guide: Annotated[float, _money("a guide", "150")] = 0.0
    instructor: Annotated[float, _money("an instructor", "380")] = 0.0
    assistant: Annotated[float, _money("an assistant", "180")] = 0.0
    lodging: Annotated[float, _money("a night, a person", "70")] = 0.0

    def rates(self) -> DayRates:
        """Return what it says."""
        return DayRates(
            *map(decimal_of, (self.boat, self.guide, self.instructor, self.assistant, self.lodging))
        )


class HeadTable(Table):
    """``[student]``: what a student costs once."""

    materials: Annotated[float, _money("materials and registration", "90")] = 0.0
    insurance: Annotated[float, _money("insurance for the course", "40")] = 0.0


class HireTable(Table):
    """``[[hire]]``: a cylinder by the day."""

    size: Annotated[Line, key("the size, as in the catalogue", '"stage 11.1"')]
    per_day: Annotated[float, _money("hire a day", "8")]


class GearTable(Table):
    """``[open]``: what somebody buys who stays with open circuit."""

    price: Annotated[float, _money("what is bought at the beginning", "3900")] = 0.0
    resale_pct: Annotated[
        float, key("what it fetches the day after, of its price", "70", unit="pct", ge=0, le=100)
    ] = 0.0
    fall_pct_per_year: Annotated[
        float, key("what that loses in a year", "15", unit="pct", ge=0, le=100)
    ] = 0.0
    service_per_year: Annotated[float, _money("servicing a year", "240")] = 0.0
    insurance_per_year: Annotated[float, _money("insurance a year", "60")] = 0.0

    def gear(self) -> Gear:
        """Return what it says."""
        return Gear(
            decimal_of(self.price),
            self.resale_pct,
            self.fall_pct_per_year,
            decimal_of(self.service_per_year),
            decimal_of(self.insurance_per_year),
        )


class StepTable(Table):
    """``[[closed.step]]``: a step of training."""

    name: Annotated[Line, key("what it is called", '"the unit, to 40 m"')]
    price: Annotated[float, _money("price with gas and boat", "1600")]
    deepest_m: Annotated[float, key("to where it allows", "40", unit="m", gt=0, le=200)]
    after_months: Annotated[int, key("not sooner after the purchase", "6", ge=0, le=600)] = 0
    after_dives: Annotated[int, key("dives on the unit before it", "50", ge=0, le=5000)] = 0

    def step(self) -> Step:
        """Return what it says."""
        return Step(
            self.name,
            decimal_of(self.price),
            self.deepest_m,
            self.after_months,
            self.after_dives,
        )


class ClosedTable(GearTable):
    """``[closed]``: the unit, what it uses, and what has to be learnt for it."""

    absorbent_per_kg: Annotated[float, _money("price of absorbent", "7.5")] = 0.0
    absorbent_kg: Annotated[float, key("a filling", "2.6", unit="kg", ge=0, le=20)] = 0.0
    absorbent_min: Annotated[
        float, key("for how long you use a filling", "180", unit="min", ge=0, le=1440)
    ] = 0.0
    cell: Annotated[float, _money("an oxygen cell", "95")] = 0.0
    cells: Annotated[int, key("how many", "3", ge=0, le=10)] = 0
    cell_months: Annotated[int, key("months until they are renewed", "12", ge=1, le=60)] = 12
    step: Annotated[
        tuple[StepTable, ...], key("training, in order", "[[closed.step]]", strict=False)
    ] = ()

    def closed(self) -> ClosedRates:
        """Return what it says."""
        return ClosedRates(
            self.gear(),
            decimal_of(self.absorbent_per_kg),
            self.absorbent_kg,
            self.absorbent_min,
            decimal_of(self.cell),
            self.cells,
            self.cell_months,
            tuple(table.step() for table in self.step),
        )


class RatesFile(Table):
    """A file of rates, exactly as written."""

    schema_: Annotated[
        Literal["slatewright/rates/1"], key("what the file is", f'"{SCHEMA}"', alias="schema")
    ]
    currency: Annotated[
        str, StringConstraints(pattern="^[A-Z]{3}$"), key("three capital letters", '"EUR"')
    ]
    valid_until: Annotated[date, key("the last day on which it holds", "2031-12-31")]
    date: Annotated[date, key("day of the list", "2031-05-01")]
    fill_room: Annotated[
        Line, key("fill file with room, sources and gas prices", '"../fill-room/the-week.toml"')
    ]
    fill_labour: Annotated[float, _money("filling one cylinder", "6")] = 0.0
    day: Annotated[DayTable, key("what a day costs", "[day]")] = DayTable()
    student: Annotated[HeadTable, key("what a student costs once", "[student]")] = HeadTable()
    hire: Annotated[
        tuple[HireTable, ...], key("cylinders by the day", "[[hire]]", strict=False)
    ] = ()
    open: Annotated[GearTable, key("gear for open circuit", "[open]")] = GearTable()
    closed: Annotated[ClosedTable, key("a closed circuit", "[closed]")] = ClosedTable()

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        refuse("RatesFile", self._contradictions())
        return self

    def _contradictions(self) -> Iterator[Fault]:
        if self.valid_until < self.date:
            yield Fault(("valid_until",), "is before the day of the list", f"{self.date} or later")
        sizes = [table.size for table in self.hire]
        for i, size in enumerate(sizes):
            if size in sizes[:i]:
                yield Fault(("hire", i, "size"), f"'{size}' has a hire already", "each size once")
            try:
                cylinder_named(size)
            except InputError as error:
                yield Fault(("hire", i, "size"), error.what, error.right)
        closed = self.closed
        if closed.absorbent_kg > 0 and not closed.absorbent_min > 0:
            yield Fault(
                ("closed", "absorbent_min"),
                "is missing: nobody knows how long a filling is used",
                "absorbent_min = 180",
            )
        deepest = 0.0
        for i, step in enumerate(closed.step):
            if step.deepest_m <= deepest:
                yield Fault(
                    ("closed", "step", i, "deepest_m"),
                    f"{step.deepest_m:g} m is no deeper than the step before",
                    f"more than {deepest:g}",
                )
            deepest = step.deepest_m

    def here(self) -> Rates:
        """Return what the file says where there is no folder: its fill room is found by others."""
        return self.rates(Path())

    def rates(self, folder: Path) -> Rates:
        """Return what the file says.

        Parameters
        ----------
        folder
            Where it lies; what it names is found from there.
        """
        return Rates(
            currency=self.currency,
            on=self.date,
            valid_until=self.valid_until,
            fill_room=folder / self.fill_room,
            day=self.day.rates(),
            head=HeadRates(decimal_of(self.student.materials), decimal_of(self.student.insurance)),
            fill_labour=decimal_of(self.fill_labour) if self.fill_labour else NOTHING,
            hire_per_day={table.size: decimal_of(table.per_day) for table in self.hire},
            open_gear=self.open.gear(),
            closed=self.closed.closed(),
        )


def parse_rates(text: str, path: Path | None = None) -> RatesFile:
    """Read the text of rates.

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
        return RatesFile.model_validate(raw)
    except ValidationError as error:
        raise file_error(dict.fromkeys(faults_in(error, RatesFile, raw)), text, path) from None


def read_rates(path: Path) -> Rates:
    """Read a file of rates.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    Rates
        What it says.

    Raises
    ------
    PlanFileError
        If it cannot be read, or with every fault and its line.
    """
    return parse_rates(read_toml(path)[0], path).rates(path.parent)
