"""What a form of the bench says besides the sheet."""

from __future__ import annotations

from dataclasses import dataclass

from slatewright.desk.bench.form import Fields
from slatewright.desk.bench.work import LONGEST_TEXT
from slatewright.physics.units import UnitSystem


@dataclass(frozen=True, slots=True)
class Asked:
    """What a form says besides the sheet.

    Parameters
    ----------
    base
        The text of the plan that the sheet was made from.
    chosen, interval
        The dive before, and the surface interval after it.
    view, beside, width
        The units to read in, the text to compare with, the width of the page.
    version
        The version of the plan that was read.
    do
        The button that was pressed.
    """

    base: str = ""
    chosen: str = ""
    interval: str = ""
    view: str = ""
    beside: str = ""
    width: str = ""
    version: int = 0
    do: str = ""

    @classmethod
    def by(cls, form: Fields) -> Asked:
        """Read it from a form.

        Parameters
        ----------
        form
            The fields.
        """
        version = last(form, "version")
        return cls(
            base=lines(last(form, "text")),
            chosen=last(form, "earlier"),
            interval=last(form, "surface_interval").strip(),
            view=last(form, "view"),
            beside=lines(last(form, "beside")),
            width=last(form, "width"),
            version=int(version) if version.isdecimal() and len(version) < 10 else 0,
            do=last(form, "do"),
        )

    @property
    def units(self) -> UnitSystem | None:
        """The units to read in; None for those of the plan."""
        return UnitSystem(self.view) if self.view in set(UnitSystem) else None


def last(form: Fields, name: str) -> str:
    """Return the last value of a name, empty if there is none, cut at the longest text.

    Parameters
    ----------
    form
        The fields.
    name
        The name.
    """
    values = form.getlist(name)
    value = values[-1] if values else ""
    return value[:LONGEST_TEXT] if isinstance(value, str) else ""


def lines(text: str) -> str:
    """Return a text with the line ends of a file: a form sends those of the network.

    Parameters
    ----------
    text
        As it was sent.
    """
    return text.replace("\r\n", "\n")
