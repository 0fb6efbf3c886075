"""Two entries of one dive made one, after a person has said that they are."""

from __future__ import annotations

from dataclasses import replace

from slatewright.logs.logged import Circuit, LoggedDive, Role


def joined(first: LoggedDive, second: LoggedDive) -> LoggedDive:
    """Return the fuller of two entries, with what the other alone says added.

    Parameters
    ----------
    first, second
        The entries; the first is kept if both are as full.

    Returns
    -------
    LoggedDive
        Day, duration and depth, with its unit, are those of the fuller one, and so is the origin. A
        role or circuit that one of them names comes before the usual one, which logs leave unsaid.
    """
    kept, other = (first, second) if fullness(first) >= fullness(second) else (second, first)
    remark = kept.remark
    if other.remark and other.remark not in remark:
        remark = f"{remark}\n{other.remark}" if remark else other.remark
    return replace(
        kept,
        began_at=other.began_at if kept.began_at is None else kept.began_at,
        mixes=kept.mixes or other.mixes,
        circuit=other.circuit if kept.circuit is Circuit.OPEN else kept.circuit,
        role=other.role if kept.role is Role.DIVER else kept.role,
        decompression=other.decompression if kept.decompression is None else kept.decompression,
        partners=kept.partners or other.partners,
        equipment=kept.equipment or other.equipment,
        number=kept.number or other.number,
        place=kept.place or other.place,
        remark=remark,
    )


def fullness(dive: LoggedDive) -> int:
    """Return how much an entry says beside day, duration and depth.

    Parameters
    ----------
    dive
        The entry.
    """
    said = (
        dive.began_at is not None,
        bool(dive.mixes),
        dive.circuit is not Circuit.OPEN,
        dive.role is not Role.DIVER,
        dive.decompression is not None,
        bool(dive.partners),
        bool(dive.equipment),
        bool(dive.number),
        bool(dive.place),
        bool(dive.remark),
    )
    figures = (float(dive.minutes), float(dive.greatest.value))  # handed in whole, they are ints
    return sum(said) * 2 + sum(not figure.is_integer() for figure in figures)
