"""From every minute of the dive, whatever fails: who gets home, on what, and what would cure it."""

from slatewright.supply.wayhome.cures import Cure, CureKind, cures_of
from slatewright.supply.wayhome.dive import PlannedDive, planned_dive
from slatewright.supply.wayhome.document import as_document, refusal_of
from slatewright.supply.wayhome.failures import Failure, FailureKind, failures_of
from slatewright.supply.wayhome.grid import Grid, way_home
from slatewright.supply.wayhome.moments import Columns
from slatewright.supply.wayhome.rules import WayHomeRules
from slatewright.supply.wayhome.table import Table, table_of
from slatewright.supply.wayhome.verdicts import Cell, RowSummary, Verdict

__all__ = [
    "Cell",
    "Columns",
    "Cure",
    "CureKind",
    "Failure",
    "FailureKind",
    "Grid",
    "PlannedDive",
    "RowSummary",
    "Table",
    "Verdict",
    "WayHomeRules",
    "as_document",
    "cures_of",
    "failures_of",
    "planned_dive",
    "refusal_of",
    "table_of",
    "way_home",
]
