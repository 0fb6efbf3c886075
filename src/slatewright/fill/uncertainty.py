"""How far the mix may be from what was meant: gauge, temperature and analyser, step by step.

A fill is done by readings. If the gauge reads wrong, or the gas is warmer than thought when it is
read, other amounts go in than the recipe says. Each source of error is one number with a standard
deviation; the fill is then worked through again with it. Once by slopes (errors small, so that they
add up as squares), once by drawing errors at random: the two check each other.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from slatewright.errors import InputError
from slatewright.fill.state import mol_to_reach, part, plus, pressure_of, share_to_reach
from slatewright.fill.steps import Blend, StepKind
from slatewright.fill.tolerance import Tolerance
from slatewright.physics.amount import Amount
from slatewright.sources import Symbol, formula

if TYPE_CHECKING:
    from numpy.typing import NDArray

_POINT: Final = 0.01
_WIDE: Final = 1.959964  # 95 % of a normal distribution lie within so many standard deviations
_SLOPE: Final = 0.25  # of a standard deviation
_DRAWS: Final = 20_000
_OPEN: Final = 0.05  # of ambient pressure: a cylinder that was open and has warmed since


@formula(
    name="spread-of-two",
    title="Standard deviation of two independent errors together",
    equation="s = sqrt(s1^2 + s2^2)",
    result=Symbol("s", "-", "standard deviation of the sum"),
    symbols={
        "first": Symbol("s1", "-", "standard deviation of one", 0.0),
        "second": Symbol("s2", "-", "standard deviation of the other", 0.0),
    },
    source=("law of propagation of independent errors",),
    valid="independent errors; any unit, the same for both",
)
def spread_of_two(first: float, second: float) -> float:
    """Return the standard deviation of two independent errors together.

    Parameters
    ----------
    first, second
        Their standard deviations [any one unit].

    Returns
    -------
    float
        That of the sum [the same unit].
    """
    return math.sqrt(first**2 + second**2)


@dataclass(frozen=True, slots=True)
class Instruments:
    """Standard deviations of what is read; two thirds of all readings are nearer than that.

    Parameters
    ----------
    gauge_offset_bar
        Error of the gauge that is the same at every reading of a fill [bar].
    gauge_reading_bar
        Error of each reading by itself [bar].
    temperature_k
        How far the gas is from the temperature thought, at each reading by itself [K].
    analyser_o2, analyser_he
        Error of the analyser, as mole fractions [-].
    """

    gauge_offset_bar: float = 1.0
    gauge_reading_bar: float = 0.5
    temperature_k: float = 2.0
    analyser_o2: float = 0.003
    analyser_he: float = 0.005

    def __post_init__(self) -> None:
        values = (
            self.gauge_offset_bar,
            self.gauge_reading_bar,
            self.temperature_k,
            self.analyser_o2,
            self.analyser_he,
        )
        if not all(0.0 <= value < math.inf for value in values):
            raise InputError(
                "a standard deviation is below zero", where="instruments", right="zero or more"
            )


@dataclass(frozen=True, slots=True)
class Share:
    """How much one error contributes.

    Parameters
    ----------
    error
        Its name, such as ``gauge after oxygen``.
    step
        The step to which it belongs, counted from 1; 0 for those that belong to none.
    o2, he
        Standard deviations of the mole fractions that come of it alone [-].
    """

    error: str
    step: int
    o2: float
    he: float


@dataclass(frozen=True)
class Spread:
    """The spread of a mix.

    Parameters
    ----------
    o2, he
        Standard deviations of the mole fractions [-].
    shares
        What each error contributes; those of a random draw are not known, and the tuple is empty.
    inside
        The share of such fills that end within the tolerance, 0 to 1 [-].
    tolerance
        The tolerance.
    """

    o2: float
    he: float
    shares: tuple[Share, ...]
    inside: float
    tolerance: Tolerance

    @property
    def stays_inside(self) -> bool:
        """Whether 95 of 100 such fills end within the tolerance, for each gas by itself."""
        return self.tolerance.holds(*self.wide)

    @property
    def wide(self) -> tuple[float, float]:
        """How far 95 of 100 such fills are off at most, oxygen and helium each by itself [-]."""
        return (_WIDE * self.o2, _WIDE * self.he)

    @property
    def worst_step(self) -> int:
        """The step that matters most, counted from 1; 0 if errors of no step do."""
        weights: dict[int, float] = {}
        for share in self.shares:
            weights[share.step] = weights.get(share.step, 0.0) + self._weight(share)
        return max(weights, key=lambda step: weights[step], default=0)

    @property
    def worst_error(self) -> Share | None:
        """The single error that matters most, by its share of the tolerance."""
        return max(self.shares, key=self._weight, default=None)

    def _weight(self, share: Share) -> float:
        return (share.o2 / self.tolerance.o2) ** 2 + (share.he / self.tolerance.he) ** 2

    def of_reading(self, instruments: Instruments) -> tuple[float, float]:
        """Return the spread of what the analyser will say: that of the mix, and its own.

        Parameters
        ----------
        instruments
            The errors.

        Returns
        -------
        tuple
            Standard deviations of oxygen and helium [-].
        """
        return (
            spread_of_two(self.o2, instruments.analyser_o2),
            spread_of_two(self.he, instruments.analyser_he),
        )


def linear_spread(
    fill: Blend,
    instruments: Instruments,
    tolerance: Tolerance | None = None,
    *,
    start_analysed: bool = True,
) -> Spread:
    """Return the spread of a fill by slopes.

    Parameters
    ----------
    fill
        The fill.
    instruments
        The errors.
    tolerance
        How far it may be off; None for common practice.
    start_analysed
        Whether what was in the cylinder before was analysed, with the analyser's error; a fill on
        a mix that is known by its label alone is to be judged by `leftovers`.

    Returns
    -------
    Spread
        With what each error contributes.
    """
    tolerance = tolerance or Tolerance()
    errors = _errors(fill, instruments, start_analysed=start_analysed)
    shares, slopes = [], []
    for name, (step, sd) in errors.items():
        high = _worked_through(fill, {name: _SLOPE * sd})
        low = _worked_through(fill, {name: -_SLOPE * sd})
        o2, he = ((up - down) / (2.0 * _SLOPE) for up, down in zip(high, low, strict=True))
        slopes.append((o2, he))
        shares.append(Share(name, step, abs(o2), abs(he)))
    slope = np.array(slopes).reshape(-1, 2)
    draws = np.random.default_rng(1).standard_normal((_DRAWS, len(slope))) @ slope
    o2_sd, he_sd = (float(sd) for sd in np.sqrt((slope**2).sum(axis=0)))
    return Spread(o2_sd, he_sd, tuple(shares), _inside(draws, tolerance), tolerance)


def random_spread(
    fill: Blend,
    instruments: Instruments,
    tolerance: Tolerance | None = None,
    *,
    start_analysed: bool = True,
    draws: int = 1000,
    seed: int = 1,
) -> Spread:
    """Return the spread of a fill by working it through with errors drawn at random.

    Parameters
    ----------
    fill, instruments, tolerance, start_analysed
        As for `linear_spread`.
    draws
        How many times.
    seed
        For the random numbers: the same seed, the same result.

    Returns
    -------
    Spread
        Without contributions.
    """
    tolerance = tolerance or Tolerance()
    errors = _errors(fill, instruments, start_analysed=start_analysed)
    deviations = np.array([sd for _, sd in errors.values()])
    drawn = np.random.default_rng(seed).standard_normal((draws, len(errors))) * deviations
    ended = np.array(
        [_worked_through(fill, dict(zip(errors, map(float, row), strict=True))) for row in drawn]
    )
    off = ended - np.array([fill.contents.o2, fill.contents.he])
    o2_sd, he_sd = (float(sd) for sd in off.std(axis=0))
    return Spread(o2_sd, he_sd, (), _inside(off, tolerance), tolerance)


def _inside(off: NDArray[np.float64], tolerance: Tolerance) -> float:
    within = (np.abs(off[:, 0]) <= tolerance.o2) & (np.abs(off[:, 1]) <= tolerance.he)
    return float(within.mean())


def _errors(
    fill: Blend, instruments: Instruments, *, start_analysed: bool
) -> dict[str, tuple[int, float]]:
    """Return name of each error to its step and its standard deviation."""
    errors = {"gauge, all readings": (0, instruments.gauge_offset_bar)}
    if fill.receiver.contents is not None:
        if not _open_to_the_air(fill):
            errors["gauge at the start"] = (0, instruments.gauge_reading_bar)
            errors["temperature at the start"] = (0, instruments.temperature_k)
        if start_analysed:
            errors["oxygen of the start"] = (0, instruments.analyser_o2)
            errors["helium of the start"] = (0, instruments.analyser_he)
    for number, step in enumerate(fill.steps, 1):
        name = step.source or "draining"
        errors[f"gauge after {name} ({number})"] = (number, instruments.gauge_reading_bar)
        errors[f"temperature after {name} ({number})"] = (number, instruments.temperature_k)
    return {name: error for name, error in errors.items() if error[1] > 0.0}


def _open_to_the_air(fill: Blend) -> bool:
    """Return whether the cylinder was emptied through its valve: then no gauge is needed."""
    start = fill.receiver.contents
    pressure_bar = pressure_of(start, fill.receiver.water_volume_l, fill.fill_temperature_k)
    return abs(pressure_bar - fill.surface_bar) < _OPEN * fill.surface_bar


def _worked_through(fill: Blend, off: Mapping[str, float]) -> tuple[float, float]:
    """Do a fill by its readings when each is off by so much; return oxygen and helium at the end.

    The gauge shows too much by its error, so that what is in a cylinder is less; gas that is
    warmer than thought is less too.
    """
    volume_l, kelvin = fill.receiver.water_volume_l, fill.fill_temperature_k
    everywhere = off.get("gauge, all readings", 0.0)
    contents = _started(fill, off, everywhere)
    for number, step in enumerate(fill.steps, 1):
        name = step.source or "draining"
        wrong = everywhere + off.get(f"gauge after {name} ({number})", 0.0)
        true_bar = max(1e-6, step.gauge_bar + fill.surface_bar - wrong)
        true_k = kelvin + off.get(f"temperature after {name} ({number})", 0.0)
        if step.kind is StepKind.DRAIN:
            if contents is not None:
                share = share_to_reach(contents, volume_l, true_k, true_bar)
                contents = part(contents, share)
        else:
            added_mol = mol_to_reach(contents, step.gas, volume_l, true_k, true_bar)
            contents = plus(contents, step.gas, added_mol)
    if contents is None:
        return (0.0, 0.0)
    return contents.o2, contents.he


def _started(fill: Blend, off: Mapping[str, float], everywhere: float) -> Amount | None:
    start = fill.receiver.contents
    if start is None:
        return None
    volume_l, kelvin = fill.receiver.water_volume_l, fill.fill_temperature_k
    o2 = min(1.0, max(1e-6, start.o2 + off.get("oxygen of the start", 0.0)))
    he = min(1.0 - o2, max(0.0, start.he + off.get("helium of the start", 0.0)))
    thought_bar = pressure_of(start, volume_l, kelvin)
    wrong = 0.0 if _open_to_the_air(fill) else everywhere + off.get("gauge at the start", 0.0)
    true_bar = max(1e-6, thought_bar - wrong)
    true_k = kelvin + off.get("temperature at the start", 0.0)
    gas = Amount(o2, he, max(0.0, 1.0 - o2 - he))
    return plus(None, gas, mol_to_reach(None, gas, volume_l, true_k, true_bar))


def table_of(spread: Spread) -> Sequence[tuple[str, float, float]]:
    """Return the errors, the one that matters most first, in points.

    Parameters
    ----------
    spread
        Of `linear_spread`.

    Returns
    -------
    sequence
        Name, and standard deviations of oxygen and helium in percentage points.
    """
    ranked = sorted(spread.shares, key=spread._weight, reverse=True)  # noqa: SLF001 - its own module
    return [(share.error, share.o2 / _POINT, share.he / _POINT) for share in ranked]
