"""The tables of a fill file, exactly as they are written.

Numbers stay in the file's own units. A pressure has two keys, one that ends in ``_bar`` and one in
``_psi``, a temperature ``_c`` and ``_f``; the file's units say which of them it may use.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import Annotated, Any, Final, Literal

from pydantic import StringConstraints

from slatewright.dive.plan import Use
from slatewright.fill._gas_words import GasWord, MixWord
from slatewright.fill.leftovers import Known
from slatewright.fill.room import Choice, FillOrder, First
from slatewright.physics.constants import ZERO_CELSIUS_K
from slatewright.physics.units import UnitSystem, bar_from_psi, m_from_feet
from slatewright.toml import tables
from slatewright.toml.keys import facts, key
from slatewright.toml.tables import PRINTABLE

SCHEMA: Final = "slatewright/fill/1"
"""The first line of a fill file says which kind of file it is."""
_F_ZERO: Final = 32.0
_F_PER_K: Final = 1.8
SUFFIXES: Final = {
    UnitSystem.METRIC: {"pressure": "bar", "temperature": "c", "length": "m"},
    UnitSystem.IMPERIAL: {"pressure": "psi", "temperature": "f", "length": "ft"},
}
"""How keys end in either system."""

Words = Annotated[str, StringConstraints(min_length=1, max_length=60, pattern=PRINTABLE)]
FilePath = Annotated[str, StringConstraints(min_length=1, max_length=400, pattern=PRINTABLE)]


def _bar(text: str, example: str, *, low: float = 0.0, default: float | None = None) -> Any:  # noqa: ANN401 - as `key`
    return key(text, example, unit="bar", ge=low, le=380, default=default)


def _psi(example: str, *, low: float = 0.0, default: float | None = None) -> Any:  # noqa: ANN401 - as `key`
    return key("the same", example, unit="psi", ge=low, le=5511, default=default)


class Table(tables.Table):
    """A table of the file, with pressures and temperatures in its own units."""

    def _written(self, name: str, kind: str, units: UnitSystem) -> float | None:
        own = f"{name}_{SUFFIXES[units][kind]}"
        value = getattr(self, own)
        if value is None:
            value = facts(type(self).model_fields[own])["default"]
        return None if value is None else float(value)

    def bar(self, name: str, units: UnitSystem) -> float | None:
        """Return a pressure in bar; None if it is not written and has no default [bar].

        Parameters
        ----------
        name
            The key without its ending, such as ``gauge``.
        units
            The units of the file.
        """
        value = self._written(name, "pressure", units)
        if value is None or units is UnitSystem.METRIC:
            return value
        return bar_from_psi(value)

    def metres(self, name: str, units: UnitSystem) -> float | None:
        """Return a length in metres; None if it is not written and has no default [m].

        Parameters
        ----------
        name
            The key without its ending, such as ``altitude``.
        units
            The units of the file.
        """
        value = self._written(name, "length", units)
        if value is None or units is UnitSystem.METRIC:
            return value
        return m_from_feet(value)

    def kelvin(self, name: str, units: UnitSystem) -> float | None:
        """Return a temperature in kelvin; None if it is not written and has no default [K].

        Parameters
        ----------
        name
            The key without its ending, such as ``fill_temperature``.
        units
            The units of the file.
        """
        value = self._written(name, "temperature", units)
        if value is None:
            return None
        celsius = value if units is UnitSystem.METRIC else (value - _F_ZERO) / _F_PER_K
        return celsius + ZERO_CELSIUS_K


class RoomTable(Table):
    """``[room]``: temperatures and habits."""

    fill_temperature_c: Annotated[
        float | None,
        key("temperature of the gas when gauges are read", "28", unit="c", ge=-10, le=60,
            default=20),
    ] = None  # fmt: skip
    fill_temperature_f: Annotated[
        float | None, key("the same", "82", unit="f", ge=14, le=140, default=68)
    ] = None
    reference_temperature_c: Annotated[
        float | None,
        key("temperature for which settled pressures count", "20", unit="c", ge=-10, le=60,
            default=20),
    ] = None  # fmt: skip
    reference_temperature_f: Annotated[
        float | None, key("the same", "68", unit="f", ge=14, le=140, default=68)
    ] = None
    altitude_m: Annotated[
        float | None,
        key(
            "altitude, for what a gauge counts from",
            "0",
            unit="m",
            ge=-500,
            le=5000,
            default=0,
        ),
    ] = None
    altitude_ft: Annotated[
        float | None, key("the same", "0", unit="ft", ge=-1640, le=16404, default=0)
    ] = None
    choose: Annotated[Choice, key("which recipe is taken", '"least helium"', strict=False)] = (
        Choice.FEWEST_STEPS
    )
    first: Annotated[
        First, key("which gas goes in first where there is a choice", '"helium"', strict=False)
    ] = First.HELIUM
    order: Annotated[
        FillOrder, key("in which order cylinders are filled", '"least bought"', strict=False)
    ] = FillOrder.AS_WRITTEN
    prices: Annotated[FilePath | None, key("a price list, beside this file", '"prices.toml"')] = (
        None
    )


class ToleranceTable(Table):
    """``[tolerance]``: how far a mix may be off."""

    o2_points: Annotated[float, key("percentage points of oxygen", "1", gt=0, le=5)] = 1.0
    he_points: Annotated[float, key("percentage points of helium", "2", gt=0, le=5)] = 2.0


class InstrumentsTable(Table):
    """``[instruments]``: standard deviations; two thirds of readings are nearer than that."""

    gauge_offset_bar: Annotated[
        float | None,
        key("error of the gauge, the same all day", "1", unit="bar", ge=0, le=20, default=1),
    ] = None
    gauge_offset_psi: Annotated[
        float | None, key("the same", "15", unit="psi", ge=0, le=290, default=15)
    ] = None
    gauge_reading_bar: Annotated[
        float | None,
        key("error of each reading by itself", "0.5", unit="bar", ge=0, le=20, default=0.5),
    ] = None
    gauge_reading_psi: Annotated[
        float | None, key("the same", "7", unit="psi", ge=0, le=290, default=7)
    ] = None
    temperature_k: Annotated[
        float, key("error of the temperature at each reading, in kelvin", "2", ge=0, le=30)
    ] = 2.0
    analyser_o2_points: Annotated[
        float, key("error of the oxygen analyser, in percentage points", "0.3", ge=0, le=5)
    ] = 0.3
    analyser_he_points: Annotated[
        float, key("error of the helium analyser, in percentage points", "0.5", ge=0, le=5)
    ] = 0.5


class BoosterTable(Table):
    """``[booster]``: what its maker allows."""

    lowest_inlet_bar: Annotated[float | None, _bar("least pressure it takes from", "20")] = None
    lowest_inlet_psi: Annotated[float | None, _psi("290")] = None
    highest_outlet_bar: Annotated[float | None, _bar("highest it brings to", "250", low=1)] = None
    highest_outlet_psi: Annotated[float | None, _psi("3600", low=15)] = None
    highest_ratio: Annotated[float, key("ratio of pressures at which it stalls", "8", gt=1, le=100)]


class BankTable(Table):
    """``[[source.bank]]``: cylinders of a bank, alike in size and pressure."""

    name: Annotated[Words, key("what it is called", '"helium A"')]
    water_volume_l: Annotated[float, key("water volume", "50", unit="L", ge=0.2, le=1000)]
    gauge_bar: Annotated[float | None, _bar("what its gauge shows", "180")] = None
    gauge_psi: Annotated[float | None, _psi("2600")] = None


class SourceTable(Table):
    """``[[source]]``: a gas at hand."""

    name: Annotated[Words, key("what it is called", '"helium"')]
    gas: Annotated[GasWord, key("what it is: helium, or a mixture", '"helium"')]
    highest_bar: Annotated[
        float | None, _bar("pressure up to which it fills", "232", low=1, default=300)
    ] = None
    highest_psi: Annotated[float | None, _psi("3400", low=15, default=4350)] = None
    boosted: Annotated[bool, key("whether the booster is used for it", "true")] = False
    bank: Annotated[
        tuple[BankTable, ...],
        key("its cylinders; left out: a source without end", "[[source.bank]]", strict=False),
    ] = ()


class CylinderTable(Table):
    """``[[cylinder]]``: a cylinder to be filled, and what is in it."""

    name: Annotated[Words, key("what it is called", '"Mirren back"')]
    size: Annotated[Words, key("a shipped cylinder", '"twin 12"')]
    water_volume_l: Annotated[
        float | None,
        key("water volume as stamped, of the whole set; left out: that of the size", "24.2",
            unit="L", ge=0.2, le=100),
    ] = None  # fmt: skip
    working_bar: Annotated[
        float | None, _bar("working pressure as stamped; left out: that of the size", "232", low=1)
    ] = None
    working_psi: Annotated[float | None, _psi("3442", low=15)] = None
    holds: Annotated[
        MixWord | None, key("what is in it; needed unless it was evacuated", '"18/45"')
    ] = None
    gauge_bar: Annotated[float | None, _bar("what its gauge shows", "90")] = None
    gauge_psi: Annotated[float | None, _psi("1300")] = None
    evacuated: Annotated[bool, key("whether a pump has emptied it", "false")] = False
    known: Annotated[
        Known, key("what is known of the mix in it", '"both analysed"', strict=False)
    ] = Known.LABEL
    test_due: Annotated[date | None, key("day until which its test is valid", "2033-04-30")] = None
    oxygen_clean: Annotated[bool | None, key("whether it is clean for oxygen", "true")] = None
    owner: Annotated[Words | None, key("whose it is, for orders", '"Mirren"')] = None


class FillTable(Table):
    """``[[fill]]``: what a cylinder is to hold."""

    cylinder: Annotated[Words, key("the cylinder, by name", '"Mirren back"')]
    mix: Annotated[MixWord, key("the mix", '"15/55"')]
    to_bar: Annotated[float | None, _bar("settled pressure", "220", low=1)] = None
    to_psi: Annotated[float | None, _psi("3200", low=15)] = None
    use: Annotated[
        Use | None,
        key("what it is breathed for, where no plan says so: decides which ppO2 the label allows",
            '"decompression"', strict=False),
    ] = None  # fmt: skip


class AnalysisTable(Table):
    """``[[analysis]]``: what the analyser said of a filled cylinder."""

    cylinder: Annotated[Words, key("the cylinder, by name", '"Mirren back"')]
    o2_percent: Annotated[float, key("oxygen as read", "17.8", gt=0, le=100)]
    he_percent: Annotated[
        float | None,
        key("helium as read, 0 where there is none; left out: not analysed", "45.2", ge=0, le=99),
    ] = None
    by: Annotated[Words, key("who read it", '"Mirren"')]
    at: Annotated[datetime, key("day and hour", "2031-05-09T17:30:00")]
    gauge_bar: Annotated[float | None, _bar("what the gauge showed then", "218")] = None
    gauge_psi: Annotated[float | None, _psi("3160")] = None
    temperature_c: Annotated[
        float | None,
        key("temperature of the gas then; left out: the reference temperature", "21", unit="c",
            ge=-10, le=60),
    ] = None  # fmt: skip
    temperature_f: Annotated[float | None, key("the same", "70", unit="f", ge=14, le=140)] = None


class NeedTable(Table):
    """``[[need]]``: a filled cylinder for a dive of an order, whichever of its owner's serves."""

    dive: Annotated[int, key("which dive, counted from 1", "1", ge=1, le=999)]
    owner: Annotated[Words, key("whose cylinders may serve", '"Mirren"')]
    size: Annotated[Words, key("size, as of the owner's cylinders", '"twin 12"')]
    mix: Annotated[MixWord, key("the mix", '"15/55"')]
    to_bar: Annotated[float | None, _bar("settled pressure", "220", low=1)] = None
    to_psi: Annotated[float | None, _psi("3200", low=15)] = None
    left_bar: Annotated[float | None, _bar("pressure expected after the dive", "80")] = None
    left_psi: Annotated[float | None, _psi("1150")] = None


class FillTables(Table):
    """The whole file, its tables each sound by itself."""

    schema_: Annotated[
        Literal["slatewright/fill/1"], key("what the file is", f'"{SCHEMA}"', alias="schema")
    ]
    title: Annotated[Words, key("what the fills are for", '"Fills for the wall"')]
    units: Annotated[
        UnitSystem,
        key("units of the file: keys end in `_bar`, `_c` or `_psi`, `_f`", '"metric"',
            strict=False),
    ]  # fmt: skip
    date: Annotated[date, key("day of the fills, for test dates", "2031-05-04")]
    plan: Annotated[
        FilePath | None,
        key(
            "the plan file of the dive that the fills are for, beside this file", '"the-wall.toml"'
        ),
    ] = None
    room: Annotated[RoomTable, key("temperatures and habits", "[room]")] = RoomTable()
    tolerance: Annotated[ToleranceTable, key("how far a mix may be off", "[tolerance]")] = (
        ToleranceTable()
    )
    instruments: Annotated[InstrumentsTable, key("errors of what is read", "[instruments]")] = (
        InstrumentsTable()
    )
    booster: Annotated[BoosterTable | None, key("the booster", "[booster]")] = None
    source: Annotated[
        tuple[SourceTable, ...],
        key("gases at hand", '[[source]] with name = "helium" and gas = "helium"', strict=False),
    ]
    cylinder: Annotated[
        tuple[CylinderTable, ...],
        key("cylinders", "[[cylinder]] with name, size, holds and its pressure", strict=False),
    ]
    fill: Annotated[
        tuple[FillTable, ...],
        key("fills, in the order wanted", "[[fill]] with cylinder, mix and pressure", strict=False),
    ] = ()
    analysis: Annotated[
        tuple[AnalysisTable, ...],
        key("analyses, one a cylinder", "[[analysis]] with cylinder, o2_percent, he_percent, by",
            strict=False),
    ] = ()  # fmt: skip
    need: Annotated[
        tuple[NeedTable, ...],
        key("filled cylinders for an order", "[[need]] with dive, owner, size, mix", strict=False),
    ] = ()
