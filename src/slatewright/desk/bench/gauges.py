"""The cylinders of a team as flat gauges: what is used, what is left, what is to be kept."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from markupsafe import Markup

from slatewright.desk.bench import svg
from slatewright.desk.bench.profile_drawing import ink_of, marks_of
from slatewright.desk.bench.result import Result
from slatewright.desk.bench.tables import GasSeen
from slatewright.desk.workings import Shown
from slatewright.paper.theme import GasMark
from slatewright.physics.mixture import Mixture
from slatewright.physics.units import UnitSystem, pressure_left_label, pressure_needed_label
from slatewright.supply.consumption import CylinderUse
from slatewright.supply.matching import CylinderSupply, DiverSupply

WIDTH: Final = 600.0
_TOP: Final = 2.0
_FOOT: Final = 20.0
_HEIGHT: Final = 22.0
_SLACK_MOL: Final = 1e-6


@dataclass(frozen=True, slots=True)
class Gauge:
    """A cylinder.

    Parameters
    ----------
    label
        Its label.
    size
        Its vessel.
    gas
        What is in it.
    picture
        The flat gauge, as SVG.
    start, end
        What it shows before and after the dive.
    reserve, turn
        What it shows at least when only what is kept is left, and at the turn; None if there is
        none.
    ends
        When it can give no more; empty if that never happens.
    """

    label: str
    size: str
    gas: GasSeen
    picture: Markup
    start: Shown
    end: Shown
    reserve: Shown | None
    turn: Shown | None
    ends: str


@dataclass(frozen=True, slots=True)
class GaugesOf:
    """The cylinders of a diver.

    Parameters
    ----------
    name
        Who.
    carries_for
        For whom the reserve is carried; empty for one alone.
    gauges
        The cylinders, in the order of the kit.
    """

    name: str
    carries_for: str
    gauges: tuple[Gauge, ...]


def gauges_of(result: Result, gases: dict[Mixture, GasSeen], how: str) -> tuple[GaugesOf, ...]:
    """Return the cylinders of a team.

    Parameters
    ----------
    result
        The dive.
    gases
        Its gases.
    how
        The path under which its accounts are served.
    """
    if result.gas is None:
        return ()
    marks = marks_of(result.dive)
    return tuple(
        GaugesOf(
            name=own.diver.name,
            carries_for=own.carries_for.name if own.carries_for else "",
            gauges=tuple(
                _gauge(own, one, gases, marks, f"{how}/cylinder/{number}/{position}")
                for position, one in enumerate(own.cylinders)
            ),
        )
        for number, own in enumerate(result.gas.divers)
    )


def _gauge(
    own: DiverSupply,
    one: CylinderSupply,
    gases: dict[Mixture, GasSeen],
    marks: dict[Mixture, GasMark],
    account: str,
) -> Gauge:
    use, units = one.use, own.diver.units
    keeps = one.reserve_mol > 0.0

    def needed(bar: float | None) -> Shown | None:
        if bar is None or not keeps:
            return None
        return Shown(pressure_needed_label(bar, units), account=account)

    kept = own.kept_of(use.carried.mix)
    lacks = kept.needed_mol > kept.available_mol + _SLACK_MOL
    gas = gases.get(use.carried.mix) or GasSeen(str(use.carried.mix), Markup(), Markup(), "")
    ends = "" if use.out_min is None else f"nothing from {use.out_min:.0f} min on"
    notches = (("turn", one.turn_gauge_bar), ("kept", one.reserve_gauge_bar)) if keeps else ()
    return Gauge(
        label=use.carried.label,
        size=use.carried.cylinder.name,
        gas=gas,
        picture=gauge_picture(use, units, marks.get(use.carried.mix), notches, lacks=lacks),
        start=Shown(pressure_left_label(use.start.gauge_bar, units)),
        end=Shown(pressure_left_label(use.end.gauge_bar, units), account=account),
        reserve=needed(one.reserve_gauge_bar),
        turn=needed(one.turn_gauge_bar),
        ends=ends,
    )


def gauge_picture(
    use: CylinderUse,
    units: UnitSystem,
    mark: GasMark | None,
    notches: Iterable[tuple[str, float | None]] = (),
    *,
    lacks: bool,
) -> Markup:
    """Draw a flat gauge: the whole is the working pressure, the dark part what is left.

    Parameters
    ----------
    use
        The cylinder over the dive.
    units
        The units of the gauge.
    mark
        The mark of its gas; None if it has none.
    notches
        What is marked on it: name and pressure, None for no notch [bar].
    lacks
        Whether there is not enough of the gas.
    """
    full_bar = max(use.carried.cylinder.working_gauge_bar, use.start.gauge_bar)

    def x(bar: float) -> float:
        return WIDTH * max(0.0, bar) / full_bar

    start, end = use.start.gauge_bar, use.end.gauge_bar
    marked = []
    for name, bar in notches:
        if bar is not None:
            place = (x(bar), 0.0, x(bar), _HEIGHT)
            marked += [svg.line("notch around", *place), svg.line(f"notch {name}", *place)]
    said = (
        f"{use.carried.label}: {pressure_left_label(start, units)} before the dive, "
        f"{pressure_left_label(end, units)} after it"
    )
    return flat_gauge(x(end), x(start), mark, said, marked, lacks=lacks)


def flat_gauge(
    left_px: float,
    filled_px: float,
    mark: GasMark | None,
    said: str,
    marked: Iterable[str] = (),
    *,
    lacks: bool,
) -> Markup:
    """Draw a vessel: dark what is left, pale what is taken.

    Parameters
    ----------
    left_px, filled_px
        How far it is left filled, and was filled, of `WIDTH` [px].
    mark
        The mark of its gas; None if it has none.
    said
        What it shows, for those who do not see it.
    marked
        What is drawn over it, as SVG.
    lacks
        Whether there is not enough of the gas.
    """
    parts = (
        svg.rect("vessel", 0.0, _TOP, WIDTH, _FOOT),
        svg.rect("used", left_px, _TOP, filled_px, _FOOT),
        svg.rect("left", 0.0, _TOP, left_px, _FOOT),
        *marked,
    )
    name = f"gauge {ink_of(mark) if mark else 'ink-4'}{' short' if lacks else ''}"
    return svg.picture(name, WIDTH, _HEIGHT, said, parts, 'role="img" preserveAspectRatio="none"')
