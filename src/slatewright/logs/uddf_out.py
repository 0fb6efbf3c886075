"""Logbooks in UDDF, written, without a namespace; the elements as in UDDF 3, from memory.

What UDDF has no words for stands in an element of our own, which other readers pass over: the unit
in which a depth was logged, the role, the circuit, whether stops were needed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal
from typing import Final

from slatewright.errors import InputError
from slatewright.logs.logged import Circuit, DepthUnit, LoggedDepth, LoggedDive
from slatewright.logs.uddf_parts import EXTENSION
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import METRES_PER_FOOT

_NO_XML: Final = re.compile(r"[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_ESCAPES: Final = {
    "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "\r": "&#13;",
}  # fmt: skip
_SECONDS: Final = 60
_YES_NO: Final = {True: "yes", False: "no", None: ""}
_CLOSED: Final = (
    "      <samples><waypoint><depth>0</depth><divetime>0</divetime>"
    '<divemode type="closedcircuit"/></waypoint></samples>'
)


class _Ids:
    """Gives each different thing an id, in the order in which they come."""

    def __init__(self, head: str) -> None:
        self._head = head
        self.known: dict[object, str] = {}

    def of(self, thing: object) -> str:
        return self.known.setdefault(thing, f"{self._head}{len(self.known) + 1}")


def write_uddf(dives: Iterable[LoggedDive]) -> str:
    """Return a logbook as UDDF, to be saved as UTF-8.

    Parameters
    ----------
    dives
        The dives.

    Returns
    -------
    str
        The file; where an entry came from is left out, and so is a gas named twice in a dive.

    Raises
    ------
    InputError
        If a text holds a sign that XML cannot carry.
    """
    mixes, buddies, sites, gear = (_Ids(h) for h in ("mix", "buddy", "site", "gear"))
    entries: list[str] = []
    for count, dive in enumerate(dives, start=1):
        try:
            entries += _dive(dive, count, mixes, buddies, sites, gear)
        except InputError as error:
            where = f"dive {count} of {dive.on_date}"
            raise InputError(error.what, where=where, right=error.right) from None
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<uddf version="3.2.0" xmlns:slatewright="{EXTENSION}">',
        "  <generator><name>Slatewright</name><type>logbook</type></generator>",
        "  <diver>",
        '    <owner id="owner">',
        "      <personal><firstname/><lastname/></personal>",
        "      <equipment>",
        *(
            f'        <variouspieces id="{i}"><name>{_text(str(name))}</name></variouspieces>'
            for name, i in gear.known.items()
        ),
        "      </equipment>",
        "    </owner>",
        *(
            f'    <buddy id="{i}">{_personal(str(name))}</buddy>'
            for name, i in buddies.known.items()
        ),
        "  </diver>",
        "  <divesite>",
        *(
            f'    <site id="{i}"><name>{_text(str(name))}</name></site>'
            for name, i in sites.known.items()
        ),
        "  </divesite>",
        "  <gasdefinitions>",
        *(_mix(mix, i) for mix, i in mixes.known.items() if isinstance(mix, Mixture)),
        "  </gasdefinitions>",
        "  <profiledata>",
        '    <repetitiongroup id="logbook">',
        *entries,
        "    </repetitiongroup>",
        "  </profiledata>",
        "</uddf>",
    ]
    return "\n".join(lines) + "\n"


def _dive(
    dive: LoggedDive, count: int, mixes: _Ids, buddies: _Ids, sites: _Ids, gear: _Ids
) -> list[str]:
    when = dive.on_date.isoformat()
    if dive.began_at is not None:
        when += f"T{dive.began_at.isoformat()}"
    links = [buddies.of(partner) for partner in dive.partners if partner]
    links += [sites.of(dive.place)] if dive.place else []
    used = "".join(f'<link ref="{gear.of(word)}"/>' for word in dive.equipment if word)
    for text in (dive.number, dive.remark, dive.place, *dive.partners, *dive.equipment):
        _text(text)  # refused before anything refers to it
    number = f"<divenumber>{_text(dive.number)}</divenumber>" if dive.number else ""
    remark = f"<notes><para>{_text(dive.remark)}</para></notes>" if dive.remark else ""
    seconds = _plain(Decimal(repr(dive.minutes)) * _SECONDS)
    before = "".join(f'<link ref="{link}"/>' for link in links)
    before += f"{number}<datetime>{when}</datetime>"
    after = (
        f"<greatestdepth>{_metres(dive.greatest)}</greatestdepth>"
        f"<diveduration>{seconds}</diveduration>"
        f"<equipmentused>{used}</equipmentused>{remark}"
    )
    ours = (
        f'unit="{dive.greatest.unit}" role="{dive.role}" circuit="{dive.circuit}"'
        f' decompression="{_YES_NO[dive.decompression]}"'
    )
    return [
        f'      <dive id="dive{count}">',
        f"        <informationbeforedive>{before}</informationbeforedive>",
        *(f'        <tankdata><link ref="{mixes.of(mix)}"/></tankdata>' for mix in dive.mixes),
        *((_CLOSED,) if dive.circuit is Circuit.CLOSED else ()),
        f"        <informationafterdive>{after}</informationafterdive>",
        f"        <applicationdata><slatewright:logged {ours}/></applicationdata>",
        "      </dive>",
    ]


def _mix(mix: Mixture, ident: str) -> str:
    return (
        f'    <mix id="{ident}"><name>{mix}</name><o2>{mix.o2!r}</o2><n2>{mix.n2!r}</n2>'
        f"<he>{mix.he!r}</he></mix>"
    )


def _personal(name: str) -> str:
    """Return a name as UDDF parts it, so that a space between the parts gives it back."""
    first, space, last = name.rpartition(" ")
    if not (space and first.strip() and last):
        first, last = name, ""
    surname = f"<lastname>{_text(last)}</lastname>" if last else "<lastname/>"
    return f"<personal><firstname>{_text(first)}</firstname>{surname}</personal>"


def _metres(depth: LoggedDepth) -> str:
    value = Decimal(repr(depth.value))
    return _plain(value * Decimal(repr(METRES_PER_FOOT)) if depth.unit is DepthUnit.FEET else value)


def _plain(value: Decimal) -> str:
    text = format(value, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def _text(text: str) -> str:
    bad = _NO_XML.search(text)
    if bad:
        raise InputError(
            f"a text holds the sign U+{ord(bad[0]):04X}, which XML cannot carry",
            right="letters, signs and line breaks",
        )
    return "".join(_ESCAPES.get(letter, letter) for letter in text)
