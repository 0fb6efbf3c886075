"""What no table of a fill file can know by itself: whether the tables agree."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from typing import Final, TypeAlias

from slatewright.errors import InputError
from slatewright.fill import say
from slatewright.fill._fill_tables import SUFFIXES, FillTables, SourceTable, Table
from slatewright.fill.room import Choice
from slatewright.physics.units import UnitSystem
from slatewright.supply.catalogue import cylinder_named
from slatewright.toml.faults import Fault
from slatewright.toml.lines import KeyPath

_WHOLE: Final = 100.0
_SLACK: Final = 1e-9
_OTHER = {UnitSystem.METRIC: UnitSystem.IMPERIAL, UnitSystem.IMPERIAL: UnitSystem.METRIC}


def contradictions(file: FillTables, unsound: frozenset[str] = frozenset()) -> Iterator[Fault]:
    """Yield what contradicts within a fill file.

    Parameters
    ----------
    file
        The tables.
    unsound
        Names of tables that have faults of their own; what would need them is not looked at.
    """
    for needs, check in _CHECKS:
        if not needs & unsound:
            yield from check(file)


def _asks_for_something(file: FillTables) -> Iterator[Fault]:
    if not file.fill and not file.need:
        yield Fault((), "has nothing to fill", "at least one [[fill]] or [[need]]")


def _cost_has_prices(file: FillTables) -> Iterator[Fault]:
    if file.room.choose is Choice.LEAST_COST and file.room.prices is None:
        yield Fault(
            ("room", "choose"),
            "the least cost is asked for, and there are no prices",
            'prices = "prices.toml" in [room], or another choice',
        )


def _tables(file: FillTables) -> Iterator[tuple[KeyPath, Table]]:
    yield ("room",), file.room
    yield ("instruments",), file.instruments
    if file.booster is not None:
        yield ("booster",), file.booster
    for name in ("source", "cylinder", "fill", "analysis", "need"):
        for i, table in enumerate(getattr(file, name)):
            yield (name, i), table
            if isinstance(table, SourceTable):
                for j, bank in enumerate(table.bank):
                    yield (name, i, "bank", j), bank


def _units(file: FillTables) -> Iterator[Fault]:
    """Yield the keys of the other system of units."""
    own, other = SUFFIXES[file.units], SUFFIXES[_OTHER[file.units]]
    for path, table in _tables(file):
        for name in type(table).model_fields:
            stem, _, ending = name.rpartition("_")
            for kind, wrong in other.items():
                twin = f"{stem}_{own[kind]}"
                given = getattr(table, name) is not None
                if ending == wrong and twin in type(table).model_fields and given:
                    yield Fault(
                        (*path, name), f"is no key of a file in {file.units} units", f"{twin} = ..."
                    )


def _missing_pressures(file: FillTables) -> Iterator[Fault]:
    needed = {
        "fill": ["to"],
        "analysis": ["gauge"],
        "need": ["to", "left"],
        "booster": ["lowest_inlet", "highest_outlet"],
    }
    ending = SUFFIXES[file.units]["pressure"]
    for path, table in _tables(file):
        names = ["gauge"] if path[-2:-1] == ("bank",) else needed.get(str(path[0]), [])
        for name in names:
            if table.bar(name, file.units) is None:
                yield Fault((*path, f"{name}_{ending}"), "is missing", f"{name}_{ending} = 200")


def _cylinders(file: FillTables) -> Iterator[Fault]:
    ending = SUFFIXES[file.units]["pressure"]
    for i, table in enumerate(file.cylinder):
        yield from _size(("cylinder", i, "size"), table.size)
        gauge_bar = table.bar("gauge", file.units)
        if table.evacuated and (table.holds is not None or gauge_bar is not None):
            yield Fault(
                ("cylinder", i, "evacuated"), "it was evacuated, and something is in it",
                "evacuated, or holds with its pressure",
            )  # fmt: skip
        elif not table.evacuated and table.holds is None:
            yield Fault(
                ("cylinder", i, "holds"), "is missing: even an empty cylinder is full of something",
                'holds = "air" with a pressure of 0, or evacuated = true',
            )  # fmt: skip
        elif not table.evacuated and gauge_bar is None:
            yield Fault(
                ("cylinder", i, f"gauge_{ending}"),
                "is missing",
                f"gauge_{ending} = 0 if it is empty",
            )


def _overfull(file: FillTables) -> Iterator[Fault]:
    """Yield gauges that stand above what their cylinder may have."""
    key = f"gauge_{SUFFIXES[file.units]['pressure']}"
    works_bar = dict(_working(file))
    for path, table, name in (
        *((("cylinder", i), table, table.name) for i, table in enumerate(file.cylinder)),
        *((("analysis", i), table, table.cylinder) for i, table in enumerate(file.analysis)),
    ):
        gauge_bar, most_bar = table.bar("gauge", file.units), works_bar.get(name)
        if gauge_bar is None or most_bar is None or gauge_bar <= most_bar + _SLACK:
            continue
        works = say.gauge(most_bar, file.units)
        yield Fault(
            (*path, key),
            f"{say.gauge(gauge_bar, file.units)} in '{name}' is above its working pressure of "
            f"{works}",
            f"at most {works}, or working_{key.partition('_')[2]} as stamped; an overfilled "
            "cylinder is let down first",
        )


def _working(file: FillTables) -> Iterator[tuple[str, float]]:
    for table in file.cylinder:
        stamped_bar = table.bar("working", file.units)
        if stamped_bar is not None:
            yield table.name, stamped_bar
            continue
        try:
            yield table.name, cylinder_named(table.size).working_gauge_bar
        except InputError:  # told where the size stands
            continue


def _needs(file: FillTables) -> Iterator[Fault]:
    ending = SUFFIXES[file.units]["pressure"]
    owned = {(table.owner, table.size) for table in file.cylinder}
    for i, need in enumerate(file.need):
        yield from _size(("need", i, "size"), need.size)
        if (need.owner, need.size) not in owned:
            yield Fault(
                ("need", i, "owner"), f"'{need.owner}' owns no cylinder '{need.size}' in this file",
                "a [[cylinder]] with this owner and size",
            )  # fmt: skip
        to_bar, left_bar = need.bar("to", file.units), need.bar("left", file.units)
        if to_bar is not None and left_bar is not None and left_bar > to_bar:
            yield Fault(
                ("need", i, f"left_{ending}"), "more is left than was filled",
                f"at most to_{ending}",
            )  # fmt: skip


def _size(path: KeyPath, size: str) -> Iterator[Fault]:
    try:
        cylinder_named(size)
    except InputError as error:
        yield Fault(path, error.what, error.right)


def _fills(file: FillTables) -> Iterator[Fault]:
    known = {table.name for table in file.cylinder}
    counts = Counter(table.cylinder for table in file.fill)
    for i, table in enumerate(file.fill):
        if table.cylinder not in known:
            yield Fault(
                ("fill", i, "cylinder"),
                f"there is no cylinder '{table.cylinder}'",
                "one of " + ", ".join(sorted(known)),
            )
        elif counts[table.cylinder] > 1:
            yield Fault(
                ("fill", i, "cylinder"),
                f"'{table.cylinder}' is filled twice",
                "one [[fill]] a cylinder; for several dives use [[need]]",
            )


def _analyses(file: FillTables) -> Iterator[Fault]:
    filled = {table.cylinder for table in file.fill}
    for i, table in enumerate(file.analysis):
        if table.cylinder not in filled:
            yield Fault(
                ("analysis", i, "cylinder"),
                f"no [[fill]] says what '{table.cylinder}' is to hold",
                "one of " + ", ".join(sorted(filled))
                if filled
                else "a [[fill]] with this cylinder",
            )
        elif table.cylinder in {other.cylinder for other in file.analysis[:i]}:
            yield Fault(
                ("analysis", i, "cylinder"),
                f"'{table.cylinder}' is analysed twice",
                "the last analysis of each cylinder",
            )
        if table.o2_percent + (table.he_percent or 0.0) > _WHOLE + _SLACK:
            yield Fault(
                ("analysis", i, "he_percent"),
                f"{table.o2_percent:g} % oxygen and {table.he_percent:g} % helium are more than "
                "the whole",
                "what the analyser says of each, together at most 100",
            )


def _sources(file: FillTables) -> Iterator[Fault]:
    yield from _twice(("source",), [table.name for table in file.source])
    if not file.source:
        yield Fault(("source",), "has no gas at hand", "at least one [[source]]")
    for i, source in enumerate(file.source):
        yield from _twice(("source", i, "bank"), [bank.name for bank in source.bank])


def _cylinder_names(file: FillTables) -> Iterator[Fault]:
    yield from _twice(("cylinder",), [table.name for table in file.cylinder])


def _twice(path: KeyPath, names: Sequence[str]) -> Iterator[Fault]:
    for i, name in enumerate(names):
        if name in names[:i]:
            yield Fault((*path, i, "name"), f"'{name}' is taken", "a name of its own each")


_Check: TypeAlias = Callable[[FillTables], Iterator[Fault]]
_CHECKS: Final[tuple[tuple[frozenset[str], _Check], ...]] = (
    (frozenset({"units"}), _units),
    (frozenset({"units"}), _missing_pressures),
    (frozenset({"units", "cylinder"}), _cylinders),
    (frozenset({"units", "cylinder", "need"}), _needs),
    (frozenset({"units", "cylinder", "analysis"}), _overfull),
    (frozenset({"cylinder"}), _cylinder_names),
    (frozenset({"cylinder", "fill"}), _fills),
    (frozenset({"fill", "analysis"}), _analyses),
    (frozenset({"source"}), _sources),
    (frozenset({"fill", "need"}), _asks_for_something),
    (frozenset({"room"}), _cost_has_prices),
)
