"""Where numbers come from: the bibliography, the published tables, the formulas as data."""

from slatewright.sources.bibliography import Reference, reference, references
from slatewright.sources.formula import Formula, Symbol, formula, formula_named, formulas
from slatewright.sources.tables import PublishedTable, published_table
from slatewright.sources.working import Step, Working, working

__all__ = [
    "Formula",
    "PublishedTable",
    "Reference",
    "Step",
    "Symbol",
    "Working",
    "formula",
    "formula_named",
    "formulas",
    "published_table",
    "reference",
    "references",
    "working",
]
