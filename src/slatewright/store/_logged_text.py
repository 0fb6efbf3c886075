"""A logged dive as the text of a row, and back, without loss."""

from __future__ import annotations

import json
from datetime import date, time
from typing import Any

from slatewright.logs.logged import Circuit, DepthUnit, LoggedDepth, LoggedDive, Origin, Role
from slatewright.physics.mixture import Mixture


def text_of(dive: LoggedDive) -> str:
    """Return a dive as text.

    Parameters
    ----------
    dive
        The dive.
    """
    return json.dumps(
        {
            "on": dive.on_date.isoformat(),
            "at": None if dive.began_at is None else dive.began_at.isoformat(),
            "min": dive.minutes,
            "depth": [dive.greatest.value, str(dive.greatest.unit)],
            "mixes": [[mix.o2, mix.he] for mix in dive.mixes],
            "circuit": str(dive.circuit),
            "role": str(dive.role),
            "stops": dive.decompression,
            "with": list(dive.partners),
            "kit": list(dive.equipment),
            "number": dive.number,
            "place": dive.place,
            "remark": dive.remark,
            "from": [dive.origin.name, dive.origin.line],
        },
        ensure_ascii=False,
        separators=(",", ":"),
    )


def dive_of(text: str) -> LoggedDive:
    """Return the dive of a text.

    Parameters
    ----------
    text
        As `text_of` wrote it.
    """
    said: dict[str, Any] = json.loads(text)
    return LoggedDive(
        on_date=date.fromisoformat(said["on"]),
        began_at=None if said["at"] is None else time.fromisoformat(said["at"]),
        minutes=said["min"],
        greatest=LoggedDepth(said["depth"][0], DepthUnit(said["depth"][1])),
        mixes=tuple(Mixture(o2, he) for o2, he in said["mixes"]),
        circuit=Circuit(said["circuit"]),
        role=Role(said["role"]),
        decompression=said["stops"],
        partners=tuple(said["with"]),
        equipment=tuple(said["kit"]),
        number=said["number"],
        place=said["place"],
        remark=said["remark"],
        origin=Origin(*said["from"]),
    )
