"""How the numbers of a fill came about."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from slatewright.desk.fill.accounts_gas import bank_account, order_account
from slatewright.desk.fill.work import Work
from slatewright.desk.workings import Account, Row, Shown, references_of
from slatewright.errors import InputError
from slatewright.fill.prices import Bill, Line, Prices
from slatewright.fill.session import DoneFill, Session
from slatewright.fill.steps import StepKind
from slatewright.paper.reading import free_text, gauge_text, temperature_text
from slatewright.physics.amount import Amount
from slatewright.physics.real_gas import compressibility_at_density, real_gas_pressure_bar
from slatewright.physics.units import UnitSystem

_SOURCES: Final = ("[GERG2008]", "[ISO20765-2]")
_BALANCE: Final = (
    "Oxygen, helium and nitrogen are counted in moles, each by itself: what was in the cylinder "
    "and what went in is what is in it. The moles decide the mix; the equation of state of the "
    "real gas decides which pressure the gauge shows for them at a temperature."
)
_FREE: Final = (
    "Told as free gas: the volume that these moles fill as the real gas at 1.01325 bar and 20 °C."
)
_ERRORS: Final = (
    "Each source of error is one number with a standard deviation, as the file says under "
    "instruments. The fill is worked through again with each of them; what it moves the mix by "
    "stands here, oxygen and helium. Independent errors add as squares."
)
_RECIPE: Final = (
    "The amounts of all gases solve three balances at once: oxygen, helium and nitrogen each come "
    "out at what the target holds at its settled pressure. Of all recipes that do, the room's "
    "choice takes one."
)
_LET_OUT: Final = (
    "So much has to go that the rest, with what comes after, has the right three amounts."
)
_MOST_FIGURES: Final = 3


def account_of(work: Work, what: str) -> Account:
    """Return how a number of the page came about.

    Parameters
    ----------
    work
        The fills.
    what
        Which number, as its path names it, such as ``fill/0/reading/2``.

    Raises
    ------
    InputError
        If there is no such number.
    """
    session = work.session
    found = None if session is None else _found(work, session, what.split("/"))
    if found is None:
        raise InputError("there is no such number", right="one of the page")
    return found


def _found(work: Work, session: Session, parts: list[str]) -> Account | None:
    match parts:
        case ["fill", index, *rest]:
            number = _counted(index)
            fills = session.fills
            return _of_fill(session, fills[number], rest) if 0 <= number < len(fills) else None
        case ["bank", source, place]:
            return bank_account(session, _counted(source), _counted(place))
        case ["order", way, gas]:
            return order_account(work, way, gas)
        case ["bill"] if session.bill is not None:
            return _bill(session.bill, session.before.prices, "Cost of all fills")
    return None


def _counted(text: str) -> int:
    """Return a position of a path; -1 if it is none."""
    return int(text) if text.isdecimal() and len(text) <= _MOST_FIGURES else -1


def _of_fill(session: Session, fill: DoneFill, rest: list[str]) -> Account | None:
    blend = fill.blend
    steps = len(blend.steps)
    found: Account | None = None
    match rest:
        case ["reading", number] if 0 <= _counted(number) <= steps:
            found = _reading(session, fill, _counted(number))
        case ["settled"]:
            found = _settled(session, fill)
        case ["amount", number] if 1 <= _counted(number) <= steps:
            found = _amount(session, fill, _counted(number))
        case ["mix"]:
            found = _mix(fill)
        case ["spread"]:
            found = _spread(fill)
        case ["cost"] if blend.bill is not None:
            found = _bill(blend.bill, session.before.prices, f"Cost of {blend.receiver.label}")
    return found


def _reading(session: Session, fill: DoneFill, number: int) -> Account | None:
    blend, units = fill.blend, session.file.units
    inside = blend.receiver.contents if number == 0 else blend.steps[number - 1].contents
    if inside is None:
        return None
    kelvin = blend.fill_temperature_k
    when = "before the first step" if number == 0 else f"after step {number}"
    gauge_bar = blend.start_gauge_bar if number == 0 else blend.steps[number - 1].gauge_bar
    return Account(
        title=f"{blend.receiver.label}: the gauge {when}",
        number=Shown(gauge_text(gauge_bar, units), units.pressure_unit),
        sentences=(_BALANCE,),
        rows=tuple(_gauge_rows(fill, inside, kelvin, units)),
        sources=_SOURCES,
        references=references_of(_SOURCES),
    )


def _settled(session: Session, fill: DoneFill) -> Account | None:
    blend, units = fill.blend, session.file.units
    if blend.contents is None:
        return None
    warm, cool = (
        temperature_text(k, units)
        for k in (blend.fill_temperature_k, blend.reference_temperature_k)
    )
    warm_gauge = gauge_text(blend.fill_gauge_bar, units)
    return Account(
        title=f"{blend.receiver.label}: the settled pressure",
        number=Shown(gauge_text(blend.settled_gauge_bar, units), units.pressure_unit),
        sentences=(
            (
                f"What shows {warm_gauge} {units.pressure_unit} at {warm} shows this at {cool}; no "
                "mole has come or gone."
            ),
        ),
        rows=tuple(_gauge_rows(fill, blend.contents, blend.reference_temperature_k, units)),
        sources=_SOURCES,
        references=references_of(_SOURCES),
    )


def _gauge_rows(fill: DoneFill, inside: Amount, kelvin: float, units: UnitSystem) -> Iterator[Row]:
    volume_l, surface_bar = fill.blend.receiver.water_volume_l, fill.blend.surface_bar
    yield from _moles(inside)
    yield Row("water volume", Shown(f"{volume_l:g}", "L"))
    density = inside.total_mol / volume_l
    yield Row("amount in a litre", Shown(f"{density:.4f}", "mol/L"))
    yield Row("temperature of the gas", Shown(temperature_text(kelvin, units)))
    z = compressibility_at_density(inside, density, kelvin)
    yield Row("compressibility of this mix at that density and temperature", Shown(f"{z:.5f}"))
    yield Row(
        "absolute pressure",
        Shown(
            gauge_text(real_gas_pressure_bar(density, z, kelvin), units),
            units.pressure_unit,
            formula="real-gas-pressure",
            values={"molar_density_mol_per_l": density, "z": z, "temperature_k": kelvin},
        ),
    )
    yield Row(
        "less the pressure around, from which a gauge counts",
        Shown(gauge_text(surface_bar, units), units.pressure_unit),
    )


def _moles(inside: Amount) -> Iterator[Row]:
    for name, mol in (
        ("oxygen", inside.o2_mol),
        ("helium", inside.he_mol),
        ("nitrogen", inside.n2_mol),
    ):
        if mol > 0.0:
            yield Row(f"{name} in it", Shown(f"{mol:.2f}", "mol"))


def _amount(session: Session, fill: DoneFill, number: int) -> Account:
    blend, units = fill.blend, session.file.units
    step = blend.steps[number - 1]
    before = blend.receiver.contents if number == 1 else blend.steps[number - 2].contents
    out = step.kind is StepKind.DRAIN
    rows = [
        *(Row(f"{row.what}, before", row.number) for row in (_moles(before) if before else ())),
        *(Row(f"{row.what}, after", row.number) for row in _moles(step.contents)),
        Row("let out" if out else "let in", Shown(f"{step.amount_mol:.2f}", "mol")),
        *(
            Row(
                f"from {move.cylinder}{', boosted' if move.boosted else ''}",
                Shown(f"{move.amount_mol:.2f}", "mol"),
            )
            for move in step.moves
        ),
    ]
    return Account(
        title=f"{blend.receiver.label}: step {number}, {'drained' if out else step.source}",
        number=Shown(free_text(step.free_l, units)),
        sentences=(
            _LET_OUT if out else _RECIPE,
            _FREE,
        ),
        rows=tuple(rows),
        sources=_SOURCES,
        references=references_of(_SOURCES),
    )


def _mix(fill: DoneFill) -> Account | None:
    blend = fill.blend
    inside = blend.contents
    if inside is None:
        return None
    return Account(
        title=f"{blend.receiver.label}: what the analyser should say",
        number=Shown(f"{inside.o2 * 100.0:.1f} / {inside.he * 100.0:.1f}", "%"),
        sentences=("Each gas by its share of the moles; oxygen first, helium second.",),
        rows=(
            *_moles(inside),
            Row("all together", Shown(f"{inside.total_mol:.2f}", "mol")),
            Row("oxygen, of all", Shown(f"{inside.o2 * 100.0:.2f}", "%")),
            Row("helium, of all", Shown(f"{inside.he * 100.0:.2f}", "%")),
        ),
        sources=("law of conservation of matter",),
    )


def _spread(fill: DoneFill) -> Account | None:
    spread = fill.spread
    if spread is None:
        return None
    points = 100.0
    wide_o2, wide_he = spread.wide
    rows = [
        Row(
            share.error,
            Shown(f"{abs(share.o2) * points:.2f} and {abs(share.he) * points:.2f}", "points"),
        )
        for share in sorted(spread.shares, key=lambda one: -math.hypot(one.o2, one.he))
    ]
    rows += [
        Row("oxygen, all errors together", Shown(f"{spread.o2 * points:.2f}", "points")),
        Row("helium, all errors together", Shown(f"{spread.he * points:.2f}", "points")),
        Row("oxygen, 95 of 100 fills are nearer than", Shown(f"{wide_o2 * points:.2f}", "points")),
        Row("helium, 95 of 100 fills are nearer than", Shown(f"{wide_he * points:.2f}", "points")),
        Row("fills that end within the tolerance", Shown(f"{int(spread.inside * points)}", "%")),
    ]
    return Account(
        title=f"{fill.blend.receiver.label}: how certain the mix is",
        number=Shown(f"{wide_o2 * points:.1f} and {wide_he * points:.1f}", "points"),
        sentences=(_ERRORS,),
        rows=tuple(rows),
        sources=("law of propagation of independent errors",),
    )


def _bill(bill: Bill, prices: Prices | None, title: str) -> Account:
    said = ["Only oxygen and helium that were added are charged, not what came with the air."]
    if prices is not None:
        said.append(f"Prices of {prices.on}. Each line is rounded to the cent by itself.")
    return Account(
        title=title,
        number=Shown(f"{bill.total:,.2f}", bill.currency),
        sentences=tuple(said),
        rows=tuple(_line(line, prices, bill.currency) for line in bill.lines),
    )


def _line(line: Line, prices: Prices | None, currency: str) -> Row:
    price = None if prices is None else prices.gases.get(line.gas)
    told = f"{line.gas}, {line.free_l:,} L"
    if price is not None:
        if price.per_free_l:
            told += f" at {price.per_free_l.normalize():f} a litre"
        if line.fills and price.per_fill:
            told += f", {line.fills} x {price.per_fill.normalize():f} a fill"
    return Row(told, Shown(f"{line.cost:,.2f}", currency))
