"""A dive that a person types: read as a row of a logbook is, with all its faults at once."""

from __future__ import annotations

from dataclasses import astuple, dataclass
from typing import Final

from slatewright.desk.problem import Fault
from slatewright.logs.aside import SetAside
from slatewright.logs.fields import BareDuration, ClockDuration, DateOrder, Field, Share
from slatewright.logs.logged import LoggedDive
from slatewright.logs.mapping import Column, Mapping
from slatewright.logs.rows import RowReader
from slatewright.logs.table import Row

_NAME: Final = "by hand"


@dataclass(frozen=True, slots=True)
class Typed:
    """A dive as typed, each field as it stands in the form.

    Parameters
    ----------
    on_date, began_at, minutes, depth, unit
        Day, start, duration and greatest depth with its unit.
    gases, circuit, role, decompression
        What was breathed, how, in what part, and whether stops were needed.
    partners, equipment, number, place, remark
        The rest.
    """

    on_date: str = ""
    began_at: str = ""
    minutes: str = ""
    depth: str = ""
    unit: str = "m"
    gases: str = ""
    circuit: str = ""
    role: str = ""
    decompression: str = ""
    partners: str = ""
    equipment: str = ""
    number: str = ""
    place: str = ""
    remark: str = ""


_SAYS: Final = (
    Field.DATE, Field.BEGAN, Field.MINUTES, Field.DEPTH, Field.UNIT, Field.GAS, Field.CIRCUIT,
    Field.ROLE, Field.DECOMPRESSION, Field.PARTNERS, Field.EQUIPMENT, Field.NUMBER, Field.PLACE,
    Field.REMARK,
)  # fmt: skip
_MAPPING: Final = Mapping(
    columns=tuple(Column(str(says), says) for says in _SAYS),
    slash=DateOrder.DMY,
    dash=DateOrder.DMY,
    dot=DateOrder.DMY,
    bare_duration=BareDuration.MINUTES,
    clock_duration=ClockDuration.HOURS_MINUTES,
    share=Share.PERCENT,
    commas=True,
)


def dive_by_hand(typed: Typed) -> LoggedDive | tuple[Fault, ...]:
    """Return the dive that somebody has typed, or all that is wrong with it.

    Parameters
    ----------
    typed
        As typed.
    """
    cells = tuple(str(cell) for cell in astuple(typed))
    found = RowReader(_MAPPING, _NAME).read(Row(0, cells, ""))
    if isinstance(found, SetAside):
        return tuple(Fault(why.what, why.where, 0, why.right) for why in found.reasons)
    return found
