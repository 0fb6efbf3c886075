"""Files of a comparison: which dives, how many a year, and what each costs either way."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Annotated, Any, Final, Literal, Self

from pydantic import ValidationError, model_validator

from slatewright.dive.house_rules import HouseRules
from slatewright.errors import NoSafeAnswer, Reason
from slatewright.fill.bank_order import Known
from slatewright.fill.prices import Prices, decimal_of
from slatewright.fill.room import Room
from slatewright.ledger.gas import PlannedGas, gas_of_plan, needs_for, order_for, room_of
from slatewright.ledger.money import NOTHING, rounded
from slatewright.ledger.rates import ClosedRates, Gear, Rates
from slatewright.ledger.ratesfile import read_rates
from slatewright.ledger.ways import DiveCost, Kind, Spread, Ways
from slatewright.toml.faults import Fault, faults_in, file_error, read_toml, refuse, toml_of
from slatewright.toml.keys import key
from slatewright.toml.tables import Line, Table

SCHEMA: Final = "slatewright/ways/1"
"""The first line of such a file says which kind of file it is."""
_ROUNDS: Final = 4
"""Dives after one another whose fills are worked out, so that leftovers count."""


def _pct(text: str, example: str, *, low: float = 0.0) -> Any:  # noqa: ANN401 - as `key`
    return key(text, example, unit="pct", ge=low, le=100)


class GasTable(Table):
    """Gas that one dive takes, where no plan says so."""

    helium_free_l: Annotated[float, key("helium", "2400", unit="L", ge=0, le=1e6)] = 0.0
    oxygen_free_l: Annotated[float, key("oxygen", "900", unit="L", ge=0, le=1e6)] = 0.0
    fills: Annotated[int, key("cylinders filled", "4", ge=0, le=50)] = 0


class KindTable(Table):
    """``[[dive]]``: dives of one kind."""

    name: Annotated[Line, key("what they are called", '"the wall, 96 m"')]
    per_year: Annotated[float, key("how many a year", "12", gt=0, le=1000)]
    open: Annotated[Line | None, key("plan on open circuit", '"the-wall.toml"')] = None
    closed: Annotated[Line | None, key("plan on closed circuit", '"the-wall-loop.toml"')] = None
    open_gas: Annotated[GasTable | None, key("gas on open circuit", "{ fills = 4 }")] = None
    closed_gas: Annotated[GasTable | None, key("gas on closed circuit", "{ fills = 2 }")] = None
    deepest_m: Annotated[
        float | None, key("greatest depth, where no plan says so", "96", unit="m", gt=0, le=200)
    ] = None
    run_min: Annotated[
        float | None,
        key("run time on the loop, where no plan says so", "140", unit="min", gt=0, le=1440),
    ] = None


class SpreadTable(Table):
    """``[spread]``: what nobody knows."""

    helium_pct_per_year: Annotated[float, _pct("expected rise of helium", "5", low=-50)] = 0.0
    helium_spread_pct: Annotated[float, _pct("how far it wanders in a year", "20")] = 0.0
    cadence_spread_pct: Annotated[float, _pct("how far cadence may be off", "30")] = 0.0
    dropout_pct_per_year: Annotated[float, _pct("how many give up in a year", "6")] = 0.0


class HaveTable(Table):
    """``[have]``: what is there already."""

    open_gear: Annotated[bool, key("gear for open circuit", "true")] = False
    unit: Annotated[bool, key("the closed-circuit unit", "false")] = False
    steps: Annotated[int, key("how many of its steps of training", "0", ge=0, le=20)] = 0


class CourseTable(Table):
    """``[course]``: the course on open circuit that is asked about."""

    price: Annotated[float, key("what it costs, gas included", "2600", ge=0, le=1_000_000)]
    change_after_months: Annotated[
        int | None, key("when you mean to change to closed circuit", "18", ge=1, le=600)
    ] = None


class WaysFile(Table):
    """A comparison, exactly as written."""

    schema_: Annotated[
        Literal["slatewright/ways/1"], key("what the file is", f'"{SCHEMA}"', alias="schema")
    ]
    title: Annotated[Line, key("what is compared", '"The wall, ten times a year"')]
    rates: Annotated[Line, key("file of rates", '"rates.toml"')]
    years: Annotated[int, key("how far to look", "5", ge=1, le=15)] = 5
    dive: Annotated[tuple[KindTable, ...], key("the dives", "[[dive]]", strict=False)]
    have: Annotated[HaveTable, key("what is there already", "[have]")] = HaveTable()
    spread: Annotated[SpreadTable, key("what nobody knows", "[spread]")] = SpreadTable()
    course: Annotated[CourseTable | None, key("the course asked about", "[course]")] = None

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        refuse("WaysFile", self._contradictions())
        return self

    def _contradictions(self) -> Iterator[Fault]:
        if not self.dive:
            yield Fault(("dive",), "names no dive", "[[dive]] with name and per_year")
        for i, table in enumerate(self.dive):
            for way in ("open", "closed"):
                plan, gas = getattr(table, way), getattr(table, f"{way}_gas")
                if (plan is None) == (gas is None):
                    yield Fault(
                        ("dive", i, way),
                        f"{table.name}: needs either a plan or its gas",
                        f'{way} = "plan.toml", or {way}_gas = {{ helium_free_l = 2400 }}',
                    )
            if table.deepest_m is None and table.open is None and table.closed is None:
                yield Fault(("dive", i, "deepest_m"), "is missing, and no plan says", "96")
            if table.run_min is None and table.closed is None:
                yield Fault(("dive", i, "run_min"), "is missing, and no plan says", "140")
        months = self.course.change_after_months if self.course else None
        if months is not None and months > 12 * self.years:
            yield Fault(
                ("course", "change_after_months"),
                f"lies beyond the {self.years} years looked at",
                f"at most {12 * self.years}",
            )


def parse_ways(text: str, path: Path | None = None) -> WaysFile:
    """Read the text of a comparison.

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
        return WaysFile.model_validate(raw)
    except ValidationError as error:
        raise file_error(dict.fromkeys(faults_in(error, WaysFile, raw)), text, path) from None


def ways_of(file: WaysFile, rates: Rates, room: Room, gas_of: Callable[[str], PlannedGas]) -> Ways:
    """Return a comparison, with what its dives cost worked out.

    Parameters
    ----------
    file
        The comparison, as written.
    rates
        The rates.
    room
        The fill room, with prices.
    gas_of
        What finds a plan by what the file calls it, and returns its gas.

    Raises
    ------
    NoSafeAnswer
        If a fill cannot be done.
    InputError
        If something cannot be priced.
    """
    costing, spread = _Costing(rates, room, gas_of), file.spread
    return Ways(
        title=file.title,
        currency=rates.currency,
        years=file.years,
        kinds=tuple(costing.kind(table) for table in file.dive),
        open_gear=_there(rates.open_gear, there=file.have.open_gear),
        closed=_closed(rates.closed, file.have),
        spread=Spread(
            spread.helium_pct_per_year,
            spread.helium_spread_pct,
            spread.cadence_spread_pct,
            spread.dropout_pct_per_year,
        ),
        course=decimal_of(file.course.price) if file.course else NOTHING,
        change_after_months=file.course.change_after_months if file.course else None,
    )


def read_ways(path: Path, rules: HouseRules) -> Ways:
    """Read a comparison, and work out what its dives cost.

    Parameters
    ----------
    path
        The file.
    rules
        The house rules, for its plans.

    Returns
    -------
    Ways
        The comparison.

    Raises
    ------
    PlanFileError
        If it, or a file that it names, has faults.
    NoSafeAnswer
        If one of its plans has no safe answer, or has no cylinders.
    InputError
        If something cannot be priced.
    """
    file = parse_ways(read_toml(path)[0], path)
    rates = read_rates(path.parent / file.rates)
    return ways_of(
        file, rates, room_of(rates.fill_room), lambda name: gas_of_plan(path.parent / name, rules)
    )


def _there(gear: Gear, *, there: bool) -> Gear:
    return replace(gear, price=NOTHING) if there else gear


def _closed(closed: ClosedRates, have: HaveTable) -> ClosedRates:
    gear = _there(closed.gear, there=have.unit)
    return replace(closed, gear=gear, steps=closed.steps[have.steps :])


class _Costing:
    """What dives cost by the fill room and the rates."""

    def __init__(self, rates: Rates, room: Room, gas_of: Callable[[str], PlannedGas]) -> None:
        self._rates, self._room, self._gas_of = rates, room, gas_of
        self._known: Known = {}

    @property
    def _prices(self) -> Prices:
        if self._room.prices is None:
            raise NoSafeAnswer(Reason("the fill room has no prices", "prices under [room]"))
        return self._room.prices

    def kind(self, table: KindTable) -> Kind:
        """Return dives of one kind with what they cost."""
        plans = {
            way: self._gas_of(name)
            for way, name in (("open", table.open), ("closed", table.closed))
            if name is not None
        }
        depths_m = [plan.deepest_m for plan in plans.values()]
        deepest_m = table.deepest_m if table.deepest_m is not None else max(depths_m)
        open_cost = self._cost(plans.get("open"), table.open_gas, NOTHING)
        loop = plans.get("closed")
        run_min = loop.run_min if loop is not None else table.run_min or 0.0
        closed_cost = self._cost(loop, table.closed_gas, self._absorbent(run_min))
        return Kind(table.name, deepest_m, table.per_year, open_cost, closed_cost)

    def _absorbent(self, run_min: float) -> Decimal:
        """Return the absorbent of a dive: whole fillings, none used twice."""
        closed = self._rates.closed
        if not closed.absorbent_min:
            return NOTHING
        fillings = math.ceil(run_min / closed.absorbent_min)
        return closed.absorbent_per_kg * decimal_of(closed.absorbent_kg) * fillings

    def _cost(self, plan: PlannedGas | None, gas: GasTable | None, more: Decimal) -> DiveCost:
        if gas is not None:
            helium = self._prices.cost_of_free_l("helium", gas.helium_free_l)
            other = self._prices.cost_of_free_l("oxygen", gas.oxygen_free_l)
            air = self._prices.gases.get("air")
            fee = NOTHING if air is None else air.per_fill
            other += (fee + self._rates.fill_labour) * gas.fills
            return DiveCost(helium, rounded(other + more))
        if plan is None:
            raise NoSafeAnswer(Reason("nobody says what gas the dive takes", "a plan, or its gas"))
        one, many = (self._gas(plan, rounds) for rounds in (1, _ROUNDS))
        helium, other = (
            max(NOTHING, rounded((m - o) / (_ROUNDS - 1))) for o, m in zip(one, many, strict=True)
        )
        return DiveCost(
            helium,
            rounded(other + more),
            max(NOTHING, rounded(one[0] - helium)),
            max(NOTHING, rounded(one[1] - other)),
        )

    def _gas(self, plan: PlannedGas, rounds: int) -> tuple[Decimal, Decimal]:
        """Return helium, and everything else, of so many such dives for the plan's own diver."""
        needs = needs_for([plan] * rounds, lambda _: {"diver": 0})
        order = order_for(needs, self._room, self._known)
        bills = [b.bill for b in order.order.done.blends if b.bill is not None]
        lines = [line for bill in bills for line in bill.lines]
        helium = sum((line.cost for line in lines if line.gas == "helium"), NOTHING)
        other = sum((line.cost for line in lines if line.gas != "helium"), NOTHING)
        return helium, other + self._rates.fill_labour * order.fills
