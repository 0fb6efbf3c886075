"""One fill as its card shows it: what to do, what to read, what to expect, what was analysed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from markupsafe import Markup

from slatewright.cautions import STEP_DRAINED, STEP_RICH
from slatewright.desk.fill.drawing import cylinder_picture
from slatewright.desk.fill.entering import analysis_seen
from slatewright.desk.fill.ticks import Ticks, mark_of
from slatewright.desk.fill.verdict import VerdictSeen, verdict_of
from slatewright.desk.fill.work import Work
from slatewright.desk.workings import Shown
from slatewright.dive.house_rules import HouseRules
from slatewright.fill.receiver import RICH_O2
from slatewright.fill.session import DoneFill, Session
from slatewright.fill.steps import Step, StepKind
from slatewright.paper.fill_words import (
    body_words,
    holds_words,
    spread_words,
    step_words,
    target_words,
)
from slatewright.paper.reading import free_text, gauge_text, temperature_text
from slatewright.physics.units import UnitSystem


@dataclass(frozen=True, slots=True)
class TickSeen:
    """The box beside a step.

    Parameters
    ----------
    state
        ``done``, ``next`` or ``later``.
    at
        When it was ticked off, as a time of day; empty if it was not.
    done
        How many steps are done once it is pressed.
    may
        Whether it may be pressed: the next step, and the last one done to undo it.
    """

    state: str
    at: str
    done: int
    may: bool


@dataclass(frozen=True, slots=True)
class StepSeen:
    """One step.

    Parameters
    ----------
    number
        Counted from 1.
    act
        What is opened, or ``drain``; of the last, that it rests.
    reading
        What the gauge reads then.
    rise
        By how much it has risen, with a sign; empty if that says nothing.
    amount
        How much goes in, or out; None for the last.
    valves
        Which cylinders of a bank, in order, a sentence each.
    caution
        What has to be heeded right here; empty if nothing more than everywhere.
    matters_most
        Whether an error here shows in the mix most.
    tick
        Its box.
    """

    number: int
    act: str
    reading: Shown
    rise: str
    amount: Shown | None
    valves: tuple[str, ...]
    caution: str
    matters_most: bool
    tick: TickSeen


@dataclass(frozen=True, slots=True)
class Expected:
    """What the analyser should say of one gas.

    Parameters
    ----------
    gas
        Its name.
    share
        The share expected.
    accepted
        Between which readings it is accepted.
    """

    gas: str
    share: Shown
    accepted: str


@dataclass(frozen=True, slots=True)
class FillCard:
    """One fill.

    Parameters
    ----------
    number
        Its place, counted from 1.
    mark
        What its ticks are kept under.
    name, target
        The cylinder, and what it is to hold.
    body, holds
        What the cylinder is, and what is in it.
    test, clean
        Its test date and whether it is clean for oxygen, as known.
    cautions
        What has to be looked at before a valve is opened.
    picture
        Before and after, as SVG.
    warm, cool
        The temperatures of readings and of settled pressures.
    start
        What the gauge shows before the first step.
    steps
        What is done; the last is the rest. Empty if it holds what it should.
    done
        How many are done.
    expected
        What the analyser should say.
    certain
        How certain that is, in words; empty if nothing can be said.
    sure
        Whether it is certain enough.
    spread
        How far 95 of 100 such fills are off in oxygen; None if nothing can be said.
    cost
        What it costs; None without prices.
    verdict
        What came of its analysis; None if it was not analysed.
    seen
        The moment of the analysis that the page shows; empty if there is none.
    gauge_asked
        What the gauge should show settled, to begin the entry with.
    """

    number: int
    mark: str
    name: str
    target: str
    body: str
    holds: str
    test: str
    clean: str
    cautions: tuple[str, ...]
    picture: Markup
    warm: str
    cool: str
    start: Shown
    steps: tuple[StepSeen, ...]
    done: int
    expected: tuple[Expected, ...]
    certain: str
    sure: bool
    spread: Shown | None
    cost: Shown | None
    verdict: VerdictSeen | None
    seen: str
    gauge_asked: str


def cards_of(
    work: Work, ticks: Ticks, how: str, rules: HouseRules, *, planned: bool
) -> tuple[FillCard, ...]:
    """Return the cards of a file.

    Parameters
    ----------
    work
        The fills.
    ticks
        What was ticked off.
    how
        The path under which its accounts are served.
    rules
        The house rules, for labels without a plan.
    planned
        Whether a plan is chosen, whose limits count then.
    """
    session = work.session
    if session is None:
        return ()
    return tuple(
        _card(index, fill, session, ticks, f"{how}/fill/{index}", verdict)
        for index, fill in enumerate(session.fills)
        for verdict in (verdict_of(work, fill.blend.receiver.label, rules, planned=planned),)
    )


def _card(
    index: int,
    fill: DoneFill,
    session: Session,
    ticks: Ticks,
    account: str,
    verdict: VerdictSeen | None,
) -> FillCard:
    blend, units = fill.blend, session.file.units
    label, mark = blend.receiver.label, mark_of(fill)
    times = ticks.get(mark, [])
    return FillCard(
        number=index + 1,
        mark=mark,
        name=label,
        target=target_words(blend.target, fill.gauge_bar, units),
        body=body_words(blend.receiver, session),
        holds=holds_words(fill, units),
        test=str(blend.receiver.test_due or "not known"),
        clean={True: "yes", False: "no", None: "not known"}[blend.receiver.oxygen_clean],
        cautions=tuple(c.removeprefix(f"{label}: ") for c in fill.cautions),
        picture=cylinder_picture(blend, units, f"vessel-{index}"),
        warm=temperature_text(blend.fill_temperature_k, units),
        cool=temperature_text(blend.reference_temperature_k, units),
        start=_start(fill, units, account),
        steps=tuple(_steps(fill, units, times, account)),
        done=len(times),
        expected=_expected(fill, session, account),
        certain="" if fill.spread is None else spread_words(fill.spread, blend),
        sure=fill.spread is not None and fill.spread.stays_inside,
        spread=_spread(fill, account),
        cost=None
        if blend.bill is None
        else Shown(f"{blend.bill.total:,.2f}", blend.bill.currency, account=f"{account}/cost"),
        verdict=verdict,
        seen=analysis_seen(session.file, label),
        gauge_asked=gauge_text(blend.settled_gauge_bar, units).removesuffix(".0"),
    )


def _start(fill: DoneFill, units: UnitSystem, account: str) -> Shown:
    blend = fill.blend
    if blend.receiver.contents is None:
        return Shown("vacuum")
    reading = gauge_text(blend.start_gauge_bar, units)
    return Shown(reading, units.pressure_unit, account=f"{account}/reading/0")


def _steps(fill: DoneFill, units: UnitSystem, times: list[str], account: str) -> list[StepSeen]:
    blend, done = fill.blend, len(times)
    if not blend.steps:
        return []
    worst = 0 if fill.spread is None else fill.spread.worst_step
    seen = []
    for number, (step, said) in enumerate(
        zip(blend.steps, step_words(blend, units), strict=True), 1
    ):
        out = step.kind is StepKind.DRAIN
        seen.append(
            StepSeen(
                number=number,
                act="drain" if out else said.act,
                reading=Shown(
                    said.reading, units.pressure_unit, account=f"{account}/reading/{number}"
                ),
                rise=said.rise,
                amount=Shown(free_text(step.free_l, units), account=f"{account}/amount/{number}"),
                valves=said.valves,
                caution=_caution(step),
                matters_most=number == worst,
                tick=_ticked(number, done, times),
            )
        )
    last = len(seen) + 1
    settled = gauge_text(blend.settled_gauge_bar, units)
    seen.append(
        StepSeen(
            number=last,
            act=f"rest: settles at {temperature_text(blend.reference_temperature_k, units)}",
            reading=Shown(settled, units.pressure_unit, account=f"{account}/settled"),
            rise="",
            amount=None,
            valves=(),
            caution="",
            matters_most=False,
            tick=_ticked(last, done, times),
        )
    )
    return seen


def _ticked(number: int, done: int, times: list[str]) -> TickSeen:
    ticked = number <= done
    return TickSeen(
        state="done" if ticked else "next" if number == done + 1 else "later",
        at=f"{datetime.fromisoformat(times[number - 1]).astimezone():%H:%M}" if ticked else "",
        done=number - 1 if ticked else number,
        may=number in {done, done + 1},
    )


def _caution(step: Step) -> str:
    if step.kind is StepKind.DRAIN:
        return STEP_DRAINED
    return STEP_RICH if step.gas.o2 > RICH_O2 else ""


def _expected(fill: DoneFill, session: Session, account: str) -> tuple[Expected, ...]:
    blend = fill.blend
    low, high = session.room.tolerance.around(blend.target)
    shares = (blend.mix.o2, blend.mix.he)
    return tuple(
        Expected(
            gas,
            Shown(f"{share * 100.0:.1f}", "%", account=f"{account}/mix"),
            f"{least * 100.0:.1f} to {most * 100.0:.1f}",
        )
        for gas, share, least, most in zip(("oxygen", "helium"), shares, low, high, strict=True)
    )


def _spread(fill: DoneFill, account: str) -> Shown | None:
    if fill.spread is None:
        return None
    o2, he = (f"{share * 100.0:.1f}" for share in fill.spread.wide)
    return Shown(f"{o2} and {he}", "points", account=f"{account}/spread")
