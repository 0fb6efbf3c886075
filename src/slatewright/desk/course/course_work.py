"""Courses computed and kept: what a text, its plans and the house rules lead to is done once."""

from __future__ import annotations

import hashlib
import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Final, Generic, TypeVar

from slatewright.course.buildup import BuildUp, build_up
from slatewright.course.buildup_course import course_of
from slatewright.course.buildup_skills import CourseSkills, judged, load_by, skills_of
from slatewright.course.buildup_timeline import Solver
from slatewright.course.coursefile import CourseFile, read_course_text
from slatewright.course.proposal import Proposal, propose
from slatewright.course.signoff_standing import shown_by_all, standing
from slatewright.course.skill_schedule import Proposal as Spread
from slatewright.course.skillfile import shipped_skills
from slatewright.course.skills import SkillLibrary
from slatewright.desk.course.plans import plans_of
from slatewright.desk.ledger.finding import find
from slatewright.desk.ledger.keeping import Part, ledger_text
from slatewright.dive.house_rules import HouseRules
from slatewright.ledger.ratesfile import parse_rates
from slatewright.store.courses import KeptCourse
from slatewright.store.session import Session
from slatewright.store.sign_offs import book_of

if TYPE_CHECKING:  # gas takes its time to import
    from slatewright.course.buildup_gas import CourseGas
    from slatewright.fill.room import Room

T = TypeVar("T")
_KEPT: Final = 16
_KEY_LETTERS: Final = 16


class _Kept(Generic[T]):
    """The last things that were made, by what they came from."""

    def __init__(self) -> None:
        self._kept: OrderedDict[object, T] = OrderedDict()
        self._lock = threading.Lock()

    def __contains__(self, key: object) -> bool:
        with self._lock:
            return key in self._kept

    def made(self, key: object, make: Callable[[], T]) -> T:
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]
        made = make()  # two at once make it twice, and get the same
        with self._lock:
            self._kept[key] = made
            while len(self._kept) > _KEPT:
                self._kept.popitem(last=False)
        return made


@dataclass(frozen=True)
class Work:
    """A course, computed.

    Parameters
    ----------
    text
        Its text.
    file
        What it says.
    built
        Its build-up; gas is not in it.
    rules
        The house rules.
    key
        What it depends on, in some letters.
    """

    text: str
    file: CourseFile
    built: BuildUp
    rules: HouseRules
    key: str


_WORKS: Final[_Kept[Work]] = _Kept()
_SOLVERS: Final[_Kept[Solver]] = _Kept()
_ORDERS: Final[_Kept[Proposal]] = _Kept()
_SPREADS: Final[_Kept[Spread]] = _Kept()
_GASES: Final[_Kept[CourseGas]] = _Kept()


@cache
def library() -> SkillLibrary:
    """Return the skills that come with the program."""
    return shipped_skills()


def _plans(session: Session, file: CourseFile) -> tuple[tuple[bool, str, str], ...]:
    """Return the plans of a course with their texts, in the order of the file."""
    resolve = plans_of(session)
    words = [(False, dive.plan) for dive in file.dive]
    words += [(True, dive.plan) for dive in file.elsewhere]
    return tuple((elsewhere, word, resolve(word)) for elsewhere, word in words)


def _solver_key(
    file: CourseFile, plans: tuple[tuple[bool, str, str], ...], rules: HouseRules
) -> tuple[object, ...]:
    """Return all that a solver keeps of a course: everything of its dives but when they begin."""
    names = tuple(table.name for _, _, table in file.people())
    own = tuple((dive.who, dive.new, dive.skills, dive.simulated) for dive in file.dive)
    return (rules, plans, names, own, tuple(dive.who for dive in file.elsewhere))


def is_quick(session: Session, text: str, rules: HouseRules) -> bool:
    """Return whether a course will be there at once: its dives were solved before, or have faults.

    Parameters
    ----------
    session
        A session, for the plans.
    text
        The text of the course.
    rules
        The house rules.

    Raises
    ------
    InputError
        If the text has faults, or a plan is not there.
    """
    file = read_course_text(text)
    plans = _plans(session, file)
    # a course may outlive the solver that it came from: each is kept as long as it is asked for
    return (text, plans, rules) in _WORKS or _solver_key(file, plans, rules) in _SOLVERS


def work_of(session: Session, text: str, rules: HouseRules) -> Work:
    """Return a course, computed.

    Parameters
    ----------
    session
        A session, for the plans.
    text
        The text of the course.
    rules
        The house rules.

    Raises
    ------
    InputError
        If the text or a plan has faults, each with its line.
    """
    file = read_course_text(text)
    plans = _plans(session, file)
    texts = {word: plan for _, word, plan in plans}

    def make() -> Work:
        course = course_of(file, texts.__getitem__, text=text)
        # dives keep their numbers when they are moved, so what was solved for one order serves all
        key = _solver_key(file, plans, rules)
        solver = _SOLVERS.made(key, lambda: Solver(rules))
        built = build_up(course, rules, load=load_by(library()), solver=solver)
        mark = hashlib.sha256(repr((text, plans, rules)).encode()).hexdigest()
        return Work(text, file, built, rules, mark[:_KEY_LETTERS])

    return _WORKS.made((text, plans, rules), make)


def order_of(work: Work) -> Proposal:
    """Return the order, days and hours that are proposed.

    Parameters
    ----------
    work
        The course.

    Raises
    ------
    InputError
        If there are too many dives.
    """
    return _ORDERS.made(
        work.key,
        lambda: propose(work.built.course, Solver(work.rules), load=load_by(library())),
    )


def skills_at(session: Session, course: KeptCourse, work: Work) -> CourseSkills:
    """Return the skills of a course, with what its sign-off book has.

    Parameters
    ----------
    session
        A session, for the book.
    course
        The course as it is kept.
    work
        The course, computed.
    """
    book = book_of(session, course.id)
    students = {person.name for person in work.built.course.students}
    divers = {one.text: digest for digest, one in book.texts.items() if one.text in students}
    whole = set(divers) == students
    shown = shown_by_all(standing(book.entries), divers.values()) if whole else frozenset()
    known = {skill for skill in shown if skill in library().by_id}
    return skills_of(work.built, library(), work.rules, known)


def judged_at(session: Session, course: KeptCourse, work: Work) -> BuildUp:
    """Return the build-up of a course with what is found of its skills.

    Parameters
    ----------
    session
        A session, for the sign-off book.
    course
        The course as it is kept.
    work
        The course, computed.
    """
    return judged(work.built, skills_at(session, course, work))


def spread_of(work: Work, skills: CourseSkills, *, everything: bool) -> Spread:
    """Return the spread of skills over the dives that is proposed.

    Parameters
    ----------
    work
        The course, computed.
    skills
        Its skills.
    everything
        True for the whole list of skills, False for those that the course names.
    """
    from slatewright.course.skill_schedule import propose_skills  # noqa: PLC0415 - as it is used

    wanted = None if everything else skills.named
    shown = frozenset(skills.brought)
    return _SPREADS.made(
        (work.key, shown, everything),
        lambda: propose_skills(skills.dives, skills.library, shown=shown, wanted=wanted),
    )


def priced_room(session: Session) -> tuple[str, Room]:
    """Return the fill room that the ledger's rates name, with its prices.

    Parameters
    ----------
    session
        A session.

    Raises
    ------
    InputError
        If there is none, or it has no price list.
    """
    said = parse_rates(ledger_text(session, Part.RATES).text)
    return said.fill_room, find(session, (), said.fill_room).fill_room()


def gas_at(work: Work, room: Room | None) -> CourseGas:
    """Return the gas of a course.

    Parameters
    ----------
    work
        The course.
    room
        The fill room with its prices; None for amounts alone.
    """
    from slatewright.course.buildup_gas import gas_of  # noqa: PLC0415 - 0.3 s to import

    return _GASES.made(
        (work.key, repr(room)),
        lambda: gas_of(
            work.built.timeline, work.rules, prices=room.prices if room else None, room=room
        ),
    )
