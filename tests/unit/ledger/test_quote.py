"""A quote, against sums by hand; and the files that it is read from."""

from __future__ import annotations

import re
import shutil
from decimal import Decimal
from pathlib import Path

import pytest

from slatewright.dive.house_rules import HouseRules
from slatewright.errors import InputError, PlanFileError
from slatewright.ledger.gas import gas_of_plan, room_of, with_helium
from slatewright.ledger.quote import Item, Payer, what_if
from slatewright.ledger.quotefile import parse_quote, quote_of
from slatewright.ledger.ratesfile import read_rates
from slatewright.ledger.waysfile import read_ways

EXAMPLES = Path(__file__).parents[3] / "examples"
LEDGER = EXAMPLES / "ledger"


@pytest.fixture(scope="module")
def week():
    return quote_of(LEDGER / "quote.toml", HouseRules())


@pytest.fixture
def folder(tmp_path):
    shutil.copytree(EXAMPLES, tmp_path / "examples")
    return tmp_path / "examples" / "ledger"


def line(quote, item):
    (found,) = [line for line in quote.lines if line.what == item]
    return found


def test_lines_by_hand(week):
    assert line(week, Item.BOAT).total == Decimal(5 * 640)
    assert line(week, Item.TUITION).total == Decimal(7 * 390)
    assert line(week, Item.LODGING).total == Decimal(2 * 8 * 72)
    assert line(week, Item.MATERIALS).total == Decimal(2 * 110)
    hire = [each.total for each in week.lines if each.what == Item.HIRE]
    assert sum(hire) == 7 * (3 * 9 + 9 * 8 + 3 * 7 + 3 * 14 + 3 * 19)
    assert line(week, Item.FILLING).total == week.gas.fills * Decimal(6)


def test_gas_is_what_the_fill_room_orders(week):
    helium = sum(
        offer.price * count + offer.hire * count for offer, count in week.gas.order.helium.kinds
    )
    oxygen = sum(
        offer.price * count + offer.hire * count for offer, count in week.gas.order.oxygen.kinds
    )
    assert week.gas.bought == helium + oxygen
    gas = line(week, Item.STUDENT_GAS).total + line(week, Item.STAFF_GAS).total
    assert gas == week.gas.total
    assert line(week, Item.STAFF_GAS).payer is Payer.TOGETHER  # the instructor's gas is on the bill


def test_no_cent_is_lost(week):
    paid = sum(week.per_student) + week.paid_by(Payer.SCHOOL)
    assert paid == week.total == sum(each.total for each in week.lines)


def test_dearer_helium_and_more_students_cost_more():
    rules = HouseRules()
    rates = read_rates(LEDGER / "rates.toml")
    file = parse_quote((LEDGER / "quote.toml").read_text())
    asked = file.asked(lambda name: gas_of_plan(LEDGER / name, rules))
    quotes = what_if(
        asked,
        rates,
        room_of(rates.fill_room),
        students=(1, 2),
        helium_factors=(Decimal(1), Decimal(2)),
    )
    assert quotes[1, Decimal(1)].total < quotes[2, Decimal(1)].total < quotes[2, Decimal(2)].total
    assert quotes[1, Decimal(1)].per_student[0] > quotes[2, Decimal(1)].per_student[0]
    assert quotes[2, Decimal(1)].total == quote_of(LEDGER / "quote.toml", rules).total


def test_helium_twice_as_dear_is_so_for_litres_and_cylinders():
    room = room_of(read_rates(LEDGER / "rates.toml").fill_room)
    dear = with_helium(room, Decimal(2))
    for offer, other in zip(room.prices.offers, dear.prices.offers, strict=True):
        assert other.price == offer.price * (2 if offer.gas == "helium" else 1)
    assert dear.prices.gases["helium"].per_free_l == 2 * room.prices.gases["helium"].per_free_l
    assert dear.prices.gases["oxygen"] == room.prices.gases["oxygen"]


def test_two_currencies_are_refused(folder):
    rates = folder / "rates.toml"
    rates.write_text(rates.read_text().replace('"EUR"', '"NOK"'))
    with pytest.raises(InputError, match=r"NOK.*EUR"):
        quote_of(folder / "quote.toml", HouseRules())


@pytest.mark.parametrize(
    ("name", "old", "new", "said"),
    [
        ("rates.toml", "date = 2031-04-20", "date = 2032-04-20", "before the day of the list"),
        ("rates.toml", "absorbent_min = 180\n", "", "how long a filling"),
        ("rates.toml", "deepest_m = 60", "deepest_m = 30", "no deeper"),
        ("rates.toml", 'size = "stage 7"', 'size = "stage 7.77"', "stage 7.77"),
        ("rates.toml", "boat = 640", "boat = -640", "out of range"),
        ("quote.toml", "students = 2", "students = 0", "out of range"),
        ("quote.toml", "boat_days = 5", "boat_days = 9", "more than there are"),
        ("quote.toml", 'paid_by = "the school"', 'paid_by = "somebody"', "none of the choices"),
        ("ways.toml", "run_min = 75\n", "", "run_min.*is missing"),
        ("ways.toml", "change_after_months = 18", "change_after_months = 99", "beyond the 5 years"),
        ("ways.toml", 'open = "../build-up-week/6-the-wall.toml"', "", "a plan or its gas"),
    ],
)
def test_a_fault_is_told_with_its_line(folder, name, old, new, said):
    path = folder / name
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new, 1))
    readers = {
        "rates.toml": read_rates,
        "quote.toml": lambda path: parse_quote(path.read_text(), path),
        "ways.toml": lambda path: read_ways(path, HouseRules()),
    }
    with pytest.raises(PlanFileError) as found:
        readers[name](path)
    assert re.search(said, str(found.value))
    assert found.value.line


def test_a_room_without_prices_is_refused(folder):
    room = folder.parent / "fill-room" / "the-week.toml"
    text = (
        room.read_text()
        .replace('prices = "prices.toml"\n', "")
        .replace('"least cost"', '"least helium"')
    )
    room.write_text(text)
    with pytest.raises(InputError, match="names no price list"):
        room_of(room)


def test_the_example_comparison_says_what_it_costs():
    ways = read_ways(LEDGER / "ways.toml", HouseRules())
    assert ways.dives_per_year == 48
    slope, wall = ways.kinds[1:]
    assert slope.deepest_m == 66  # the deeper of both plans
    assert slope.closed.first_helium > slope.closed.helium > 0  # bailout is filled once
    assert wall.deepest_m == 96
    assert wall.open.helium > wall.closed.helium > 0
    assert wall.closed.other >= Decimal("8.20") * Decimal("2.6")  # a whole filling of absorbent
    assert not ways.open_gear.price
