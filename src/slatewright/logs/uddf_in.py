"""Logbooks in UDDF, read: SI units, shares as fractions; the elements as in UDDF, from memory."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, time
from decimal import Decimal
from typing import Final
from xml.etree.ElementTree import Element

from slatewright.errors import InputError
from slatewright.logs import cell_times
from slatewright.logs.aside import Doubt, Progress, SetAside
from slatewright.logs.cell_dates import day
from slatewright.logs.logged import Circuit, DepthUnit, LoggedDepth, LoggedDive, Origin, Role
from slatewright.logs.plausible import impossible_gas, impossible_speed
from slatewright.logs.uddf_parts import (
    MANDATORY_STOP,
    OURS,
    Part,
    Parts,
    exact_of,
    number_of,
    parts_of,
)
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import METRES_PER_FOOT

_METRES_PER_FOOT: Final = Decimal(repr(METRES_PER_FOOT))  # exact: feet come back to the digit
_SUM_SLACK: Final = 0.02
_CIRCUITS: Final = {"opencircuit": Circuit.OPEN, "closedcircuit": Circuit.CLOSED}
_YES_NO: Final = {"yes": True, "no": False}


@dataclass(frozen=True, slots=True)
class UddfRead:
    """What was read of a UDDF file.

    Parameters
    ----------
    dives
        The dives.
    set_aside
        The dives that could not be read, each as a small file of its own.
    notes
        What a person should know.
    """

    dives: tuple[LoggedDive, ...]
    set_aside: tuple[SetAside, ...]
    notes: tuple[str, ...]


def read_uddf(data: bytes, name: str, progress: Progress | None) -> UddfRead:
    """Return what a UDDF file holds.

    Parameters
    ----------
    data
        The bytes of the file.
    name
        Its name.
    progress
        Told of each hundred dives.

    Raises
    ------
    InputError
        If it is no UDDF, too large, or built to harm.
    """
    parts = parts_of(data, name, progress)
    dives: list[LoggedDive] = []
    aside: list[SetAside] = []
    counts: Counter[str] = Counter()
    for part in parts.dives:
        one = _OneDive(parts, part, Origin(name, part.line), counts)
        dive = one.read()
        if isinstance(dive, LoggedDive):
            dives.append(dive)
        else:
            aside.append(dive)
    if parts.broken is not None:
        aside.append(parts.broken)
    notes = [text.format(count) for key, text in _NOTES.items() if (count := counts[key])]
    if not parts.dives:
        notes.append("there is no dive in the file")
    return UddfRead(tuple(dives), tuple(aside), tuple(notes))


_NOTES: Final = {
    "tank": "{} dives have a cylinder that does not name its gas",
    "link": "{} references lead to nothing in the file",
    "zone": "{} times are those of Greenwich; they were taken as the clock at the place",
}


class _OneDive:
    """A dive while it is read; gathers all that is wrong with it."""

    def __init__(self, parts: Parts, part: Part, origin: Origin, counts: Counter[str]) -> None:
        self._parts = parts
        self._part = part
        self._dive = part.element
        self._origin = origin
        self._counts = counts
        self._doubts: list[Doubt] = []
        self._ours = next(self._dive.iter(f"{OURS}logged"), None)
        self._places = [
            e
            for e in (
                self._dive.find("informationbeforedive"),
                self._dive.find("informationafterdive"),
                self._dive,
            )
            if e is not None
        ]

    def read(self) -> LoggedDive | SetAside:
        on_date, began_at = self._beginning()
        greatest = self._depth()
        minutes = self._minutes()
        circuit = self._circuit()
        mixes = self._mixes()
        role = self._role()
        if self._doubts or on_date is None or greatest is None or minutes is None:
            return self._aside()
        try:
            impossible_speed(minutes, greatest)
            impossible_gas(mixes, greatest, circuit)
            return LoggedDive(
                on_date=on_date,
                began_at=began_at,
                minutes=minutes,
                greatest=greatest,
                mixes=mixes,
                circuit=circuit,
                role=role,
                decompression=self._decompression(),
                partners=tuple(self._linked("buddy", self._person)),
                equipment=tuple(self._equipment()),
                number=self._words(self._find("divenumber")),
                place=", ".join(self._linked("site", lambda e: self._words(e.find("name")))),
                remark=self._remark(),
                origin=self._origin,
            )
        except InputError as error:
            return self._aside(Doubt.of(error))

    def _aside(self, *more: Doubt) -> SetAside:
        text = self._parts.text_of(self._part)
        return SetAside(self._part.line, text, (*self._doubts, *more))

    def _doubt(self, where: str, what: str, right: str) -> None:
        self._doubts.append(Doubt(what, where, right))

    def _find(self, name: str) -> Element | None:
        for place in self._places:
            found = place.find(name)
            if found is not None:
                return found
        return None

    def _words(self, element: Element | None) -> str:
        text = "" if element is None else element.text or ""
        return text if self._ours is not None else " ".join(text.split())

    def _number(self, name: str, right: str) -> Decimal | None:
        """Return a number of the dive; None if it is not named, or doubtful."""
        element = self._find(name)
        if element is None or not (element.text or "").strip():
            return None
        value = exact_of(element.text)
        if value is None:
            self._doubt(name, f"'{(element.text or '').strip()[:40]}' is no number", right)
        return value

    def _beginning(self) -> tuple[date | None, time | None]:
        text = (getattr(self._find("datetime"), "text", None) or "").strip()
        if not text:
            text = self._old_beginning()
        if not text:
            self._doubt("datetime", "the date is missing", "2031-05-09T14:30:00")
            return None, None
        try:
            on_date, rest = day(text, None, None, None)
            if not rest:
                return on_date, None
            if self._ours is not None:
                return on_date, time.fromisoformat(rest.removeprefix("T"))
            began_at, zone = cell_times.clock(rest)
        except (InputError, ValueError) as error:
            what = error.what if isinstance(error, InputError) else f"'{text[:40]}' is no time"
            self._doubt("datetime", what, "2031-05-09T14:30:00")
            return None, None
        self._counts["zone"] += bool(zone) and not any(digit in "123456789" for digit in zone)
        return on_date, began_at

    def _old_beginning(self) -> str:
        """Return date and time as versions before 2.2 have them, in elements of their own."""
        on_date, at = self._find("date"), self._find("time")
        if on_date is None:
            return ""
        numbers = [number_of(on_date.findtext(part)) for part in ("year", "month", "day")]
        if None in numbers:
            return (on_date.text or "").strip() or "?"
        text = "-".join(f"{part:02.0f}" for part in numbers if part is not None)
        if at is None:
            return text
        clock = [number_of(at.findtext(part)) for part in ("hour", "minute")]
        if None in clock:
            return f"{text} {(at.text or '?').strip()}"
        return f"{text}T" + ":".join(f"{part:02.0f}" for part in clock if part is not None)

    def _waypoints(self) -> Iterator[Element]:
        for samples in self._dive.iter("samples"):
            yield from samples.iter("waypoint")

    def _depth(self) -> LoggedDepth | None:
        right = "metres, such as 30.5"
        depth_m = self._number("greatestdepth", right)
        if depth_m is None and not self._doubted("greatestdepth"):
            depths = [exact_of(point.findtext("depth")) for point in self._waypoints()]
            known = [depth for depth in depths if depth is not None]
            depth_m = max(known, default=None)
            if len(known) < len(depths):
                self._doubt("waypoint", "a depth of the profile is no number", right)
            elif depth_m is None:
                self._doubt("greatestdepth", "the greatest depth is missing", right)
        if depth_m is None:
            return None
        try:
            if self._ours is not None and self._ours.get("unit") == DepthUnit.FEET:
                return LoggedDepth(float(depth_m / _METRES_PER_FOOT), DepthUnit.FEET)
            return LoggedDepth(float(depth_m), DepthUnit.METRES)
        except InputError as error:
            self._doubts.append(Doubt.of(error))
            return None

    def _doubted(self, name: str) -> bool:
        return any(doubt.where == name for doubt in self._doubts)

    def _minutes(self) -> float | None:
        right = "seconds, such as 2700"
        seconds = self._number("diveduration", right)
        if seconds is None and not self._doubted("diveduration"):
            times = [exact_of(point.findtext("divetime")) for point in self._waypoints()]
            seconds = max((at for at in times if at is not None), default=None)
            if seconds is None:
                self._doubt("diveduration", "the duration is missing", right)
        return None if seconds is None else float(seconds / 60)

    def _circuit(self) -> Circuit:
        if self._ours is not None and (said := self._ours.get("circuit")) in {*Circuit}:
            return Circuit(str(said))
        modes = {
            (mode.get("type") or mode.text or "").strip().lower()
            for point in self._waypoints()
            for mode in point.iter("divemode")
        }
        for mode in sorted(modes - set(_CIRCUITS) - {""}):
            self._doubt("divemode", f"'{mode[:40]}' is neither open nor closed circuit", "either")
        return Circuit.CLOSED if "closedcircuit" in modes else Circuit.OPEN

    def _role(self) -> Role:
        said = self._ours.get("role", "") if self._ours is not None else ""
        return Role(said) if said in {*Role} else Role.DIVER

    def _decompression(self) -> bool | None:
        if self._ours is not None:
            return _YES_NO.get(self._ours.get("decompression", ""))
        due = any(point.find(MANDATORY_STOP) is not None for point in self._waypoints())
        return True if due else None

    def _mixes(self) -> tuple[Mixture, ...]:
        found: list[Mixture] = []
        for point in self._waypoints():
            for switch in point.iter("switchmix"):
                ref = (switch.get("ref") or switch.text or "").strip()
                element = self._parts.named.get(ref)
                if element is None or element.tag != "mix":
                    self._doubt(
                        "switchmix", f"no gas '{ref[:40]}' in the file", "a mix with that id"
                    )
                else:
                    found += self._mix(element)
        unnamed = False
        for tank in self._dive.iter("tankdata"):
            refs = [link.get("ref", "") for link in tank.iter("link")]
            mixes = [
                element
                for ref in refs
                if (element := self._parts.named.get(ref)) is not None and element.tag == "mix"
            ]
            unnamed = unnamed or not mixes
            for element in mixes:
                found += self._mix(element)
        self._counts["tank"] += unnamed
        return tuple(dict.fromkeys(found))

    def _mix(self, element: Element) -> list[Mixture]:
        """Return the mixture of an element, or none and the doubt about it."""
        shares = {name: element.findtext(name) for name in ("o2", "he", "n2", "ar", "h2")}
        values = {name: number_of(text) for name, text in shares.items() if (text or "").strip()}
        where = f"mix {element.get('id', '')[:40]}"
        right = "fractions that sum to 1, such as o2 0.18, he 0.45, n2 0.37"
        o2 = values.get("o2")
        if o2 is None or None in values.values():
            self._doubt(where, "a share is missing or no number", right)
            return []
        known = {name: value for name, value in values.items() if value is not None}
        total = sum(known.values())
        odd = "n2" in known and abs(total - 1.0) > _SUM_SLACK
        if odd or known.get("h2", 0.0) > 0.0:
            self._doubt(where, f"its shares sum to {total:g}, or it holds hydrogen", right)
            return []
        try:
            return [Mixture(o2, known.get("he", 0.0))]
        except InputError as error:
            self._doubt(where, error.what, right)
            return []

    def _linked(self, kind: str, read: Callable[[Element], str]) -> Iterator[str]:
        for place in self._places[:-1] or self._places:
            for link in place.findall("link"):
                element = self._parts.named.get(link.get("ref", ""))
                if element is None:
                    self._counts["link"] += kind == "buddy"  # counted once, not for each kind
                elif element.tag == kind and (words := read(element)):
                    yield words

    def _person(self, element: Element) -> str:
        personal = element.find("personal")
        parts = [
            self._words((element if personal is None else personal).find(name))
            for name in ("firstname", "middlename", "lastname")
        ]
        return " ".join(part for part in parts if part)

    def _equipment(self) -> Iterator[str]:
        for used in self._dive.iter("equipmentused"):
            for link in used.iter("link"):
                element = self._parts.named.get(link.get("ref", ""))
                if element is None:
                    self._counts["link"] += 1
                    continue
                words = self._words(element.find("name")) or element.tag
                yield words if self._ours is not None else words.casefold()

    def _remark(self) -> str:
        notes = self._find("notes")
        if notes is None:
            return ""
        paragraphs = [self._words(para) for para in notes.iter("para")]
        return "\n".join(paragraphs) if paragraphs else self._words(notes)
