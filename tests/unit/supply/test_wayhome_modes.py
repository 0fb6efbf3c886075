"""The search compiled, interpreted, checked for bounds, and in threads: one answer."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from slatewright.decompression import supplied
from slatewright.errors import InputError
from slatewright.supply.wayhome import Columns, planned_dive, way_home
from unit.supply.wayhome_dives import gas, pair, plan, quarry

TESTS = Path(__file__).parents[2]
SCRIPT = """
import json, sys
sys.path.insert(0, sys.argv[1])
from unit.supply.test_wayhome_modes import told
print(json.dumps(told()))
"""


def bounce():
    """A short dive on two gases, with too little of both."""
    gases = [gas("21/35", "bottom"), gas("EAN50", "decompression", 21.0)]
    return plan(gases, (42.0, 9.0), gradient_low=0.5, gradient_high=0.8)


def told():
    """Return every number of a small grid in full."""
    dive = planned_dive(bounce())
    grid = way_home(dive, pair(dive.plan, back_l=5.5, stage_l=1.0))
    return {
        name: [repr(number) for number in getattr(grid.arrays, name).ravel().tolist()]
        for name in ("verdict", "way", "surfaced_min", "share", "raised", "omitted_min",
                     "lacking_mol", "over_bar", "scarce_until_min")
    }  # fmt: skip


@pytest.mark.parametrize("mode", ["NUMBA_DISABLE_JIT", "NUMBA_BOUNDSCHECK"])
def test_every_mode_gives_the_same_numbers(mode):
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT, str(TESTS)],
        env=os.environ | {mode: "1"},
        capture_output=True,
        check=True,
        timeout=180,
        text=True,
    )
    here = told()
    assert len(set(here["verdict"])) >= 4, "the grid is too simple to tell modes apart"
    assert json.loads(done.stdout) == here


def test_no_result_depends_on_the_threads(monkeypatch):
    dive = planned_dive(quarry())
    group = pair(dive.plan, back_l=14.0, stage_l=4.0)
    found = []
    for count in (1, 2, 5):
        monkeypatch.setattr(supplied, "cores", lambda count=count: count)
        grid = way_home(dive, group, columns=Columns.BOTTOM_AND_STOPS)
        found.append([repr(grid.cell(row, minute)) for row in range(len(grid.failures))
                      for minute in grid.minutes])  # fmt: skip
    assert found[0] == found[1] == found[2]


def test_less_than_nothing_is_refused():
    dive = planned_dive(quarry())
    grid = way_home(dive, pair(dive.plan), columns=Columns.BOTTOM_AND_STOPS)
    search = grid._search
    losses = search.losses._replace(available_mol=search.losses.available_mol - 1e6)
    with pytest.raises(InputError, match="less than nothing"):
        supplied.WaysHome(search.moments, losses, search.rules)
    short = search.losses._replace(rmv_l_per_min=search.losses.rmv_l_per_min[1:])
    with pytest.raises(InputError, match="breathing of shape"):
        supplied.WaysHome(search.moments, short, search.rules)
