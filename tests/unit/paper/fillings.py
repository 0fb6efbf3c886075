"""Fill files of our own invention, done, for the tests of what is printed of them."""

from __future__ import annotations

from pathlib import Path

from slatewright.dive.house_rules import HouseRules
from slatewright.dive.planfile import parse_plan_file
from slatewright.fill.checked import check_analyses
from slatewright.fill.labelling import label_of
from slatewright.fill.session import do_fill_file
from slatewright.paper.labels import LabelSheet
from slatewright.toml.faults import toml_of

FOLDER = Path(__file__).parents[3] / "examples" / "fill-room"
PLAN = """
schema = "slatewright/plan/1"
title = "The saddle"
units = "{units}"
[[gas]]
mix = "12/60"
use = "bottom"
[[gas]]
mix = "21/35"
use = ["travel", "decompression"]
[[gas]]
mix = "O2"
use = "decompression"
[[level]]
depth_{d} = {depth}
leave_at_min = 15
"""
FILL = """
schema = "slatewright/fill/1"
title = "{title}"
units = "metric"
date = 2031-05-10
[[source]]
name = "helium"
gas = "helium"
[[source]]
name = "oxygen"
gas = "O2"
[[source]]
name = "compressor"
gas = "air"
"""
CYLINDER = """
[[cylinder]]
name = "{name}"
size = "twin 12"
evacuated = true
test_due = 2033-01-31
oxygen_clean = true
owner = "Wren"
[[fill]]
cylinder = "{name}"
mix = "{mix}"
to_bar = 200
[[analysis]]
cylinder = "{name}"
o2_percent = {o2}
he_percent = {he}
by = "Jory"
at = 2031-05-10T17:40:00
gauge_bar = 199.6
"""


def session(name):
    return do_fill_file(FOLDER / f"{name}.toml")


def plan(units="metric"):
    d, depth = ("m", 70) if units == "metric" else ("ft", 230)
    text = PLAN.format(units=units, d=d, depth=depth)
    return parse_plan_file(text, toml_of(text, None)).to_plan(HouseRules())


def sheet(tmp_path, *rows, units="metric", title="Cylinders", named=True):
    """Return a sheet of labels: each row is name, mix, oxygen and helium as read."""
    text = FILL.format(title=title)
    for name, mix, o2, he in rows:
        text += CYLINDER.format(name=name, mix=mix, o2=o2, he=he)
    path = tmp_path / "fill.toml"
    path.write_text(text, "utf-8")
    checked = check_analyses(do_fill_file(path))
    chosen = plan(units) if named else None
    return LabelSheet(
        [
            label_of(one, checked.session.file, HouseRules(), chosen)
            for one in checked.cylinders
            if one.accepted
        ],
        [one for one in checked.cylinders if not one.accepted],
        chosen,
    )
