"""A check against the outside: what was printed, where, how it was read, and what we compute."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

HOW = (
    "read",  # read in the print or in a quotation of it
    "from memory",  # recalled; treated with care
    "computed",  # by a general-purpose reference library or from the stated formula
    "derived",  # worked out by hand from a printed statement
    "common practice, no published source",
)


@dataclass(frozen=True)
class Row:
    topic: str
    item: str
    source: str
    how: str
    published: str
    ours: str
    unit: str
    tolerance: str
    reason: str
    agrees: bool
    test: str


class Outside:
    def __init__(self, test: str, rows: list[Row]) -> None:
        self._test = test
        self._rows = rows

    def check(
        self,
        *,
        topic: str,
        item: str,
        source: str,
        how: str,
        published: float,
        ours: float,
        tolerance: float,
        unit: str = "",
        reason: str = "",
        known_difference: bool = False,
    ) -> None:
        """Assert that ours is within tolerance of the print, and record the row.

        ``known_difference=True`` asserts the contrary: that it does NOT agree, for the reason
        given; should it come to agree one day, the test fails and the note goes.
        """
        assert how in HOW, how
        difference = abs(ours - published)
        agrees = difference <= tolerance
        self._rows.append(
            Row(topic, item, source, how, f"{published:g}", f"{ours:.6g}", unit,
                f"{tolerance:g}", reason, agrees, self._test)
        )  # fmt: skip
        if known_difference:
            assert reason, "a known difference needs its reason"
            assert not agrees, f"{item}: agrees now ({ours} ~ {published}); drop the note"
        else:
            assert agrees, f"{item}: {source} says {published}, we say {ours} (± {tolerance})"


def page(rows: list[Row]) -> str:
    """Return docs/how-we-know.md."""
    rows = sorted(set(rows), key=lambda r: (r.topic, r.source, r.item, r.test))
    lines = [
        "# How we know",
        "",
        "Every check of Slatewright against the outside: the value as printed or computed by an",
        "independent library, and ours. Written by `make how-we-know` from the tests in",
        "`tests/published/`; do not edit by hand. 'from memory' means that the print was not at",
        "hand when the value was written down: treat it with care.",
        "",
        f"{len(rows)} checks, of which {sum(not r.agrees for r in rows)} are stated differences.",
    ]
    for topic, group in groupby(rows, key=lambda r: r.topic):
        lines += ["", f"## {topic}", ""]
        lines += ["| what | source | how | published | ours | within | note |"]
        lines += ["|---|---|---|---:|---:|---:|---|"]
        for r in group:
            note = r.reason if r.agrees else f"**differs:** {r.reason}"
            lines.append(
                f"| {r.item} | {r.source} | {r.how} | {r.published} {r.unit} | {r.ours} {r.unit} "
                f"| {r.tolerance} | {note} |"
            )
    return "\n".join(lines) + "\n"
