"""Money: decimals to the cent, what is charged and what is not, price lists and their faults."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from slatewright.errors import InputError, PlanFileError
from slatewright.fill.pricefile import read_prices
from slatewright.fill.prices import Offer, decimal_of, sum_of
from slatewright.physics.amount import HELIUM
from slatewright.physics.mixture import AIR, OXYGEN, Mixture
from slatewright.physics.real_gas import free_gas_mol
from slatewright.physics.units import LITRES_PER_CUBIC_FOOT
from unit.fill.fillroom import DAY, PRICES

EXAMPLE = Path(__file__).parents[3] / "examples" / "fill-room" / "prices.toml"
HEAD = 'schema = "slatewright/prices/1"\ncurrency = "EUR"\ndate = 2031-04-20\n'


def litres(gas, free_l):
    return (gas, free_gas_mol(gas, free_l))


def test_a_bill_by_hand():
    bill = PRICES.bill([litres(HELIUM, 1000.0), litres(OXYGEN, 150.0), litres(AIR, 900.0)])
    costs = {line.gas: line.cost for line in bill.lines}
    assert costs == {"helium": Decimal("62.00"), "oxygen": Decimal("1.65"), "air": Decimal("5.00")}
    assert bill.total == Decimal("68.65")


def test_no_binary_fraction_gets_into_money():
    assert decimal_of(0.1) + decimal_of(0.2) == Decimal("0.3")
    lines = PRICES.bill([litres(HELIUM, 1234.5)]).lines
    assert lines[0].cost == Decimal("76.54")  # 76.539 rounded half up


def test_half_a_cent_rounds_up():
    assert PRICES.cost_of_free_l("oxygen", 95.0) == Decimal("1.05")  # 1.045


def test_a_ready_mixture_is_charged_by_what_was_added_to_air():
    mix = Mixture(0.36)  # 64 % nitrogen brought 64·21/79 = 17.01 % oxygen
    bill = PRICES.bill([litres(mix, 1000.0)])
    charged = {line.gas: float(line.free_l) for line in bill.lines}
    assert charged["oxygen"] == pytest.approx(360.0 - 640.0 * 21 / 79, abs=0.5)
    assert charged["air"] == pytest.approx(640.0 / 0.79, abs=0.5)
    assert "helium" not in charged


def test_air_brings_oxygen_that_nobody_pays():
    assert [line.gas for line in PRICES.bill([litres(AIR, 1000.0)]).lines] == ["air"]


def test_bills_add_up():
    bills = [PRICES.bill([litres(HELIUM, 100.0), litres(AIR, 10.0)])] * 3
    whole = sum_of(bills)
    assert whole.total == 3 * bills[0].total
    assert {line.gas: line.fills for line in whole.lines} == {"air": 3, "helium": 0}


def test_a_gas_without_a_price_is_refused():
    with pytest.raises(InputError, match="no price of helium"):
        replace(PRICES, gases={}).bill([litres(HELIUM, 10.0)])


def test_offers_are_paid_whole_and_at_least_the_minimum():
    helium = replace(PRICES.gases["helium"], minimum_free_l=20_000.0)
    prices = replace(PRICES, gases={**PRICES.gases, "helium": helium})
    offer = Offer("large", "helium", 50.0, 200.0, hire=Decimal(18))
    fixed = replace(offer, price=Decimal(540))

    def cost(*lines):
        return prices.cost_of_order("helium", lines)

    assert cost((offer, 9000.0, 1)) == Decimal("1258.00")  # 20 000 L and one hire
    assert cost((offer, 9000.0, 3)) == Decimal("1728.00")  # 27 000 L, three
    assert cost() == Decimal("0.00")
    assert cost((fixed, 9000.0, 2)) == Decimal("1116.00")
    # by hand: 540 + 18, and 20 000 L with one hire
    assert cost((fixed, 9000.0, 1), (offer, 9000.0, 1)) == Decimal("1816.00")


def test_the_example_reads():
    prices = read_prices(EXAMPLE)
    assert prices.currency == "EUR"
    assert prices.gases["helium"].per_free_l == Decimal("0.062")
    assert [offer.name for offer in prices.offers] == ["helium 50", "helium 20", "oxygen 50"]
    assert prices.on < DAY


def test_cubic_feet_and_litres_are_equals(tmp_path):
    path = tmp_path / "prices.toml"
    path.write_text(HEAD + '[[gas]]\ngas = "He"\nper_cu_ft = 1.75\nminimum_cu_ft = 300\n')
    price = read_prices(path).gases["helium"]
    assert float(price.per_free_l) == pytest.approx(1.75 / LITRES_PER_CUBIC_FOOT)
    assert price.minimum_free_l == pytest.approx(300 * LITRES_PER_CUBIC_FOOT)


@pytest.mark.parametrize(
    ("text", "line", "what"),
    [
        ('[[gas]]\ngas = "argon"\n', 5, "no mixture"),
        ('[[gas]]\ngas = "He"\nper_litre = 1\n', 6, "no key"),
        ('[[gas]]\ngas = "He"\nper_free_l = -1\n', 6, "out of range"),
        ('[[gas]]\ngas = "He"\nper_free_l = 1\nper_cu_ft = 2\n', 7, "second price"),
        ('[[gas]]\ngas = "O2"\n[[gas]]\ngas = "oxygen"\n', 7, "already"),
        ('[[gas]]\ngas = "He"\n[[supply]]\nname = "x"\ngas = "helium"\nwater_volume_l = 50\n', 6,
         "no pressure"),
    ],
)  # fmt: skip
def test_faults_have_their_line(tmp_path, text, line, what):
    path = tmp_path / "prices.toml"
    path.write_text(HEAD + text)
    with pytest.raises(PlanFileError, match=what) as caught:
        read_prices(path)
    assert caught.value.line == line
