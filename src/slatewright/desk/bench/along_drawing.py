"""What is breathed along the dive: ppO2 and density as strips under the profile, on its time axis."""

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

HEIGHT_PX: Final = 92.0
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
    frame, marks = frame_of(dive, width_px), marks_of(dive)
    highest = max(max(*strip.ends(one), *(of(one) for _, of in strip.limits)) for one in along)
    top = highest * _HEADROOM
    tall_px = HEIGHT_PX - _TOP_PX - _FOOT_PX

    def y_px(value: float) -> float:
        return _TOP_PX + tall_px * (1.0 - value / top)

    def x_px(at_min: float) -> float:
        return LEFT_PX + frame.x_px(at_min)

    def drawn() -> Iterator[str]:
        yield svg.rect("strip", LEFT_PX, _TOP_PX, LEFT_PX + frame.width_px, y_px(0.0))
        for tick in strip.ticks:
            if tick <= top:
                yield svg.line("isobath", LEFT_PX, y_px(tick), LEFT_PX + frame.width_px, y_px(tick))
                yield svg.text("axis end", LEFT_PX - 7.0, y_px(tick), f"{tick:g}")
        yield svg.text("strip-title", LEFT_PX, _TOP_PX - 11.0, strip.title)
        for name, of in strip.limits:
            for value, members in groupby(along, key=of):
                legs = [one.leg for one in members]
                yield svg.line(
                    name, x_px(legs[0].start_min), y_px(value), x_px(legs[-1].end_min), y_px(value)
                )
        if floor is not None:
            yield svg.line("limit", LEFT_PX, y_px(floor), LEFT_PX + frame.width_px, y_px(floor))
        for gas, members in groupby(along, key=lambda one: one.leg.gas):
            points: list[svg.Point] = []
            for one in members:
                start, end = strip.ends(one)
                points += [
                    (x_px(one.leg.start_min), y_px(start)),
                    (x_px(one.leg.end_min), y_px(end)),
                ]
            yield svg.path(f"curve {ink_of(marks[gas])}", _corners(points))

    said = f"{strip.title} along the dive, at most {highest_of(strip.ends, along):.2f}"
    return svg.picture("along", width_px, HEIGHT_PX, said, drawn())


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
