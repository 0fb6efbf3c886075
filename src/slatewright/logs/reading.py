"""One door for all logbooks: bytes in, dives out, with what was kept aside and what is asked.

::

    reading = read_logbook(data, "log.csv")
    while reading.questions:                      # a person answers, or changes the mapping
        mapping = reading.mapping.answered(question.about, choice.value)
        reading = read_logbook(data, "log.csv", mapping)
"""

from __future__ import annotations

import codecs
import re
from dataclasses import dataclass, replace
from typing import Final

from slatewright.logs.aside import Progress, Question, SetAside
from slatewright.logs.csv_in import read_csv, reread_row
from slatewright.logs.detection import Proposal
from slatewright.logs.logged import LoggedDive, Origin
from slatewright.logs.mapping import Mapping
from slatewright.logs.uddf_in import read_uddf

_XML: Final = re.compile(r"\ufeff?\s*<(?:\?xml|!--|!DOCTYPE|[\w.-]+:?uddf|uddf)", re.IGNORECASE)
_HEAD_BYTES: Final = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What was read of a logbook.

    Parameters
    ----------
    dives
        The dives; none as long as there are questions.
    set_aside
        What could not be read, each with its line, until it is decided.
    mapping
        How the columns were read, to be confirmed and remembered by its key; None for UDDF, which
        needs none.
    proposal
        How sure each column is, if no mapping was handed in; None otherwise.
    questions
        What nobody has said and what is not guessed.
    notes
        What a person should look at.
    """

    dives: tuple[LoggedDive, ...]
    set_aside: tuple[SetAside, ...] = ()
    mapping: Mapping | None = None
    proposal: Proposal | None = None
    questions: tuple[Question, ...] = ()
    notes: tuple[str, ...] = ()


def read_logbook(
    data: bytes, name: str, mapping: Mapping | None = None, progress: Progress | None = None
) -> Reading:
    """Return what a logbook holds.

    Parameters
    ----------
    data
        The bytes of the file: UDDF, or CSV of any kind.
    name
        Its name, for messages and for the origin of the dives.
    mapping
        How the columns of a CSV file are read, as a person confirmed it, from this file or, by
        `header_key`, from an earlier one; None proposes it.
    progress
        Called with the number of entries done and of all.

    Returns
    -------
    Reading
        What was read.

    Raises
    ------
    InputError
        If the file as a whole cannot be read: empty, too large, of another kind, built to harm.
    """
    if is_xml(data):
        uddf = read_uddf(data, name, progress)
        return Reading(dives=uddf.dives, set_aside=uddf.set_aside, notes=uddf.notes)
    csv = read_csv(data, name, mapping, progress)
    return Reading(
        dives=csv.dives,
        set_aside=csv.set_aside,
        mapping=csv.mapping,
        proposal=csv.proposal,
        questions=csv.questions,
        notes=csv.notes,
    )


def reread(aside: SetAside, text: str, name: str, mapping: Mapping | None) -> LoggedDive | SetAside:
    """Return the dive of an entry that a person has corrected, or the entry kept aside again.

    Parameters
    ----------
    aside
        The entry as it was kept aside.
    text
        Its corrected text.
    name
        The name of the file.
    mapping
        The mapping with which the file was read; None for UDDF.

    Raises
    ------
    InputError
        If the text of an entry in UDDF is no XML any more.
    """
    if mapping is not None:
        return reread_row(text, mapping, name, aside.line)
    found = read_uddf(text.encode("utf-8", "replace"), name, None)
    entries: tuple[LoggedDive | SetAside, ...] = (*found.dives, *found.set_aside)
    if len(entries) != 1:
        return SetAside(aside.line, text, aside.reasons)
    entry = entries[0]
    if isinstance(entry, SetAside):
        return SetAside(aside.line, text, entry.reasons)
    return replace(entry, origin=Origin(name, aside.line))


def is_xml(data: bytes) -> bool:
    """Return whether a file is XML, by its first letters.

    Parameters
    ----------
    data
        The bytes of the file.
    """
    head = data[:_HEAD_BYTES]
    wide = head.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    text = head.decode("utf-16" if wide else "utf-8", "replace")
    return _XML.match(text) is not None
