"""Numbers without a source: the verdicts of a dive to 96 m, as they were when last looked at.

One letter a verdict with the minutes that it lasts, as `slatewright.supply.wayhome.table.MARKS` has
them (_ where a failure does not apply). A change here is no fault, but has to be meant, and said in
the change log.
"""

from __future__ import annotations

from functools import cache
from itertools import groupby

import pytest

from slatewright.decompression.settings import OxygenBreaks
from slatewright.supply.kit import Place, Rmv
from slatewright.supply.wayhome import planned_dive, table_of, way_home
from unit.supply.kits import carried, diver
from unit.supply.wayhome_dives import gas, plan, team

EXPECTED = {
    "early ascent": ".135",
    "own 10/70 lost": ".135",
    "21/35 lost": ".135",
    "EAN50 lost": ".15 h36 .84",
    "O2 lost": ".17 h2 .116",
    "21/35 and EAN50 lost": ".9 h4 B35 b3 h14 .70",
    "21/35 and O2 lost": ".14 h64 .57",
    "EAN50 and O2 lost": ".10 h6 X59 h23 .37",
    "21/35 lost by all": ".135",
    "EAN50 lost by all": ".11 h6 B4 h2 B28 b1 h10 .73",
    "O2 lost by all": ".15 h73 .47",
    "partner absent": ".135",
    "3 min delay": ".135",
    "5 min delay": ".135",
    "deeper by 1 level": "_5 .13 _117",
    "deeper by 2 levels": "_5 .13 _117",
    "slower ascent": ".135",
}


@cache
def grid():
    """The wall without the dives before it, for two divers with unequal breathing."""
    gases = [
        gas("10/70", "bottom"),
        gas("21/35", "travel", 36.0),
        gas("21/35", "decompression", 45.0),
        gas("EAN50", "decompression", 21.0),
        gas("O2", "decompression", 6.0),
    ]
    rates = {
        "to_first_stop_m_per_min": 9.0,
        "between_stops_m_per_min": 6.0,
        "to_surface_m_per_min": 3.0,
    }
    dive = planned_dive(
        plan(gases, (96.0, 18.0), last_stop_m=3.0, breaks=OxygenBreaks(12, 6), **rates)
    )
    kit = (
        carried("10/70", Place.BACK, 18.0, 2, bar=230.0),
        carried("21/35", Place.LEFT, 12.0, bar=225.0),
        carried("EAN50", Place.LEFT, 11.1, bar=205.0),
        carried("O2", Place.RIGHT, 7.0, bar=200.0),
    )
    divers = (
        diver(*kit, rmv=Rmv(17.0, 19.0, 15.0, 28.0), name="Mirren"),
        diver(*kit, rmv=Rmv(18.0, 20.0, 17.0, 30.0), name="Casper"),
    )
    return way_home(dive, team(*divers, two_tasks_min=2.0, inflation_free_l=80.0))


def marks(text):
    """Return one letter a minute."""
    return "".join(part[0].replace("_", " ") * int(part[1:] or 1) for part in text.split())


@pytest.mark.parametrize("name", EXPECTED)
def test_verdicts(name):
    found = {row.name: row.marks for row in table_of(grid()).rows}
    shown = " ".join(f"{mark}{len(list(group))}" for mark, group in groupby(found[name]))
    assert found[name] == marks(EXPECTED[name]), f"now {shown}"


def test_every_failure_is_looked_at():
    assert [row.name for row in table_of(grid()).rows] == list(EXPECTED)
