"""The mark of a gas on the terminal: its letter in brackets that stand for its shape."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from rich.text import Text

from slatewright.dive import say
from slatewright.paper.theme import gas_marks, mixture_name

if TYPE_CHECKING:
    from collections.abc import Iterable

    from slatewright.paper.theme import GasMark
    from slatewright.physics.mixture import Mixture

_BRACKETS: Final = {
    "circle": ("(", ")"),
    "square": ("[", "]"),
    "triangle": ("/", "\\"),
    "diamond": ("<", ">"),
    "hexagon": ("{", "}"),
    "shield": ("|", "|"),
}
_STYLES: Final = (
    "bold bright_blue",
    "bold yellow",
    "bold green",
    "bold",
    "bold cyan",
    "bold bright_yellow",
)
"""In the order of the letters, near the inks of `slatewright.paper.theme`; terminals have few
colours, and each person sets them anew, so the letter and its brackets carry the meaning."""


class Badges:
    """The marks of all gases of a dive, as chart and slate have them.

    Parameters
    ----------
    gases
        All gases of the dive, in any order.
    """

    def __init__(self, gases: Iterable[Mixture]) -> None:
        self._marks = gas_marks(gases)

    def of(self, mix: Mixture) -> Text:
        """Return a gas as ``(A) 10/70``.

        Parameters
        ----------
        mix
            The mixture.
        """
        mark = self._marks[mix]
        return Text(f"{_badge(mark)} {mixture_name(mix)}", self._style(mark))

    def breathed(self, mix: Mixture, setpoint_bar: float | None) -> Text:
        """Return what is breathed: a gas, or a loop as ``(A) loop 1.2``, A being its diluent.

        Parameters
        ----------
        mix
            The mixture, or the diluent.
        setpoint_bar
            The setpoint of a closed circuit; None on open circuit [bar].
        """
        if setpoint_bar is None:
            return self.of(mix)
        mark = self._marks[mix]
        return Text(f"{_badge(mark)} loop {say.setpoint(setpoint_bar)}", self._style(mark))

    def _style(self, mark: GasMark) -> str:
        order = [known.letter for known in self._marks.values()]
        return _STYLES[order.index(mark.letter) % len(_STYLES)]


def _badge(mark: GasMark) -> str:
    left, right = _BRACKETS[mark.shape]
    return f"{left}{mark.letter}{right}"
