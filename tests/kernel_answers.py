"""Solve some dives and print every number of their answers in full; run in its own process.

Which kernel answers, compiled, compiled with checks of bounds, or interpreted, is for the
environment of the process to say.
"""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))

from kernel_dives import air_case, deep_case
from slatewright.decompression._kernel import exchange
from slatewright.decompression.batch import Batch
from slatewright.decompression.ladder import AscentGas
from slatewright.decompression.planned import planned_rows
from slatewright.decompression.settings import OxygenBreaks, WholeMinutes
from slatewright.decompression.tissues import Tissues
from slatewright.errors import NoSafeAnswer
from slatewright.physics.mixture import Mixture
from slatewright.physics.water import Water


def cases():
    loop = replace(
        air_case(62.0, 20.3), gases=(AscentGas(Mixture(0.15, 0.55), 500.0, 0.0, 1.0, 1.2),)
    )
    return {
        "plain": deep_case(),
        "breaks": deep_case(25.4, breaks=OxygenBreaks(12, 6)),
        "idle breaks": deep_case(breaks=OxygenBreaks(5, 3, counted=False)),
        "arrival": deep_case(whole_minutes=WholeMinutes.ARRIVAL, last_stop_m=3.0),
        "loop": loop,
        "feet": air_case(36.576, 33.7, stop_step_m=3.048, last_stop_m=3.048),
        "lake": replace(air_case(31.0, 29.0), water=Water(surface_bar=0.79, bar_per_m=0.0980665)),
        "shallow": replace(air_case(4.5, 30.0), start=Tissues((1.2,) * 16, (0.02,) * 16)),
        "no end": replace(air_case(60.0, 90.0), start=Tissues((8.0,) * 16, (0.0,) * 16)),
    }


def answer(case):
    batch = Batch(case.gases, [case.rungs], case.settings, case.water, 95.0, threads=1)
    rows = planned_rows(case.planned)
    found = batch.solve_dives(rows, case.tissues, keep_ends=True, keep_legs=True)
    try:
        single = case.solve()
    except NoSafeAnswer as refused:
        return [int(found.outcome[0]), str(refused)]
    legs = [(leg.start_min, leg.minutes, leg.from_m, leg.to_m) for leg in single.legs]
    ends = [*single.end.n2_bar, *single.end.he_bar]
    return [
        [[number.hex() for number in leg] for leg in legs],
        [number.hex() for number in ends],
        found.end_bar[0].tolist() == ends,
        found.legs_of(0) == single.legs,
        float(found.runtime_min[0]).hex(),
    ]


def out_of_bounds():
    """Return what the kernel does when it is told to read beyond its arrays."""
    one = np.ones((1, 1))
    try:
        exchange.known_row(0.5, one, one, np.ones(1))
    except IndexError:
        return "refused"
    return "read"


if __name__ == "__main__":
    answers = {name: answer(case) for name, case in cases().items()}
    answers["compiled"] = hasattr(exchange.load_leg, "py_func")
    if "--beyond" in sys.argv:
        answers["beyond"] = out_of_bounds()
    print(json.dumps(answers))  # noqa: T201 - this is what the process is for
