"""What the texts of the ledger name: plans and fill rooms, of the workspace or of the examples."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import as_file, files
from pathlib import PurePosixPath
from typing import Final

from slatewright.desk.computing import Link, chain_of, computed
from slatewright.desk.fill.keeping import get_fill
from slatewright.dive.house_rules import HouseRules
from slatewright.errors import InputError
from slatewright.fill.fillfile import read_fill_text
from slatewright.fill.pricefile import read_price_text
from slatewright.fill.room import Room
from slatewright.ledger.gas import PlannedGas, gas_of_dive, gas_of_plan, room_of
from slatewright.store.session import Session

_NUMBER: Final = re.compile(r"#([0-9]{1,9})")
_KEPT: Final = 64


@dataclass(frozen=True, slots=True)
class RoomTexts:
    """A fill file of the workspace.

    Parameters
    ----------
    text, prices
        It, and its price list.
    """

    text: str
    prices: str


@dataclass(frozen=True)
class Found:
    """What the texts name, as it is now: the same texts have the same.

    Parameters
    ----------
    chains
        Name of a plan to its chain; only plans of the workspace.
    room
        The fill file; None for one of the examples.
    room_name
        What the rates call it.
    """

    chains: Mapping[str, tuple[Link, ...]]
    room: RoomTexts | None
    room_name: str

    @property
    def key(self) -> tuple[object, ...]:
        """What it depends on."""
        return (self.room_name, self.room, tuple(sorted(self.chains.items())))

    def gas_of(self, name: str, rules: HouseRules) -> PlannedGas:
        """Return the gas of a plan.

        Parameters
        ----------
        name
            What the text calls it.
        rules
            The house rules.

        Raises
        ------
        InputError
            If there is none, or it has faults.
        NoSafeAnswer
            If it has no safe answer, or names no cylinders.
        """
        if name in self.chains:
            return _of_chain(name, self.chains[name], rules)
        return _of_example(name, rules)

    def fill_room(self) -> Room:
        """Return the fill room with its prices.

        Raises
        ------
        InputError
            If there is none, or it has faults, or no price list.
        """
        if self.room is None:
            return _example_room(self.room_name)
        file = read_fill_text(self.room.text)
        if not self.room.prices:
            raise InputError(
                f"fill file {self.room_name} has no price list, so gas has no price",
                where="fill_room",
                right="lay a price list on it in the fill room",
            )
        return file.fill_room(read_price_text(self.room.prices))


def find(session: Session, plans: tuple[str, ...], fill_room: str) -> Found:
    """Find what the texts name.

    Parameters
    ----------
    session
        A session.
    plans
        What they call their plans.
    fill_room
        What the rates call the fill file.

    Raises
    ------
    InputError
        If a plan or a fill file of the workspace is not there.
    """
    chains = {
        name: chain_of(session, int(match[1]))
        for name in plans
        if (match := _NUMBER.fullmatch(name.strip()))
    }
    room = None
    if match := _NUMBER.fullmatch(fill_room.strip()):
        written = get_fill(session, int(match[1])).written
        room = RoomTexts(written.text, written.prices)
    return Found(chains, room, fill_room)


@lru_cache(maxsize=_KEPT)
def _of_chain(name: str, chain: tuple[Link, ...], rules: HouseRules) -> PlannedGas:
    done = computed(chain, rules)
    return gas_of_dive(done.dive, done.team, name)


@lru_cache(maxsize=_KEPT)
def _of_example(name: str, rules: HouseRules) -> PlannedGas:
    with as_file(files("slatewright.data") / "examples") as folder:
        path = folder.joinpath(*_inside(name))
        if not path.is_file():
            raise _nowhere(name, "plan")
        return gas_of_plan(path, rules)


@lru_cache(maxsize=_KEPT)
def _example_room(name: str) -> Room:
    with as_file(files("slatewright.data") / "examples") as folder:
        path = folder.joinpath(*_inside(name))
        if not path.is_file():
            raise _nowhere(name, "fill file")
        return room_of(path)


def _inside(name: str) -> tuple[str, ...]:
    """Return folder and file of an example: a text leads to no other path of this machine."""
    parts = [part for part in PurePosixPath(name).parts if part not in {"..", "/", "."}]
    return tuple(parts[-2:])


def _nowhere(name: str, what: str) -> InputError:
    return InputError(
        f"there is no {what} '{name}'",
        where=name,
        right=f'"#12" for {what} 12 of this workspace, or one of the examples',
    )
