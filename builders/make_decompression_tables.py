"""Write the decompression tables of ``src/slatewright/data/tables`` from ``authorities``.

The guard of each table is computed here, once, so that a later slip of the hand is noticed when
the table is read.
"""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass
from pathlib import Path

HOUSE = Path(__file__).parents[1]
RAW = HOUSE / "authorities"
TABLES = HOUSE / "src" / "slatewright" / "data" / "tables"


@dataclass(frozen=True)
class Table:
    """What the head of a table says, and which raw columns it takes."""

    name: str
    source: str
    how: str
    columns: dict[str, tuple[str, str]]  # raw column to (our name, unit)
    errata: str = ""
    tolerance: str = ""


ZHL16 = "[BUEHLMANN2002]; also [BAKER1998]"
DECOMPRESSION = (
    Table(
        name="zhl16_n2",
        source=ZHL16,
        how="from memory; b of compartments 4 and 5 was read, quoted as the author's own",
        errata="b of compartment 4 is 0.7825 where the formula gives 0.7725. Two rows bear the "
        "number 1: 4.0 min ('1') and 5.0 min ('1b'), alternatives that are never mixed. Lists that "
        "circulate carry misprints such as 0.4710 for a of compartment 8.",
        tolerance="printed to four decimals",
        columns={
            "comp": ("compartment", "-"),
            "half_time_min": ("half_time_min", "min"),
            "a_A": ("a_A_bar", "bar"),
            "a_B": ("a_B_bar", "bar"),
            "a_C": ("a_C_bar", "bar"),
            "b": ("b", "-"),
        },
    ),
    Table(
        name="zhl16_he",
        source=ZHL16,
        how="from memory; compartment 1 was also read, quoted",
        errata="Two rows bear the number 1: 1.51 min ('1') and 1.88 min ('1b'), alternatives that "
        "are never mixed; 1b is the least certain row (5 min / 2.6458 is 1.890). Lists that "
        "circulate carry misprints such as 1.7474 for a of compartment 1, and a b that falls again "
        "after compartment 8.",
        tolerance="printed to four decimals",
        columns={
            "comp": ("compartment", "-"),
            "half_time_min": ("half_time_min", "min"),
            "a": ("a_bar", "bar"),
            "b": ("b", "-"),
        },
    ),
    Table(
        name="noaa_oxygen_limits",
        source="[NOAA1991]; the same in later editions",
        how="from memory; the single limits from 1.2 to 1.6 atm and the 24 hours at 1.6 atm were "
        "also read, quoted",
        errata="1.3 atm is 180 min here; a workshop of 2025 finds 240 min active and 240 min at "
        "rest acceptable. The table begins at 0.6 atm and prints nothing between rows.",
        tolerance="printed to whole minutes",
        columns={
            "pO2_atm": ("ppo2_atm", "atm"),
            "single_min": ("single_min", "min"),
            "day24h_min": ("day_min", "min"),
        },
    ),
    Table(
        name="noaa_oxygen_exceptional",
        source="[NOAA1991]",
        how="read, quoted",
        errata="1.4 atm is 160 min here, and 180 min from memory of the print; only rows above "
        "1.6 atm are used. From 1.6 to 1.8 atm these exceptional limits are longer than the normal "
        "one of 45 min at 1.6 atm.",
        tolerance="printed to whole minutes",
        columns={"pO2_atm": ("ppo2_atm", "atm"), "minutes": ("minutes", "min")},
    ),
    Table(
        name="repex_otu",
        source="[HAMILTON1988]",
        how="from memory; 850 for one day and 300 a day for many days were also read, quoted",
        errata="The last row holds for 15 to 30 days and has 30 as its number of days; its total "
        "is 30 times 300.",
        tolerance="printed to whole units; total = days times average",
        columns={
            "exposure_days": ("days", "d"),
            "avg_dose_per_day_OTU": ("average_otu", "OTU"),
            "total_dose_OTU": ("total_otu", "OTU"),
        },
    ),
)


def raw_rows(name: str) -> list[dict[str, str]]:
    """Return the rows of a raw table, its comment lines left out."""
    lines = (RAW / f"{name}.csv").read_text("utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def number(text: str) -> str:
    """Return a raw entry as the number that a table can hold.

    '1b' is the other compartment 1: its half-time tells the two apart. The last row of the days of
    exposure is '15-30' with '300/day'.
    """
    return {"15-30": "30", "300/day": "9000"}.get(text, text.removesuffix("b"))


def toml(table: Table) -> str:
    """Return the table as a TOML document with its guard."""
    names = [name for name, _ in table.columns.values()]
    units = [unit for _, unit in table.columns.values()]
    rows = [[number(row[raw]) for raw in table.columns] for row in raw_rows(table.name)]
    sums = {
        name: round(math.fsum(float(row[i]) for row in rows), 9) for i, name in enumerate(names)
    }
    lines = [f"# Made by builders/{Path(__file__).name} from authorities/{table.name}.csv."]
    lines += [
        f'{key} = "{text}"'
        for key in ("source", "how", "errata", "tolerance")
        if (text := getattr(table, key))
    ]
    lines += [
        "columns = [" + ", ".join(f'"{name}"' for name in names) + "]",
        "units = [" + ", ".join(f'"{unit}"' for unit in units) + "]",
        "rows = [",
        *("  [" + ", ".join(row) + "]," for row in rows),
        "]",
        "",
        "[guard]",
        f"rows = {len(rows)}",
        "sums = { " + ", ".join(f"{name} = {total!r}" for name, total in sums.items()) + " }",
    ]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    TABLES.mkdir(exist_ok=True)
    for each in DECOMPRESSION:
        (TABLES / f"{each.name}.toml").write_text(toml(each), "utf-8")
        print(f"{each.name}.toml")
