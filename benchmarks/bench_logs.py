"""Logbooks of 5,000 dives: read in under 2 s, and duplicates of two of them found.

All dives are invented, by arithmetic.
"""

from __future__ import annotations

from datetime import date, time, timedelta

import pytest

from slatewright.logs.csv_out import write_csv
from slatewright.logs.duplicates import duplicates
from slatewright.logs.logged import LoggedDepth, LoggedDive
from slatewright.logs.reading import read_logbook
from slatewright.logs.uddf_out import write_uddf
from slatewright.physics.mixture import AIR, Mixture

MANY = 5000
READ_S = 2.0
PAIRS_S = 2.0
UDDF_S = 4.0
GASES = ((AIR,), (Mixture(0.32),), (Mixture(0.18, 0.45), Mixture(0.5)))


def logbook():
    first = date(2011, 1, 1)
    return [
        LoggedDive(
            on_date=first + timedelta(days=count // 2),
            began_at=time(9 + 5 * (count % 2), count % 60),
            minutes=40.0 + count % 37 + 0.5 * (count % 2),
            greatest=LoggedDepth(12.0 + count % 37 + 0.1 * (count % 10)),
            mixes=GASES[count % 3],
            partners=("Ana", f"Bo {count % 11}"),
            number=str(count + 1),
            place=f"Invented reef {count % 50}",
            remark="calm, with a little current at the end",
        )
        for count in range(MANY)
    ]


def foreign(dives):
    """The same as a stranger's table: semicolons, decimal commas, day first."""
    rows = ["Nr;Datum;Uhrzeit;Max. Tiefe (m);Dauer;Gas;Partner;Ort;Bemerkung"]
    rows += [
        f"{d.number};{d.on_date:%d.%m.%Y};{d.began_at:%H:%M};"
        + f"{d.greatest.value:.1f};".replace(".", ",")
        + f"{d.minutes // 60:.0f}:{d.minutes % 60:02.0f};{'; '.join(map(str, d.mixes[:1]))};"
        f"{' & '.join(d.partners)};{d.place};{d.remark}"
        for d in dives
    ]
    return "\n".join(rows)


DIVES = logbook()


@pytest.mark.parametrize(
    "text", [write_csv(DIVES), foreign(DIVES)], ids=["our own", "a stranger's, columns detected"]
)
def test_csv_of_5000_dives(benchmark, text):
    data = text.encode("utf-8")
    reading = benchmark(read_logbook, data, "log.csv")
    assert len(reading.dives) == MANY
    assert benchmark.stats.stats.median < READ_S


def test_uddf_of_5000_dives(benchmark):
    data = write_uddf(DIVES).encode("utf-8")
    reading = benchmark(read_logbook, data, "log.uddf")
    assert len(reading.dives) == MANY
    assert benchmark.stats.stats.median < READ_S


def test_uddf_of_500_dives_with_profiles(benchmark):
    """Nine megabytes: a waypoint every 10 s for each of 500 dives."""
    points = "".join(
        f"<waypoint><depth>{20 - abs(30 - at / 10) / 2:.1f}</depth><divetime>{at * 10}</divetime>"
        "</waypoint>"
        for at in range(280)
    )
    data = (
        write_uddf(DIVES[:500])
        .replace("<tankdata>", f"<samples>{points}</samples><tankdata>")
        .encode("utf-8")
    )
    reading = benchmark.pedantic(read_logbook, (data, "log.uddf"), rounds=2)
    assert len(reading.dives) == 500
    assert benchmark.stats.stats.median < UDDF_S


def test_duplicates_of_5000_and_5000(benchmark):
    other = read_logbook(foreign(DIVES).encode("utf-8"), "log.csv").dives
    pairs = benchmark(duplicates, DIVES, other)
    assert len(pairs) == MANY
    assert benchmark.stats.stats.median < PAIRS_S
