"""Mix-ups: the wrong cylinder in the mouth, on the line, or waiting at the change of gas.

A cylinder that is known by habit instead of read is dropped at the wrong depth, and that is found
at the change: this chain kills most often (common practice, no published source). For each moment
at which a cylinder is handled, and each other gas of the team, this says what breathing it does,
what the ascent is if it waits where another was meant to, and who would notice when.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from itertools import combinations
from typing import Any, Final

from slatewright.dive.finished import Finished
from slatewright.dive.hazard import Severity
from slatewright.dive.solving import solve_plan
from slatewright.physics.mixture import Mixture
from slatewright.supply import mixup_words as words
from slatewright.supply.consumption import need_cylinders
from slatewright.supply.kit import Diver, KitCylinder, Place, Team
from slatewright.supply.mixup_breath import Harm, WrongBreath, breathe_wrongly
from slatewright.supply.mixup_moments import Handling, Moment, moments_of
from slatewright.supply.mixup_waiting import WrongWaits, swap_on_the_line
from slatewright.supply.mixup_words import Dropped, Notice

SCHEMA: Final = "slatewright/mixups/1"


@dataclass(frozen=True, slots=True)
class MixUp:
    """One cylinder handled in place of another at one moment.

    Parameters
    ----------
    diver
        Who handles it.
    moment
        When, where, and what is done.
    right, wrong
        The cylinder that is meant, and the one that is taken.
    wrong_of
        Whose the wrong cylinder is.
    breath
        What breathing it does; None if nothing is breathed at this moment.
    waits
        What the ascent is if it waits there; None if nothing is dropped at this moment, or the
        other one is not dropped.
    harm
        How bad, the worse of both.
    text
        What happens, a sentence or two with the figures.
    noticed
        Who would notice, when, and what gives it away; in order of time.
    """

    diver: str
    moment: Moment
    right: KitCylinder
    wrong: KitCylinder
    wrong_of: str
    breath: WrongBreath | None
    waits: WrongWaits | None
    harm: Harm
    text: str
    noticed: tuple[Notice, ...]

    @property
    def severity(self) -> Severity:
        """As a hazard's severity."""
        return self.harm.severity

    @property
    def rank(self) -> tuple[int, float]:
        """Larger for what is worse: harm first, then how far oxygen lies outside its limits."""
        if self.breath is None:
            return (int(self.harm), 0.0)
        return (
            int(self.harm),
            max(self.breath.highest_ppo2_bar / 1.6, 0.16 / self.breath.lowest_ppo2_bar),
        )


@dataclass(frozen=True, slots=True)
class Alike:
    """Two gases of the team whose cylinders must not be taken for one another.

    Parameters
    ----------
    gases
        The two.
    worst
        The worst that taking one for the other does.
    grave
        At how many moments it is grave or deadly.
    text
        A sentence that says so.
    """

    gases: tuple[Mixture, Mixture]
    worst: MixUp
    grave: int
    text: str

    @property
    def on_the_back(self) -> bool:
        """True if one of them is on the back: not taken for the other by its looks."""
        return Place.BACK in {self.worst.right.place, self.worst.wrong.place}


@dataclass(frozen=True, slots=True)
class MixUps:
    """All mix-ups of a dive.

    Parameters
    ----------
    found
        The worst first.
    alike
        Pairs of gases, the worst first.
    drops
        In the order in which cylinders are dropped; empty if all are carried throughout.
    order_text
        In which order they are carried and dropped, a sentence.
    """

    found: tuple[MixUp, ...]
    alike: tuple[Alike, ...]
    drops: tuple[Dropped, ...]
    order_text: str

    @property
    def never_alike(self) -> Alike | None:
        """The two that must never look alike; None if there is but one gas.

        Cylinders that hang or stand beside each other come before one on the back, which is not
        taken for another by its looks, but by its second stage.
        """
        beside = (pair for pair in self.alike if not pair.on_the_back)
        return next(beside, None) or next(iter(self.alike), None)

    def document(self) -> dict[str, Any]:
        """Return all of it as plain data, ready for JSON.

        Returns
        -------
        dict
            Depths in metres, times in minutes, pressures in bar absolute, whatever the units.
        """
        told = {field.name: _plain(getattr(self, field.name)) for field in fields(self)}
        return {"schema": SCHEMA, **told}


def mixups(dive: Finished, team: Team, *, dropped: bool = True) -> MixUps:
    """Look at each cylinder in the place of each other one.

    Parameters
    ----------
    dive
        The finished dive.
    team
        Who carries what. A partner's cylinder can be taken where the team's cylinders hang
        together; where all are equipped alike, that adds nothing new but the name.
    dropped
        True if each decompression gas is dropped on the way down at the depth of its change and
        picked up there; False if all cylinders are carried throughout.

    Returns
    -------
    MixUps
        The worst first. Cylinders of one gas are never mixed up: that has no consequence.

    Raises
    ------
    InputError
        If a gas that is breathed is in no cylinder of a diver.
    """
    moments = moments_of(dive, dropped=dropped)
    found: list[MixUp] = []
    for diver in team.divers:
        need_cylinders(dive.legs, diver)
        found.extend(_of_diver(dive, team, diver, moments))
    found.sort(key=lambda mixup: (*(-part for part in mixup.rank), mixup.moment.at_min))
    drops = tuple(
        Dropped(moment.gas, moment.at_min, moment.at_m, moment.in_mouth)
        for moment in moments
        if moment.handling is Handling.DROP
    )
    return MixUps(tuple(found), _alike(found), drops, words.order_text(dive.plan, drops))


def _of_diver(
    dive: Finished, team: Team, diver: Diver, moments: tuple[Moment, ...]
) -> Iterator[MixUp]:
    solved = solve_plan(dive.plan)
    drops = [moment for moment in moments if moment.handling is Handling.DROP]
    swaps = {
        frozenset(pair): swap_on_the_line(dive, solved, drops, pair, diver, team)
        for pair in combinations([drop.gas for drop in drops], 2)
    }
    for moment in moments:
        right = next(carried for carried in diver.kit if carried.mix == moment.gas)
        for owner, wrong in _at_hand(team, diver, moment):
            if wrong.mix == moment.gas:
                continue
            breath = breathe_wrongly(dive, moment, wrong.mix)
            waits = None
            if moment.handling is Handling.DROP:
                waits = swaps.get(frozenset((moment.gas, wrong.mix)))
            if breath is None and waits is None:
                continue
            yield MixUp(
                diver=diver.name,
                moment=moment,
                right=right,
                wrong=wrong,
                wrong_of=owner.name,
                breath=breath,
                waits=waits,
                harm=max(_harm_of_breath(breath), _harm_of_waiting(waits)),
                text=words.text(dive.plan, moment, wrong.mix, breath, waits),
                noticed=words.noticed(dive.plan, moment, wrong.mix, breath, waits),
            )


def _at_hand(team: Team, diver: Diver, moment: Moment) -> Iterator[tuple[Diver, KitCylinder]]:
    """Yield the cylinders that could be taken: one's own, and all where they hang together."""
    for owner in team.divers:
        if owner is not diver and moment.handling is not Handling.PICK_UP:
            continue
        seen: set[Mixture] = set()
        for carried in owner.kit:
            if carried.mix not in seen:
                seen.add(carried.mix)
                yield owner, carried


def _harm_of_breath(breath: WrongBreath | None) -> Harm:
    return Harm.DIFFERENT if breath is None else breath.harm


def _harm_of_waiting(waits: WrongWaits | None) -> Harm:
    """No way home is deadly; a longer one that the gas lasts for is over the plan's limits."""
    if waits is None:
        return Harm.DIFFERENT
    if not waits.gets_home:
        return Harm.DEADLY
    return Harm.OVER_LIMIT if (waits.extra_min or 0.0) > 0.0 else Harm.DIFFERENT


def _alike(found: list[MixUp]) -> tuple[Alike, ...]:
    """Return the pairs of gases by the worst that can come of each, worst first."""
    worst: dict[frozenset[Mixture], MixUp] = {}
    count: dict[frozenset[Mixture], int] = {}
    for mixup in found:  # sorted, so that the first of a pair is its worst
        pair = frozenset((mixup.right.mix, mixup.wrong.mix))
        worst.setdefault(pair, mixup)
        count[pair] = count.get(pair, 0) + (mixup.harm >= Harm.GRAVE)
    ordered = sorted(
        worst.items(), key=lambda item: (*(-part for part in item[1].rank), -count[item[0]])
    )
    return tuple(
        Alike(
            (mixup.right.mix, mixup.wrong.mix),
            mixup,
            count[pair],
            words.alike_text(mixup.right, mixup.wrong, mixup.text, count[pair]),
        )
        for pair, mixup in ordered
    )


def _plain(value: object) -> Any:  # noqa: ANN401 - JSON is any of its kinds
    """Return a record as plain data: gases and enumerations by name, cylinders by label."""
    if isinstance(value, Harm):
        return value.name.lower().replace("_", " ")
    if isinstance(value, KitCylinder):
        return {"label": value.label, "gas": str(value.mix), "place": str(value.place)}
    if isinstance(value, tuple):
        return [_plain(part) for part in value]
    if is_dataclass(value) and not isinstance(value, (type, Mixture)):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    return value if value is None or isinstance(value, (bool, int, float)) else str(value)
