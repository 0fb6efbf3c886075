"""UDDF taken apart: each dive as the words that stand in it, with its line, nothing understood yet.

The names of the elements are those of UDDF, from memory. Names count without their namespace, so
that files with one and without one, of versions 2 and 3, read alike. The parser refuses entities
and document types, with which a small file could grow without bound.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, Final
from xml.etree.ElementTree import (
    Element,
    ParseError,
    TreeBuilder,
    tostring,
)

from slatewright.errors import InputError
from slatewright.logs.aside import EVERY, Doubt, Progress, SetAside
from slatewright.logs.decoding import need_size

MOST_BYTES: Final = 128 * 1024 * 1024
"""Larger files are refused."""
MOST_DEEP: Final = 60
"""Elements inside one another; a log needs a dozen."""
MOST_DIVES: Final = 100_000
EXTENSION: Final = "urn:slatewright:logbook:1"
"""Our own namespace, for what UDDF has no words for: the unit of the log, role, need of stops."""
OURS: Final = "ours:"
"""Heads the names of elements of that namespace."""
_CHUNK: Final = 1 << 16
_RIGHT: Final = "a logbook in UDDF"
_DIVE_TAG: Final = re.compile(rb"<(?:[\w.-]+:)?dive[\s>/]")
_KEPT: Final = frozenset({"switchmix", "divemode"})
_AROUND_DIVES: Final = frozenset({"profiledata", "repetitiongroup"})
_LINKS: Final = frozenset({"link", "switchmix"})
_NUMBER: Final = re.compile(
    r"[-+]?(?:[0-9]{1,40}\.?[0-9]{0,40}|\.[0-9]{1,40})(?:[eE][-+]?[0-9]{1,3})?"
)
_MOST_TORN: Final = 3
MANDATORY_STOP: Final = "decostop[@kind='mandatory']"
"""A waypoint at which a stop was due."""


@dataclass(slots=True)
class Part:
    """A dive, or something that dives refer to by its id.

    Parameters
    ----------
    element
        The element, its names in small letters and without a namespace.
    line
        The line on which it begins.
    """

    element: Element
    line: int


@dataclass(slots=True)
class Parts:
    """A file taken apart.

    Parameters
    ----------
    dives
        The dives; of their waypoints those that say something.
    named
        What has an id, outside dives.
    broken
        Where the XML breaks off; None if it does not.
    """

    dives: list[Part] = field(default_factory=list)
    named: dict[str, Element] = field(default_factory=dict)
    broken: SetAside | None = None

    def text_of(self, part: Part) -> str:
        """Return a dive as a file of its own, with all that it refers to.

        Parameters
        ----------
        part
            The dive.
        """
        wanted = [e.get("ref", "") for e in part.element.iter() if e.tag in _LINKS]
        named = [self.named[ref] for ref in dict.fromkeys(wanted) if ref in self.named]
        inside = "".join(tostring(e, "unicode").strip() + "\n" for e in (*named, part.element))
        return f'<uddf xmlns:ours="{EXTENSION}">\n{inside}</uddf>'


def parts_of(data: bytes, name: str, progress: Progress | None = None) -> Parts:
    """Return a file taken apart.

    Parameters
    ----------
    data
        The bytes of the file.
    name
        Its name, for messages.
    progress
        Told of each hundred dives.

    Returns
    -------
    Parts
        The dives and what they refer to. If the XML breaks off, what stands before it, and where.

    Raises
    ------
    InputError
        If the file is too large, no UDDF, nested beyond reason, or has entities or a document type.
    """
    need_size(data, name, MOST_BYTES)
    from defusedxml import (  # noqa: PLC0415 - for UDDF alone
        DefusedXmlException,
    )
    from defusedxml.ElementTree import (  # noqa: PLC0415 - same
        XMLParser,
    )

    target = _Target(name)
    parser = XMLParser(target=target, forbid_dtd=True)
    target.expat = parser.parser
    most = sum(1 for _ in _DIVE_TAG.finditer(data)) if progress else 0
    told = 0
    try:
        for start in range(0, len(data), _CHUNK):
            parser.feed(data[start : start + _CHUNK])
            if progress and len(target.parts.dives) >= told + EVERY:
                told = len(target.parts.dives)
                progress(told, most)
        parser.close()
    except DefusedXmlException:
        raise InputError(
            "the file has a document type or entities, in which a bomb can hide",
            where=name,
            right="the same file without <!DOCTYPE ...>",
        ) from None
    except (ParseError, ValueError, LookupError):
        if not target.seen_root:
            raise InputError("this is no XML", where=name, right=_RIGHT) from None
        broken = Doubt("the XML breaks off here; what follows was not read", right="the whole file")
        target.parts.broken = SetAside(target.expat.CurrentLineNumber, "", (broken,))
    if progress:
        progress(len(target.parts.dives), len(target.parts.dives))
    return target.parts


def local(tag: str) -> str:
    """Return the name of an element in small letters, our own headed and without a namespace.

    Parameters
    ----------
    tag
        The name as the parser gives it.
    """
    space, _, plain = tag.rpartition("}")
    return OURS + plain.lower() if space == "{" + EXTENSION else plain.lower()


def number_of(text: str | None) -> float | None:
    """Return the number that a text is; None if it is none.

    Parameters
    ----------
    text
        The text, such as ``2E+07``.
    """
    value = exact_of(text)
    return None if value is None else float(value)


def exact_of(text: str | None) -> Decimal | None:
    """Return the number that a text is, to its last digit; None if it is none.

    Parameters
    ----------
    text
        The text, such as ``2E+07``.
    """
    word = (text or "").strip()
    return Decimal(word) if _NUMBER.fullmatch(word) else None


class _Target:
    """Takes what the parser finds; builds dives and what has an id, and drops the rest."""

    def __init__(self, name: str) -> None:
        self.parts = Parts()
        self.expat: Any = None  # the parser underneath, which knows the line
        self.seen_root = False
        self._name = name
        self._deep = 0
        self._builder: TreeBuilder | None = None
        self._built_at = 0
        self._line = 0
        self._local: dict[str, str] = {}

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        self._deep += 1
        if self._deep > MOST_DEEP:
            raise self._refused(f"more than {MOST_DEEP} elements inside one another")
        plain = self._local.get(tag) or self._local.setdefault(tag, local(tag))
        if not self.seen_root:
            self.seen_root = True
            if plain != "uddf":
                raise self._refused(f"the file is '{plain}'")
            return
        if self._builder is None:
            if plain != "dive" and ("id" not in attributes or plain in _AROUND_DIVES):
                return
            self._builder = TreeBuilder()
            self._built_at = self._deep
            self._line = self.expat.CurrentLineNumber
        self._builder.start(plain, attributes)

    def data(self, text: str) -> None:
        if self._builder is not None:
            self._builder.data(text)

    def end(self, tag: str) -> None:
        if self._builder is not None:
            self._builder.end(self._local[tag])
            if self._deep == self._built_at:
                self._keep(self._builder.close())
                self._builder = None
        self._deep -= 1

    def close(self) -> Parts:
        return self.parts

    def _keep(self, element: Element) -> None:
        if element.tag == "dive":
            _thin(element)
            self.parts.dives.append(Part(element, self._line))
            if len(self.parts.dives) > MOST_DIVES:
                raise self._refused(f"more than {MOST_DIVES} dives")
            return
        for inside in element.iter():
            if found := inside.get("id"):
                self.parts.named.setdefault(found, inside)

    def _refused(self, what: str) -> InputError:
        return InputError(what, where=self._name, right=_RIGHT)


def _thin(dive: Element) -> None:
    """Drop the waypoints of a dive that say nothing about it as a whole.

    Kept are the deepest and the last, those with a switch or a mode, and a few that are torn: a
    profile of hours is some thousand waypoints, and logbooks have thousands of profiles.
    """
    for samples in dive.iter("samples"):
        points = [point for point in samples if point.tag == "waypoint"]
        depths = [number_of(point.findtext("depth")) for point in points]
        times = [number_of(point.findtext("divetime")) for point in points]
        kept = {
            id(max(zip(points, values, strict=True), key=lambda pair: pair[1] or 0.0)[0])
            for values in (depths, times)
            if points
        }
        torn = [
            id(point)
            for point, depth, at in zip(points, depths, times, strict=True)
            if depth is None or at is None
        ]
        kept.update(torn[:_MOST_TORN])
        kept.update(id(point) for point in points if any(e.tag in _KEPT for e in point))
        kept.update([id(point) for point in points if point.find(MANDATORY_STOP) is not None][:1])
        samples[:] = [e for e in samples if e.tag != "waypoint" or id(e) in kept]
