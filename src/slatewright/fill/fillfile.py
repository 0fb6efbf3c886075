"""The fill file: how a person writes down what is to be filled, from what, with what.

`FillFile` is the file exactly as written; its methods say what it means, in bar, kelvin and litres.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, Self

from pydantic import TypeAdapter, ValidationError, model_validator

from slatewright.fill._fill_contradictions import contradictions
from slatewright.fill._fill_tables import (
    SCHEMA,
    AnalysisTable,
    BankTable,
    BoosterTable,
    CylinderTable,
    FillTable,
    FillTables,
    InstrumentsTable,
    NeedTable,
    RoomTable,
    SourceTable,
    ToleranceTable,
)
from slatewright.fill._gas_words import gas_of
from slatewright.fill.analysis import Analysis
from slatewright.fill.assignment import Need, Owned
from slatewright.fill.bank_order import Job
from slatewright.fill.banks import bank_of
from slatewright.fill.booster import Booster
from slatewright.fill.leftovers import Known
from slatewright.fill.pricefile import read_prices
from slatewright.fill.prices import Prices
from slatewright.fill.receiver import Receiver, holding
from slatewright.fill.room import Room, Source
from slatewright.fill.tolerance import Tolerance
from slatewright.fill.uncertainty import Instruments
from slatewright.physics.mixture import Mixture
from slatewright.physics.water import WaterKind, water
from slatewright.supply.catalogue import cylinder_named
from slatewright.supply.cylinders import Cylinder
from slatewright.toml.faults import Fault, faults_in, file_error, read_toml, refuse, toml_of
from slatewright.toml.keys import named

__all__ = [
    "SCHEMA",
    "AnalysisTable",
    "BankTable",
    "BoosterTable",
    "CylinderTable",
    "FillFile",
    "FillTable",
    "InstrumentsTable",
    "NeedTable",
    "RoomTable",
    "SourceTable",
    "ToleranceTable",
    "parse_fill_file",
    "read_fill_file",
    "read_fill_text",
]

_POINT = 0.01


class FillFile(FillTables):
    """A fill file, each number in the units in which it is written."""

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        refuse("FillFile", contradictions(self))
        return self

    def prices_beside(self, folder: Path) -> Prices | None:
        """Return the price list that the file names; None if it names none.

        Parameters
        ----------
        folder
            The folder of the file, from which the path of the list counts.

        Raises
        ------
        PlanFileError
            If it cannot be read or has faults.
        """
        return read_prices(folder / self.room.prices) if self.room.prices else None

    def fill_room(self, prices: Prices | None = None) -> Room:
        """Return the room: sources, temperatures, habits, prices.

        Parameters
        ----------
        prices
            The price list; None if cost is of no matter.

        Returns
        -------
        Room
            The room.

        Raises
        ------
        InputError
            If a bank or a booster is none, or the least cost is asked for without prices.
        """
        units, table = self.units, self.room
        altitude_m = _sure(table.metres("altitude", units))
        surface_bar = water(WaterKind.EN13319, altitude_m=altitude_m).surface_bar
        reference_k = _sure(table.kelvin("reference_temperature", units))
        return Room(
            sources=tuple(self._source(s, reference_k, surface_bar) for s in self.source),
            on=self.date,
            fill_temperature_k=_sure(table.kelvin("fill_temperature", units)),
            reference_temperature_k=reference_k,
            surface_bar=surface_bar,
            choice=table.choose,
            first=table.first,
            booster=self._booster(),
            prices=prices,
            tolerance=Tolerance(
                self.tolerance.o2_points * _POINT, self.tolerance.he_points * _POINT
            ),
            units=units,
        )

    def errors_of_reading(self) -> Instruments:
        """Return the errors of gauge, temperature and analyser."""
        table = self.instruments
        return Instruments(
            _sure(table.bar("gauge_offset", self.units)),
            _sure(table.bar("gauge_reading", self.units)),
            table.temperature_k,
            table.analyser_o2_points * _POINT,
            table.analyser_he_points * _POINT,
        )

    def receivers(self, room: Room) -> Mapping[str, Receiver]:
        """Return the cylinders by name, with what is in them.

        Parameters
        ----------
        room
            The room.

        Returns
        -------
        mapping
            Name to cylinder.

        Raises
        ------
        InputError
            If one stands above its working pressure.
        """
        return {table.name: self._receiver(table, room) for table in self.cylinder}

    def jobs(self, room: Room) -> tuple[Job, ...]:
        """Return the fills, in the order of the file.

        Parameters
        ----------
        room
            The room.
        """
        receivers = self.receivers(room)
        return tuple(
            Job(
                receivers[table.cylinder],
                Mixture.parse(table.mix),
                _sure(table.bar("to", self.units)),
            )
            for table in self.fill
        )

    def known(self, name: str) -> Known:
        """Return what is known of the mix in a cylinder.

        Parameters
        ----------
        name
            The cylinder.
        """
        return next(table.known for table in self.cylinder if table.name == name)

    def owner(self, name: str) -> str:
        """Return whose a cylinder is; empty if the file does not say.

        Parameters
        ----------
        name
            The cylinder.
        """
        return next(table.owner or "" for table in self.cylinder if table.name == name)

    def size(self, name: str) -> str:
        """Return the size of a cylinder as the file has it.

        Parameters
        ----------
        name
            The cylinder.
        """
        return next(table.size for table in self.cylinder if table.name == name)

    def analyses(self) -> tuple[Analysis, ...]:
        """Return what was read off the analyser, in the order of the file."""
        reference_k = _sure(self.room.kelvin("reference_temperature", self.units))
        return tuple(
            Analysis(
                label=table.cylinder,
                o2=table.o2_percent * _POINT,
                he=None if table.he_percent is None else table.he_percent * _POINT,
                by=table.by,
                at=table.at,
                gauge_bar=_sure(table.bar("gauge", self.units)),
                temperature_k=table.kelvin("temperature", self.units) or reference_k,
            )
            for table in self.analysis
        )

    def needs(self) -> tuple[Need, ...]:
        """Return the filled cylinders that an order is for."""
        return tuple(
            Need(
                table.dive,
                table.owner,
                self._needed(table),
                Mixture.parse(table.mix),
                _sure(table.bar("to", self.units)),
                _sure(table.bar("left", self.units)),
            )
            for table in self.need
        )

    def owned(self, room: Room) -> tuple[Owned, ...]:
        """Return the cylinders that have an owner, for orders.

        Parameters
        ----------
        room
            The room.
        """
        receivers = self.receivers(room)
        return tuple(
            Owned(table.owner, receivers[table.name]) for table in self.cylinder if table.owner
        )

    def _needed(self, need: NeedTable) -> Cylinder:
        """Return the owner's cylinder of the size, as stamped."""
        return next(
            (
                self._vessel(t)
                for t in self.cylinder
                if (t.owner, t.size) == (need.owner, need.size)
            ),
            cylinder_named(need.size),
        )

    def _source(self, table: SourceTable, reference_k: float, surface_bar: float) -> Source:
        bank = None
        if table.bank:
            sizes = [
                (one.name, one.water_volume_l, _sure(one.bar("gauge", self.units)))
                for one in table.bank
            ]
            bank = bank_of(gas_of(table.gas), sizes, reference_k, surface_bar)
        highest_bar = _sure(table.bar("highest", self.units))
        return Source(table.name, gas_of(table.gas), highest_bar, bank, table.boosted)

    def _booster(self) -> Booster | None:
        if self.booster is None:
            return None
        return Booster(
            _sure(self.booster.bar("lowest_inlet", self.units)),
            _sure(self.booster.bar("highest_outlet", self.units)),
            self.booster.highest_ratio,
        )

    def _vessel(self, table: CylinderTable) -> Cylinder:
        shipped = cylinder_named(table.size)
        volume_l = table.water_volume_l or shipped.water_volume_l
        wall_l = shipped.external_volume_l - shipped.water_volume_l
        return replace(
            shipped,
            water_volume_l=volume_l,
            external_volume_l=volume_l + wall_l,
            working_gauge_bar=table.bar("working", self.units) or shipped.working_gauge_bar,
        )

    def _receiver(self, table: CylinderTable, room: Room) -> Receiver:
        cylinder = replace(self._vessel(table), name=table.name)
        contents = None
        if table.holds is not None:
            contents = holding(
                cylinder,
                Mixture.parse(table.holds),
                _sure(table.bar("gauge", self.units)),
                room.reference_temperature_k,
                room.surface_bar,
            )
        return Receiver(table.name, cylinder, contents, table.test_due, table.oxygen_clean)


def _sure(value: float | None) -> float:
    if value is None:
        raise ValueError("a key that is needed has neither value nor default")
    return value


def parse_fill_file(text: str, raw: Mapping[str, Any], path: Path | None = None) -> FillFile:
    """Check what a text says, and name all its faults at once.

    Parameters
    ----------
    text
        The text, valid TOML; it is used for the lines of the faults.
    raw
        What it says.
    path
        The file, for the messages.

    Returns
    -------
    FillFile
        The fill file.

    Raises
    ------
    PlanFileError
        With every fault and its line.
    """
    try:
        return FillFile.model_validate(raw)
    except ValidationError as error:
        faults = list(faults_in(error, FillFile, raw))
    faults.extend(_contradictions_of_the_sound(raw, faults))
    raise file_error(dict.fromkeys(faults), text, path)


def _contradictions_of_the_sound(raw: Mapping[str, Any], faults: list[Fault]) -> list[Fault]:
    """Look for contradictions among the tables that have no fault of their own."""
    unsound = frozenset(str(fault.path[0]) for fault in faults if fault.path)
    sound: dict[str, Any] = {
        name: TypeAdapter[Any](field.annotation).validate_python(raw[name])
        for name, field in named(FillFile).items()
        if name in raw and name not in unsound and field.annotation is not None
    }
    empty: dict[str, Any] = {"source": (), "cylinder": ()}
    return list(contradictions(FillTables.model_construct(**(empty | sound)), unsound))


def read_fill_file(path: Path) -> FillFile:
    """Read a fill file.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    FillFile
        What it says.

    Raises
    ------
    PlanFileError
        If it cannot be read, or with every fault and its line.
    """
    text, raw = read_toml(path)
    return parse_fill_file(text, raw, path)


def read_fill_text(text: str) -> FillFile:
    """Read the text of a fill file.

    Parameters
    ----------
    text
        The text.

    Returns
    -------
    FillFile
        What it says.

    Raises
    ------
    PlanFileError
        If it is not TOML, or with every fault and its line.
    """
    return parse_fill_file(text, toml_of(text, None))
