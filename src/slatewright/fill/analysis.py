"""What the analyser says, and whether the cylinder may be used for what was planned."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from slatewright.errors import InputError, NoSafeAnswer, Reason
from slatewright.fill.blend import blend
from slatewright.fill.receiver import Receiver, holding, need_sound
from slatewright.fill.room import Room
from slatewright.fill.state import pressure_of
from slatewright.fill.steps import Blend
from slatewright.fill.tolerance import Tolerance
from slatewright.physics.mixture import Mixture

_NO_ROOM: Final = 0.02  # no more helium than that can be in what is not oxygen


@dataclass(frozen=True, slots=True)
class Analysis:
    """What was read off the analyser.

    Parameters
    ----------
    label
        The cylinder.
    o2
        Mole fraction of oxygen as read [-].
    he
        Mole fraction of helium as read; None if only oxygen was analysed [-].
    by
        Who read it.
    at
        Day and hour.
    gauge_bar
        Pressure of the cylinder then, on the gauge [bar].
    temperature_k
        Temperature at which that was read [K].
    """

    label: str
    o2: float
    he: float | None
    by: str
    at: datetime
    gauge_bar: float
    temperature_k: float = 293.15

    def __post_init__(self) -> None:
        helium = 0.0 if self.he is None else self.he
        Mixture(self.o2, helium)
        if not self.by.strip():
            raise InputError(
                f"{self.label}: nobody is named", where="by", right="the one who read the analyser"
            )
        if not 0.0 <= self.gauge_bar < math.inf:
            raise InputError(
                f"{self.label}: {self.gauge_bar:g} bar is no pressure",
                where="gauge_bar",
                right="what the gauge showed, in bar",
            )

    @property
    def mix(self) -> Mixture:
        """The mix as analysed.

        Where helium was not analysed there can be no more of it than oxygen leaves room for: of
        nearly pure oxygen that is nothing to speak of.

        Raises
        ------
        NoSafeAnswer
            If helium was not analysed and may be there: then the mix is not known.
        """
        if self.he is None and 1.0 - self.o2 <= _NO_ROOM:
            return Mixture(self.o2)
        if self.he is None:
            raise NoSafeAnswer(
                Reason(
                    f"{self.label}: only oxygen was analysed, so its helium is not known",
                    "analyse both gases",
                )
            )
        return Mixture(self.o2, self.he)


@dataclass(frozen=True, slots=True)
class Judgement:
    """Whether a cylinder may be used for what was planned.

    Parameters
    ----------
    analysis
        What was read.
    planned
        The mix that was planned.
    accepted
        Whether it is within the tolerance; if so the plan is to be computed again with it.
    o2_off, he_off
        Analysed less planned, mole fractions [-].
    settled_gauge_bar
        The pressure that it settles to at the reference temperature [bar].
    planned_gauge_bar
        The settled pressure that was planned [bar].
    reasons
        Why it was refused, each a sentence.
    fix
        The fill that puts it right; None if it is accepted, or nothing at hand does.
    fix_refused
        Why there is no fix; empty if there is one or none is needed.
    """

    analysis: Analysis
    planned: Mixture
    accepted: bool
    o2_off: float
    he_off: float
    settled_gauge_bar: float
    planned_gauge_bar: float
    reasons: tuple[str, ...] = ()
    fix: Blend | None = None
    fix_refused: str = ""


def judge(
    analysis: Analysis,
    planned: Mixture,
    receiver: Receiver,
    gauge_bar: float,
    room: Room,
    tolerance: Tolerance | None = None,
) -> Judgement:
    """Judge an analysis; outside the tolerance, work out how the cylinder is put right.

    Parameters
    ----------
    analysis
        What was read.
    planned
        The mix that was planned.
    receiver
        The cylinder; what is thought to be in it does not matter.
    gauge_bar
        The settled pressure that the fix is to have [bar].
    room
        What is at hand.
    tolerance
        How far it may be off; None for that of the room.

    Returns
    -------
    Judgement
        Accepted, or refused with the fix.

    Raises
    ------
    NoSafeAnswer
        If helium was not analysed, the cylinder's test has run out, or it is not clean for the
        oxygen in it.
    InputError
        If it stands above its working pressure.
    """
    tolerance = tolerance or room.tolerance
    mix = analysis.mix
    need_sound(receiver, mix.o2, room.on)
    o2_off, he_off = mix.o2 - planned.o2, mix.he - planned.he
    inside = holding(
        receiver.cylinder, mix, analysis.gauge_bar, analysis.temperature_k, room.surface_bar
    )
    settled_bar = pressure_of(inside, receiver.water_volume_l, room.reference_temperature_k)
    judgement = Judgement(
        analysis,
        planned,
        tolerance.holds(o2_off, he_off),
        o2_off,
        he_off,
        settled_bar - room.surface_bar,
        gauge_bar,
    )
    if judgement.accepted:
        return judgement
    reasons = tuple(
        f"{analysis.label}: {name} {(share + off) * 100:.1f} % analysed, {share * 100:.1f} % "
        f"planned, {abs(off) * 100:.1f} points off with {allowed * 100:g} allowed"
        for name, share, off, allowed in (
            ("oxygen", planned.o2, o2_off, tolerance.o2),
            ("helium", planned.he, he_off, tolerance.he),
        )
        if abs(off) > allowed
    )
    try:
        fix = blend(replace(receiver, contents=inside), planned, gauge_bar, room)
    except NoSafeAnswer as error:
        return replace(judgement, reasons=reasons, fix_refused=str(error))
    return replace(judgement, reasons=reasons, fix=fix)
