"""What is drawn on a profile and where its words stand: worked out before any chart is made."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from itertools import groupby, pairwise
from typing import TYPE_CHECKING, Final

from slatewright.decompression.leg import LegKind
from slatewright.dive.hazard import Severity
from slatewright.paper.label_layout import Box, Sheet, places_around, text_size_px
from slatewright.paper.profile_frame import LEFT_PX, RIGHT_PX, TOP_PX, Frame
from slatewright.paper.profile_parts import Mark, ProfileSheet, Ring, Stretch, Words
from slatewright.paper.reading import depth_text, in_depth_unit, minutes_up
from slatewright.paper.theme import gas_marks, mixture_name

if TYPE_CHECKING:
    from collections.abc import Sequence

    from slatewright.decompression.leg import Leg
    from slatewright.dive.hazard import Hazard
    from slatewright.dive.schedule import Schedule
    from slatewright.paper.theme import GasMark
    from slatewright.physics.mixture import Mixture

MARK_PX: Final = 8.5
"""Radius of a gas mark."""
RING_PX: Final = 13.0
"""Radius of the ring round a hazard."""
GAS_FONT_PX: Final = 13.0
SOUNDING_FONT_PX: Final = 12.0
SMALL_FONT_PX: Final = 11.0
LEVEL_FONT_PX: Final = 15.0
_LINE_ROOM_PX: Final = 6.0
_SAME_DEPTH_M: Final = 1e-6
_ABOVE: Final = "above the ceiling"


def profile_sheet(schedule: Schedule, frame: Frame) -> ProfileSheet:
    """Work out the drawing of a profile.

    Labels are set in the order of what matters: changes of gas, levels, the first and the last
    stop, hazards, the other stops from the longest. One that finds no free place is left out; the
    line itself and the slate still say it. A hazard at a level is named beneath its ring if there
    is room, before the level's own label, which can move along.

    Parameters
    ----------
    schedule
        The schedule, with at least one leg; a failed second check does not hinder the chart.
    frame
        The plotting area.

    Returns
    -------
    ProfileSheet
        The drawing.
    """
    legs = [leg for leg in schedule.legs if leg.kind is not LegKind.SURFACE]
    drawing = _Drawing(schedule, legs, frame)
    drawing.mark_gases()
    drawing.ring_hazards()
    drawing.name_hazards_beneath()
    drawing.label_levels()
    drawing.label_outer_stops()
    drawing.name_hazards()
    drawing.label_stops()
    drawing.label_ceiling()
    return drawing.sheet


@dataclass(frozen=True, slots=True)
class _Stop:
    """A stop, on whatever gases."""

    start_min: float
    end_min: float
    depth_m: float


class _Drawing:
    """Sets marks and words one after the other, each clear of those before."""

    def __init__(self, schedule: Schedule, legs: Sequence[Leg], frame: Frame) -> None:
        self.legs = legs
        self.hazards = schedule.hazards
        self.units = schedule.plan.units
        self.frame = frame
        self.rings: list[tuple[Box, list[Hazard]]] = []
        self.named: set[int] = set()
        marks = gas_marks([gas.mix for gas in schedule.plan.gases] + [leg.gas for leg in legs])
        ceiling = [
            (at_min, max(0.0, in_depth_unit(ceiling_m, self.units)))
            for at_min, ceiling_m in schedule.ceiling
        ]
        self.sheet = ProfileSheet(frame, marks, self._stretches(marks), ceiling)
        self.taken = Sheet(
            Box(-LEFT_PX / 2, -TOP_PX * 0.45, frame.width_px + RIGHT_PX, frame.height_px - 3.0)
        )
        # the numerals of the depth axis
        self.taken.taken.append(Box(-LEFT_PX, 0.0, -2.0, frame.height_px))
        # the paper beside the water
        self.taken.taken.append(Box(frame.width_px, 0.0, 2 * frame.width_px, frame.height_px))
        for stretch in self.sheet.stretches:
            points = [(frame.x_px(at_min), frame.y_px(depth)) for at_min, depth in stretch.points]
            self.taken.draw_line(points, _LINE_ROOM_PX)
        self.taken.taken.append(Box(0.0, -1.5, frame.width_px, 1.5))  # the surface
        self.taken.draw_line(
            [(frame.x_px(at_min), frame.y_px(depth)) for at_min, depth in ceiling], 2.0, faint=True
        )
        for depth in frame.depth_ticks:
            y_px = frame.y_px(depth)
            self.taken.avoided.append(Box(0.0, y_px - 1.0, frame.width_px, y_px + 1.0))

    def _stretches(self, marks: dict[Mixture, GasMark]) -> list[Stretch]:
        stretches = []
        for gas, members in groupby(self.legs, key=lambda leg: leg.gas):
            run = list(members)
            corners = [(run[0].start_min, run[0].from_m)]
            corners += [(leg.end_min, leg.to_m) for leg in run]
            stretches.append(
                Stretch(
                    marks[gas].letter,
                    tuple((at_min, in_depth_unit(at_m, self.units)) for at_min, at_m in corners),
                )
            )
        return stretches

    def _place_px(self, at_min: float, at_m: float) -> tuple[float, float]:
        return self.frame.x_px(at_min), self.frame.y_px(in_depth_unit(at_m, self.units))

    def _write(self, style: str, text: str, places: Sequence[Box]) -> bool:
        box = self.taken.place(places)
        if box is not None:
            over_line = self.taken.breaks_line(box)
            self.sheet.words.append(Words(style, text, box.x_px, box.y_px, over_line))
        return box is not None

    def mark_gases(self) -> None:
        """Mark where each gas begins, and name it there."""
        starts = [(self.legs[0], False)]
        starts += [
            (leg, leg.pause or before.pause)
            for before, leg in pairwise(self.legs)
            if leg.gas != before.gas
        ]
        marked: list[tuple[Leg, bool, Box]] = []
        for leg, in_breaks in starts:
            box = Box.around(*self._place_px(leg.start_min, leg.from_m), *(2 * (2.3 * MARK_PX,)))
            if any(box.meets(other) for *_, other in marked):
                # marks would cover each other: the pattern tells, and no break is marked without
                # the gas that follows it
                if marked[-1][0].pause:
                    marked.pop()
                continue
            marked.append((leg, in_breaks, box))
        for leg, _, box in marked:
            letter = self.sheet.marks[leg.gas].letter
            self.sheet.gas_starts.append(Mark(letter, box.x_px, box.y_px))
        self.taken.taken.extend(box for *_, box in marked)
        for index, (leg, in_breaks, box) in enumerate(marked):
            if in_breaks and any(leg.gas == other.gas for other, *_ in marked[:index]):
                continue  # in and after breaks the letter is enough
            name = mixture_name(leg.gas) if leg.gas.o2 < 1.0 else "oxygen"
            if leg.setpoint_bar is not None:
                name = f"loop on {name}"
            order = "NE E SE" if index == 0 else "SE E S SW NE W"
            places = places_around(
                box.x_px, box.y_px, text_size_px(name, GAS_FONT_PX), MARK_PX + 6.0, order
            )
            self._write("gas", name, places)

    def label_levels(self) -> None:
        """Write each level's depth under it, and when it is left."""
        for leg in self.legs:
            if leg.kind is not LegKind.BOTTOM or leg.switching:
                continue
            x_px, y_px = self._place_px((leg.start_min + leg.end_min) / 2, leg.to_m)
            depth = f"{depth_text(leg.to_m, self.units)} {self.units.depth_unit}"
            size_px = text_size_px(depth, LEVEL_FONT_PX)
            places = [
                place
                for along_px in (0.0, 12.0, -12.0, 24.0, -24.0, 36.0, 48.0, 60.0)
                for place in places_around(x_px + along_px, y_px, size_px, 8.0, "S")
            ]
            if self._write("level", depth, places):
                below = self.sheet.words[-1]
                until = f"until {leg.end_min:g} min"
                foot_px = below.y_px + size_px[1] / 2
                size_px = text_size_px(until, SMALL_FONT_PX)
                places = [
                    place
                    for along_px in (0.0, 8.0, -8.0, 16.0, -16.0, 24.0)
                    for place in places_around(below.x_px + along_px, foot_px, size_px, 0.0, "S")
                ]
                self._write("small", until, places)
        end = self.legs[-1]
        x_px, y_px = self._place_px(end.end_min, 0.0)
        text = f"surface {minutes_up(end.end_min)} min"
        width_px, height_px = text_size_px(text, SMALL_FONT_PX)
        right_px = self.frame.width_px
        place = Box(right_px - width_px, y_px - 8.0 - height_px, right_px, y_px - 8.0)
        self._write("small", text, [place])

    def ring_hazards(self) -> None:
        """Ring each warning and danger; those in one place share a ring."""
        for hazard in self.hazards:
            if hazard.severity is Severity.NOTE:
                continue
            x_px, y_px = self._place_px(hazard.at_min, hazard.at_m)
            box = Box.around(x_px, y_px, 1.4 * RING_PX, 1.4 * RING_PX)
            near = next((members for other, members in self.rings if other.meets(box)), None)
            if near is None:
                self.rings.append((box, [hazard]))
            else:
                near.append(hazard)
        for box, members in self.rings:
            danger = any(hazard.severity is Severity.DANGER for hazard in members)
            severity = Severity.DANGER if danger else Severity.WARNING
            self.sheet.rings.append(Ring(severity, box.x_px, box.y_px))
            # narrower than the ring is wide, so that a label may stand at its shoulder
            for half_px in (RING_PX, 0.72 * RING_PX):
                other_px = RING_PX * RING_PX / half_px * 0.72
                size_px = (2.0 * half_px, 2.0 * min(other_px, RING_PX))
                self.taken.taken.append(Box.around(box.x_px, box.y_px, *size_px))

    def name_hazards_beneath(self) -> None:
        """Name the hazards at levels under their rings, where there is room."""
        levels = [leg for leg in self.legs if leg.kind is LegKind.BOTTOM]
        for box, members in self.rings:
            at_m = members[0].at_m
            if any(abs(leg.to_m - at_m) <= _SAME_DEPTH_M for leg in levels):
                self._name_ring(box, members, (RING_PX + 3.0,), "S")

    def name_hazards(self) -> None:
        """Name the other hazards at their rings."""
        for box, members in self.rings:
            gaps_px = tuple(RING_PX + more_px for more_px in (3.0, 18.0, 32.0, 46.0, 60.0))
            self._name_ring(box, members, gaps_px, "SE S SW E W NE N NW")

    def _name_ring(
        self, box: Box, members: Sequence[Hazard], gaps_px: Sequence[float], order: str
    ) -> None:
        if id(members) in self.named:
            return
        names = [hazard.code.replace("_", " ").replace("-", " ") for hazard in members]
        names = list(dict.fromkeys(names))
        text = names[0] if len(names) == 1 else f"{names[0]} and {len(names) - 1} more"
        size_px = text_size_px(text, SMALL_FONT_PX)
        places = [
            place
            for gap_px in gaps_px
            for place in places_around(box.x_px, box.y_px, size_px, gap_px, order)
        ]
        if self._write("caution", text, places):
            self.named.add(id(members))

    def label_outer_stops(self) -> None:
        """Write soundings at the first and the last stop."""
        stops = self._stops()
        for stop in dict.fromkeys((*stops[-1:], *stops[:1])):
            self._label_stop(stop, beside_mark=True)

    def label_stops(self) -> None:
        """Write soundings at the other stops, the longest first, where there is room."""
        for stop in sorted(self._stops()[1:-1], key=lambda stop: stop.start_min - stop.end_min):
            self._label_stop(stop)

    def _label_stop(self, stop: _Stop, *, beside_mark: bool = False) -> None:
        x_px, y_px = self._place_px((stop.start_min + stop.end_min) / 2, stop.depth_m)
        minutes = stop.end_min - stop.start_min
        span_px = self.frame.x_px(minutes)
        short = depth_text(stop.depth_m, self.units)
        full = f"{short} {self.units.depth_unit}, {minutes_up(minutes)} min"
        for text in (full, short):
            size_px = text_size_px(text, SOUNDING_FONT_PX)
            places = []
            if size_px[0] < span_px:
                places = [
                    place
                    for share in (0.0, 0.2, -0.2, 0.3, -0.3)
                    for place in places_around(x_px + share * span_px, y_px, size_px, 5.0, "S")
                ]
            elif text == short:
                places = places_around(x_px, y_px, size_px, 5.0, "S")
                places += places_around(x_px + span_px / 2, y_px, size_px, 7.0, "SE")
                if beside_mark:
                    places += places_around(x_px, y_px, size_px, MARK_PX + 5.0, "W NW SW E")
            if places and self._write("sounding", text, places):
                return

    def _stops(self) -> list[_Stop]:
        return [
            _Stop(run[0].start_min, run[-1].end_min, depth_m)
            for depth_m, run in self._flat_runs()
            if any(leg.kind is LegKind.STOP for leg in run)
        ]

    def _flat_runs(self) -> list[tuple[float, list[Leg]]]:
        runs: list[tuple[float, list[Leg]]] = []
        deepest_reached = False
        for leg in self.legs:
            deepest_reached = deepest_reached or leg.kind is LegKind.BOTTOM
            if abs(leg.from_m - leg.to_m) > _SAME_DEPTH_M or not deepest_reached:
                continue
            if leg.kind is LegKind.STOP and runs and abs(runs[-1][0] - leg.to_m) <= _SAME_DEPTH_M:
                runs[-1][1].append(leg)
            else:
                runs.append((leg.to_m, [leg]))
        return runs

    def label_ceiling(self) -> None:
        """Name the land above the ceiling where it is deep enough to hold the words."""
        width_px, height_px = text_size_px(_ABOVE, SMALL_FONT_PX)
        best: tuple[float, Box] | None = None
        places_px = [self.frame.x_px(at_min) for at_min, _ in self.sheet.ceiling]
        depths_px = [self.frame.y_px(depth) for _, depth in self.sheet.ceiling]
        half_px = width_px / 2 + 6.0
        for middle_px in range(0, int(self.frame.width_px), 4):
            first = bisect_left(places_px, middle_px - half_px)
            spans = depths_px[first : bisect_right(places_px, middle_px + half_px)]
            if not spans or min(spans) < height_px + 10.0:
                continue
            box = Box.around(middle_px, min(spans) / 2, width_px, height_px)
            if (best is None or min(spans) > best[0]) and self.taken.is_free(box):
                best = (min(spans), box)
        if best is not None:
            self._write("shore", _ABOVE, [best[1]])
