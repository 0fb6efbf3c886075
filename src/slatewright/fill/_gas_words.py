"""Words for gases in files: a breathing mixture, or helium, which nobody breathes alone."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator

from slatewright.errors import InputError
from slatewright.physics.amount import HELIUM, Gas
from slatewright.physics.mixture import Mixture
from slatewright.toml.faults import refusal

_HELIUM = frozenset({"helium", "he"})


def gas_of(text: str) -> Gas:
    """Return the gas that a word means.

    Parameters
    ----------
    text
        ``helium``, or a mixture in the trade's notation.

    Returns
    -------
    Gas
        Its fractions.

    Raises
    ------
    InputError
        If it is neither.
    """
    if text.strip().casefold() in _HELIUM:
        return HELIUM
    return Mixture.parse(text)


def _gas_word(text: str) -> str:
    try:
        gas_of(text)
    except InputError as error:
        raise refusal(error.what, f"helium, {error.right}") from None
    return text


def _mix_word(text: str) -> str:
    try:
        Mixture.parse(text)
    except InputError as error:
        raise refusal(error.what, error.right) from None
    return text


GasWord = Annotated[str, AfterValidator(_gas_word)]
MixWord = Annotated[str, AfterValidator(_mix_word)]
