"""The tables of a standard as a file has them, and the rules that they come to."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from typing import Annotated, Final, Self

from pydantic import AfterValidator, BeforeValidator, Field, StringConstraints, model_validator

from slatewright.course.candidates import kind_word
from slatewright.course.rule_conditions import Condition, DepthWanted, OnGas, Within
from slatewright.course.rule_depths import DepthPair
from slatewright.course.rule_gases import GasKind, GasWanted
from slatewright.course.rule_logged import Said, WithPartner
from slatewright.course.rule_periods import Period
from slatewright.course.rules import AgeAsked, Asked, CardsAsked, DivesAsked, Rule
from slatewright.logs.logged import DEEPEST_M, Circuit, Role
from slatewright.toml.faults import Fault, refusal, refuse
from slatewright.toml.keys import key
from slatewright.toml.tables import PRINTABLE, Lines, Table, listed

_DEEPEST_FT: Final = 1150.0
_MANY: Final = 100_000
_LONGEST_ID: Final = 60
_PERCENT: Final = 100.0
_PERIODS: Final = "one of last_months, last_days, and since with until"

_ID: Final = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


def _id(text: str) -> str:
    if not _ID.fullmatch(text) or len(text) > _LONGEST_ID:
        raise refusal(
            f"'{text}' is no name", "small letters, figures and hyphens between them: deep-dives"
        )
    return text


Id = Annotated[str, AfterValidator(_id)]
"""A name of small letters, figures and hyphens."""
Sentence = Annotated[str, StringConstraints(min_length=1, max_length=300, pattern=PRINTABLE)]
"""A sentence or two."""


def depth_pair(metres: float | None, feet: float | None) -> DepthPair | None:
    """Return a pair of depths; None unless both are given.

    Parameters
    ----------
    metres
        The depth for logs in metres [m].
    feet
        The depth for logs in feet [ft].
    """
    return None if metres is None or feet is None else DepthPair(metres, feet)


def half_pairs(table: Table, *names: str) -> Iterator[Fault]:
    """Yield a fault for each depth that stands in one unit only.

    Parameters
    ----------
    table
        The table.
    names
        The depths, without their units.
    """
    for name in names:
        for own, other in ((f"{name}_m", f"{name}_ft"), (f"{name}_ft", f"{name}_m")):
            if getattr(table, own) is not None and getattr(table, other) is None:
                yield Fault(
                    (own,), f"stands alone: a rule needs {other} as well",
                    "both, since each dive is judged in the unit in which it was logged: "
                    f"{name}_m = 30 and {name}_ft = 100",
                )  # fmt: skip


class CountTable(Table):
    """What each dive has to be, all of it, and how many are needed."""

    dives: Annotated[int | None, key("how many logged dives are needed", "100", ge=1, le=_MANY)] = (
        None
    )
    from_m: Annotated[
        float | None,
        key("dives at this depth or deeper, logged in metres", "30", unit="m", gt=0, le=DEEPEST_M),
    ] = None
    from_ft: Annotated[
        float | None,
        key("the same for dives logged in feet", "100", unit="ft", gt=0, le=_DEEPEST_FT),
    ] = None
    to_m: Annotated[
        float | None,
        key(
            "dives at this depth or shallower, logged in metres", "60", unit="m", gt=0, le=DEEPEST_M
        ),
    ] = None
    to_ft: Annotated[
        float | None,
        key("the same for dives logged in feet", "200", unit="ft", gt=0, le=_DEEPEST_FT),
    ] = None
    gas: Annotated[
        tuple[Annotated[GasKind, Field(strict=False)], ...],
        BeforeValidator(listed),
        key("kinds of gas, of which one is enough", '["trimix"]', strict=False),
    ] = ()
    helium_least_pct: Annotated[
        float | None, key("with at least so much helium", "40", unit="pct", ge=0, le=100)
    ] = None
    helium_most_pct: Annotated[
        float | None, key("with at most so much helium", "60", unit="pct", ge=0, le=100)
    ] = None
    oxygen_least_pct: Annotated[
        float | None, key("with at least so much oxygen", "50", unit="pct", ge=0, le=100)
    ] = None
    oxygen_most_pct: Annotated[
        float | None, key("with at most so much oxygen", "18", unit="pct", ge=0, le=100)
    ] = None
    last_months: Annotated[
        int | None, key("dives of the last so many months", "12", ge=1, le=120)
    ] = None
    last_days: Annotated[int | None, key("dives of the last so many days", "90", ge=1, le=3660)] = (
        None
    )
    since: Annotated[date | None, key("dives from this day on", "2030-01-01")] = None
    until: Annotated[date | None, key("dives up to this day", "2030-12-31")] = None
    partner: Annotated[
        Lines,
        key(
            'with any of these: names, "the instructor" or "a course partner"',
            '["the instructor"]', strict=False,
        ),
    ] = ()  # fmt: skip
    role: Annotated[Role | None, key("in this part", '"diver"', strict=False)] = None
    circuit: Annotated[
        Circuit | None, key("open or closed circuit", '"open circuit"', strict=False)
    ] = None
    decompression: Annotated[bool | None, key("with or without stops needed", "true")] = None
    equipment: Annotated[
        Lines, key("with all of this equipment", '["twinset", "stage"]', strict=False)
    ] = ()

    def conditions(self) -> tuple[Condition, ...]:
        """Return what each dive has to be."""
        found: list[Condition] = []
        least, most = (
            depth_pair(self.from_m, self.from_ft),
            depth_pair(self.to_m, self.to_ft),
        )
        if least or most:
            found.append(DepthWanted(least=least, most=most))
        if any(value is not None for value in self._bounds()) or self.gas:
            he_least, he_most, o2_least, o2_most = self._bounds()
            found.append(
                OnGas(
                    GasWanted(
                        kinds=self.gas,
                        he_least=(he_least or 0.0) / _PERCENT,
                        he_most=(_PERCENT if he_most is None else he_most) / _PERCENT,
                        o2_least=(o2_least or 0.0) / _PERCENT,
                        o2_most=(_PERCENT if o2_most is None else o2_most) / _PERCENT,
                    )
                )
            )
        if self.partner:
            found.append(WithPartner(self.partner))
        said = (
            Said(role=self.role),
            Said(circuit=self.circuit),
            Said(decompression=self.decompression),
            Said(equipment=self.equipment),
        )
        found += [one for one in said if one != Said()]
        if self.last_months or self.last_days or self.since or self.until:
            months, days = self.last_months or 0, self.last_days or 0
            period = Period(months=months, days=days, since=self.since, until=self.until)
            found.append(Within(period))
        return tuple(found)

    def _bounds(self) -> tuple[float | None, float | None, float | None, float | None]:
        return (
            self.helium_least_pct,
            self.helium_most_pct,
            self.oxygen_least_pct,
            self.oxygen_most_pct,
        )

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        refuse(type(self).__name__, self.faults())
        return self

    def faults(self) -> Iterator[Fault]:
        """Yield what contradicts itself."""
        yield from half_pairs(self, "from", "to")
        for unit in ("m", "ft"):
            low, high = getattr(self, f"from_{unit}"), getattr(self, f"to_{unit}")
            if low is not None and high is not None and low > high:
                yield Fault((f"to_{unit}",), f"{high:g} {unit} is shallower than from_{unit}",
                            f"{low:g} {unit} or more")  # fmt: skip
        he_least, he_most, o2_least, o2_most = self._bounds()
        for gas, least, most in (("helium", he_least, he_most), ("oxygen", o2_least, o2_most)):
            if least is not None and most is not None and least > most:
                yield Fault((f"{gas}_most_pct",), f"{most:g} % is less than {gas}_least_pct",
                            f"{least:g} % or more")  # fmt: skip
        if (he_least or 0.0) + (o2_least or 0.0) > _PERCENT:
            yield Fault(("oxygen_least_pct",), "no gas has so much of both", "100 % in all")
        fixed = self.since is not None or self.until is not None
        if (self.last_months is not None) + (self.last_days is not None) + fixed > 1:
            where = "last_days" if self.last_days is not None else "last_months"
            yield Fault((where,), "is a second period for the same dives", _PERIODS)
        if self.since and self.until and self.since > self.until:
            yield Fault(("until",), f"{self.until} is before since", f"{self.since} or later")
        if self.dives is None and self.describes():
            yield Fault((), "describes dives and does not say how many", "dives = 25")

    def describes(self) -> bool:
        """Return whether anything but the number of dives is said of them."""
        return any(getattr(self, name) not in {None, ()} for name in _DESCRIBING)


_DESCRIBING: Final = tuple(name for name in CountTable.model_fields if name != "dives")


class WayTable(CountTable):
    """What is asked, all of it: an age, certificates, dives, and some of these dives."""

    age_years: Annotated[int | None, key("at least so old", "18", unit="", ge=10, le=99)] = None
    certificates_any: Annotated[
        Lines, key("a certificate for any of these", '["trimix"]', strict=False)
    ] = ()
    certificates_all: Annotated[
        Lines, key("certificates for each of these", '["trimix", "decompression"]', strict=False)
    ] = ()
    of_which: Annotated[
        tuple[CountTable, ...],
        key("of these dives so many are to be ...", "[[rule.of_which]] with dives = 25 and from_m",
            strict=False),
    ] = ()  # fmt: skip

    def says_anything(self) -> bool:
        """Return whether anything is asked, or described."""
        cards = self.certificates_any or self.certificates_all
        return bool(self.age_years or cards or self.dives or self.of_which or self.describes())

    def asked(self) -> tuple[Asked, ...]:
        """Return what is asked."""
        found: list[Asked] = [AgeAsked(self.age_years)] if self.age_years is not None else []
        for kinds, every in ((self.certificates_any, False), (self.certificates_all, True)):
            if kinds:
                found.append(CardsAsked(tuple(map(kind_word, kinds)), every))
        if self.dives is not None:
            found.append(DivesAsked(self.dives, self.conditions()))
        found += [
            DivesAsked(part.dives or 0, self.conditions() + part.conditions())
            for part in self.of_which
        ]
        return tuple(found)

    def faults(self) -> Iterator[Fault]:
        """Yield what contradicts itself."""
        yield from super().faults()
        for i, part in enumerate(self.of_which):
            inner = ("of_which", i)
            if self.dives is None:
                yield Fault(inner, "is a part of dives that are not asked", "dives in the rule")
            elif part.dives is None and not part.describes():
                yield Fault(inner, "asks nothing", "dives = 25 with from_m and from_ft")
            elif (part.dives or 0) > self.dives:
                yield Fault((*inner, "dives"), f"{part.dives} are more than the {self.dives} "
                            "of which they are a part", f"{self.dives} or fewer")  # fmt: skip
        for name in ("certificates_any", "certificates_all"):
            kinds = list(map(kind_word, getattr(self, name)))
            if len(set(kinds)) < len(kinds):
                yield Fault((name,), "names one kind twice", "each kind once")


class RuleTable(WayTable):
    """``[[rule]]``: a rule that a candidate has to meet."""

    id: Annotated[Id, key("its name, to which waivers refer", '"deep-dives"')]
    says: Annotated[Sentence, key("the rule in a sentence", '"25 dives to 30 m / 100 ft"')]
    one_of: Annotated[
        tuple[WayTable, ...],
        key("ways of which one is enough", "[[rule.one_of]] with dives = 150", strict=False),
    ] = ()

    def faults(self) -> Iterator[Fault]:
        """Yield what contradicts itself."""
        yield from super().faults()
        if self.one_of and self.says_anything():
            yield Fault(("one_of",), "stands beside something that the rule asks itself",
                        "all of it inside [[rule.one_of]], or a rule of its own")  # fmt: skip
        if len(self.one_of) == 1:
            yield Fault(("one_of",), "leaves no choice", "two ways or more")
        for i, way in enumerate(self.one_of):
            if not way.says_anything():
                yield Fault(("one_of", i), "asks nothing", _ASKS)
        if not self.one_of and not self.says_anything():
            yield Fault((), "asks nothing", _ASKS)

    def rule(self) -> Rule:
        """Return the rule."""
        ways = tuple(way.asked() for way in self.one_of) if self.one_of else (self.asked(),)
        return Rule(self.id, self.says, ways)


_ASKS: Final = "age_years, certificates_any, certificates_all or dives"
