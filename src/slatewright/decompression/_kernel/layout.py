"""The flat arrays that the kernel works on.

Values over compartments come in blocks of 32: nitrogen of compartments 1b, 2 .. 16, then helium of
the same. Pressures are bar absolute, times minutes, fractions mole fractions; a level is a depth
counted in stop steps from the surface.

table : (9 + 1441, 32)
    Rows RATE (ln 2 / half-time), A_BAR, B; for each zone from RISE_DECAY on exp(-k t), and from
    RISE_LAG_MIN on t - (1 - exp(-k t)) / k, of the ascent to the next level; from MINUTE_DECAY on
    exp(-k n) of n whole minutes.
setup : (SETUP_SIZE,)
    Single numbers of the plan, and the numbers of its gases, by the names below.
rungs : (ladders, 2, levels)
    Which gas is breathed at a level, and which in a break there (-1 for no break); one ladder for
    each set of gases that may be at hand.
work : (WORK_ROWS, 32)
    Scratch of one thread: the TENSION of the diver; BASE and AMPLITUDE of a stop; EXCESS, HELD;
    from KNOWN on the exponentials of recently used times, which stand in clock.
clock : (CLOCK_SIZE,)
    The diver's clock and scratch, by the names below.
legs : (most, 6)
    What was done: kind, from and to [levels], start [min], minutes, gas.
"""

from __future__ import annotations

from typing import Final, cast

import numpy as np
import numpy.typing as npt

F64 = npt.NDArray[np.float64]
I64 = npt.NDArray[np.int64]

N: Final = 16
WIDE: Final = 2 * N
NEVER: Final = 1 << 30
AT_ONCE: Final = cast("int", np.int64(0))
"""Zero, in the type of minutes and levels: a plain 0 would have every function compiled twice."""
SAME_MINUTE: Final = 1e-9

# status
OK: Final = 0
TOO_LONG: Final = 1
CEILING: Final = 2
LEGS_FULL: Final = 3

# kinds of legs, as numbers of the log; what is at least STOP counts as time at a level
DESCENT: Final = 0.0
BOTTOM: Final = 1.0
ASCENT: Final = 2.0
STOP: Final = 3.0
SWITCH: Final = 4.0
PAUSE: Final = 5.0

# zones of the ascent
TO_FIRST_STOP: Final = 0
BETWEEN_STOPS: Final = 1
TO_SURFACE: Final = 2
ZONES: Final = 3

# rows of table
RATE: Final = 0
A_BAR: Final = 1
B: Final = 2
RISE_DECAY: Final = 3
RISE_LAG_MIN: Final = 6
MINUTE_DECAY: Final = 9

# numbers of setup
SURFACE_BAR: Final = 0
STEP_BAR: Final = 1
VAPOUR_BAR: Final = 2
LAST_LEVEL: Final = 3
FROM_ARRIVAL: Final = 4  # 1: whole minutes are those since arrival; 0: those of the run time
LONGEST_MIN: Final = 5
PAUSE_AFTER_MIN: Final = 6
PAUSE_MIN: Final = 7
PAUSE_COUNTED: Final = 8  # 1: a break earns decompression; 0: it only costs time
RISE_MIN: Final = 9  # one for each zone: time of the ascent to the next level
RISE_BAR_PER_MIN: Final = 12  # one for each zone, negative
STEP_M: Final = 15
MOST_GASES: Final = 16
GAS_O2: Final = 16  # one for each gas, as the next three
GAS_HE: Final = 32
GAS_SETPOINT_BAR: Final = 48  # 0 on open circuit
GAS_CHANGE_MIN: Final = 64
SETUP_SIZE: Final = 80

# rows of work
TENSION: Final = 0
BASE: Final = 1
AMPLITUDE: Final = 2
EXCESS: Final = 3
HELD: Final = 4
KNOWN: Final = 5
KNOWN_TIMES: Final = 61  # a prime: a time's place follows from its thousandths of a minute
WORK_ROWS: Final = KNOWN + KNOWN_TIMES

# numbers of clock
WHOLE_MIN: Final = 0  # whole minutes of run time
PART_MIN: Final = 1  # the part of a minute on top
ON_MIN: Final = 2  # minutes on the gas in the mouth
GIVE_UP_MIN: Final = 3  # the run time at which the ascent is given up
RISE_FROM: Final = 4  # where the ascent leg under way began: level, run time, zone
RISE_SINCE_MIN: Final = 5
RISE_ZONE: Final = 6
LEG_COUNT: Final = 7
KNOWN_MIN: Final = 8  # the times whose exponentials are in known
CLOCK_SIZE: Final = KNOWN_MIN + KNOWN_TIMES
