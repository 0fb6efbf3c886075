"""What is breathed along the dive: ppO2 and density as strips on the profile's time axis."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING, Final

from slatewright.desk.bench import svg
from slatewright.desk.bench.profile_drawing import frame_of, ink_of, marks_of
from slatewright.paper.profile_frame import LEFT_PX

if TYPE_CHECKING:
    from markupsafe import Markup

    from slatewright.dive.breathed import Breathed
    from slatewright.dive.schedule import Schedule
    from slatewright.paper.profile_frame import Frame

HEIGHT_PX: Final = 112.0
_TOP_PX: Final = 22.0
_FOOT_PX: Final = 6.0
_HEADROOM: Final = 1.12


@dataclass(frozen=True, slots=True)
class _Strip:
    """A strip: what it shows, its limits, and the figures at both ends of a leg."""

    name: str
    title: str
    ticks: tuple[float, ...]
    limits: tuple[tuple[str, Callable[[Breathed], float]], ...]
    ends: Callable[[Breathed], tuple[float, float]]


def ppo2_picture(dive: Schedule, along: Sequence[Breathed], width_px: float) -> Markup:
    """Draw ppO2 along a dive, with the limit of each use.

    Parameters
    ----------
    dive
        The dive.
    along
        What is breathed along it.
    width_px
        Width of the whole picture [px].
    """
    strip = _Strip(
        name="ppO2",
        title="ppO2, bar",
        ticks=(0.0, 0.5, 1.0, 1.5),
        limits=(("limit", lambda one: one.limit_bar),),
        ends=lambda one: (one.ppo2_start_bar, one.ppo2_end_bar),
    )
    return _picture(strip, dive, along, width_px, floor=dive.plan.rules.floor_bar)


def density_picture(dive: Schedule, along: Sequence[Breathed], width_px: float) -> Markup:
    """Draw density as breathed along a dive, with the recommended and the highest.

    Parameters
    ----------
    dive
        The dive.
    along
        What is breathed along it.
    width_px
        Width of the whole picture [px].
    """
    rules = dive.plan.rules
    strip = _Strip(
        name="gas density",
        title="density, g/L",
        ticks=(0.0, 2.0, 4.0, 6.0),
        limits=(
            ("limit soft", lambda _: rules.density_recommended_g_per_l),
            ("limit", lambda _: rules.density_max_g_per_l),
        ),
        ends=lambda one: (one.density_start_g_per_l, one.density_end_g_per_l),
    )
    return _picture(strip, dive, along, width_px)


def _picture(
    strip: _Strip,
    dive: Schedule,
    along: Sequence[Breathed],
    width_px: float,
    floor: float | None = None,
) -> Markup:
    highest = max(max(*strip.ends(one), *(of(one) for _, of in strip.limits)) for one in along)
    place = _Place(frame_of(dive, width_px), highest * _HEADROOM)
    drawn = (
        *_ground(strip, place),
        *_limits(strip, along, place),
        *((place.across("limit", floor),) if floor is not None else ()),
        *_curves(strip, dive, along, place),
    )
    said = f"{strip.title} along the dive, at most {highest_of(strip.ends, along):.2f}"
    return svg.picture("along", width_px, HEIGHT_PX, said, drawn)


@dataclass(frozen=True, slots=True)
class _Place:
    """Where run times and figures are on a strip; the same run times as on the profile."""

    frame: Frame
    top: float

    def y_px(self, value: float) -> float:
        return _TOP_PX + (HEIGHT_PX - _TOP_PX - _FOOT_PX) * (1.0 - value / self.top)

    def x_px(self, at_min: float) -> float:
        return LEFT_PX + self.frame.x_px(at_min)

    @property
    def right_px(self) -> float:
        return LEFT_PX + self.frame.width_px

    def across(self, name: str, value: float) -> str:
        return svg.line(name, LEFT_PX, self.y_px(value), self.right_px, self.y_px(value))


def _ground(strip: _Strip, place: _Place) -> Iterator[str]:
    yield svg.rect("strip", LEFT_PX, _TOP_PX, place.right_px, place.y_px(0.0))
    for tick in strip.ticks:
        if tick <= place.top:
            yield place.across("isobath", tick)
            yield svg.text("axis end", LEFT_PX - 7.0, place.y_px(tick), f"{tick:g}")
    yield svg.text("strip-title", LEFT_PX, _TOP_PX - 11.0, strip.title)


def _limits(strip: _Strip, along: Sequence[Breathed], place: _Place) -> Iterator[str]:
    for name, of in strip.limits:
        for value, members in groupby(along, key=of):
            legs = [one.leg for one in members]
            left_px, right_px = place.x_px(legs[0].start_min), place.x_px(legs[-1].end_min)
            yield svg.line(name, left_px, place.y_px(value), right_px, place.y_px(value))


def _curves(
    strip: _Strip, dive: Schedule, along: Sequence[Breathed], place: _Place
) -> Iterator[str]:
    marks = marks_of(dive)
    for gas, members in groupby(along, key=lambda one: one.leg.gas):
        points: list[svg.Point] = []
        for one in members:
            start, end = strip.ends(one)
            points += [
                (place.x_px(one.leg.start_min), place.y_px(start)),
                (place.x_px(one.leg.end_min), place.y_px(end)),
            ]
        yield svg.path(f"curve {ink_of(marks[gas])}", _corners(points))


def highest_of(ends: Callable[[Breathed], tuple[float, float]], along: Sequence[Breathed]) -> float:
    """Return the highest figure of a strip.

    Parameters
    ----------
    ends
        Gives the figures at both ends of a leg.
    along
        What is breathed along the dive.
    """
    return max(max(ends(one)) for one in along)


def _corners(points: Sequence[svg.Point]) -> list[svg.Point]:
    """Leave out points that stand twice, or between others of the same height."""
    kept: list[svg.Point] = []
    for point in points:
        if kept and kept[-1] == point:
            continue
        if len(kept) > 1 and kept[-1][1] == kept[-2][1] == point[1]:
            kept[-1] = point
        else:
            kept.append(point)
    return kept
