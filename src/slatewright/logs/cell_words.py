"""Words in cells: months, roles, circuits, yes and no, and lists of names."""

from __future__ import annotations

import csv
import re
import unicodedata
from typing import Final

from slatewright.errors import InputError
from slatewright.logs.cell_numbers import tidy
from slatewright.logs.logged import Circuit, Role

_MONTHS: Final = (
    "jan jän januar january janvier enero gennaio januari janeiro ene gen stycznia января",
    "feb fév fev februar february février febrero febbraio februari fevereiro lutego февраля",
    "mar mär mrz märz march mars marzo maart março mrt marca марта",
    "apr avr abr april avril abril aprile kwietnia апреля",
    "may mai mayo maggio mei maio mag maj maja мая",
    "jun juin juni june junio giugno junho giu czerwca июня",
    "jul juil juli july juillet julio luglio julho lug lipca июля",
    "aug août aou ago august agosto augustus augusti sierpnia августа",
    "sep sept september septembre septiembre settembre setembro set września сентября",
    "oct okt out ott october oktober octobre octubre ottobre outubro października октября",
    "nov november novembre noviembre novembro listopada ноября",
    "dec dez déc dic dezember december décembre diciembre dicembre dezembro grudnia декабря",
)
_ROLES: Final = {
    Role.DIVER: "diver taucher plongeur buceador buzo subacqueo sommozzatore duiker mergulhador "
    "dykare guide",
    Role.STUDENT: "student pupil schüler tauchschüler teilnehmer élève stagiaire alumno allievo "
    "leerling aluno elev candidate",
    Role.ASSISTANT: "assistant assistent assistente asistente helper begleiter",
    Role.INSTRUCTOR: "instructor teacher lehrer tauchlehrer ausbilder moniteur instructeur "
    "istruttore instrutor instruktör instruktør instruktor instruktorka encadrant teaching",
}
_CIRCUITS: Final = {
    Circuit.OPEN: (
        "oc", "open", "open circuit", "opencircuit", "offen", "offener kreislauf", "ouvert",
        "circuit ouvert", "abierto", "circuito abierto", "aperto", "circuito aperto", "aberto",
        "scuba",
    ),
    Circuit.CLOSED: (
        "cc", "ccr", "closed", "closed circuit", "closedcircuit", "rebreather", "geschlossen",
        "geschlossener kreislauf", "kreislauf", "recycleur", "circuit fermé", "fermé", "cerrado",
        "circuito cerrado", "chiuso", "circuito chiuso", "fechado",
    ),
}  # fmt: skip
_YES_WORDS: Final = "yes y true ja j oui o si sì sí sim tak x да deco deko"
_NO_WORDS: Final = "no n false nein non não nao nee nej nei nie нет none no-deco"
_YES: Final = frozenset(_YES_WORDS.split())
_NO: Final = frozenset(_NO_WORDS.split())
_COUNT: Final = re.compile(r"([0-9]+)(?:[.,][0-9]+)?\s*(?:min|'|mn)?")
_AND: Final = re.compile(r"\s*[;|\n\r]\s*")
_AND_COMMA: Final = re.compile(r"\s*(?:[;|,&+/\n\r]|\s(?:and|und|et|y|e|en|og|och|i|и)\s)\s*")


def _bare(word: str) -> str:
    folded = unicodedata.normalize("NFKD", word.casefold())
    return "".join(c for c in folded if not unicodedata.combining(c)).strip(". ")


_MONTH_OF: Final = {
    _bare(word): count for count, words in enumerate(_MONTHS, start=1) for word in words.split()
}
_ROLE_OF: Final = {_bare(word): role for role, words in _ROLES.items() for word in words.split()}
_CIRCUIT_OF: Final = {_bare(word): kind for kind, words in _CIRCUITS.items() for word in words}


def month_named(word: str) -> int | None:
    """Return the month that a word names, 1 to 12; None if it names none.

    Parameters
    ----------
    word
        The word, whole or shortened.
    """
    return _MONTH_OF.get(_bare(word))


def role(text: str) -> Role:
    """Return the role that a cell names.

    Parameters
    ----------
    text
        The cell.

    Raises
    ------
    InputError
        If it names none.
    """
    found = _ROLE_OF.get(_bare(tidy(text)))
    if found is None:
        raise InputError(f"'{text}' is no role", right=", ".join(Role))
    return found


def circuit(text: str) -> Circuit:
    """Return the circuit that a cell names.

    Parameters
    ----------
    text
        The cell.

    Raises
    ------
    InputError
        If it names none; half-closed apparatus is neither.
    """
    found = _CIRCUIT_OF.get(_bare(tidy(text)))
    if found is None:
        raise InputError(f"'{text}' is no circuit", right=", ".join(Circuit))
    return found


def decompression(text: str) -> bool:
    """Return whether a cell says that stops were needed: yes or no, or their minutes.

    Parameters
    ----------
    text
        The cell.

    Raises
    ------
    InputError
        If it says neither.
    """
    word = tidy(text).casefold()
    if word in _YES or _bare(word) in _YES:
        return True
    if word in _NO:
        return False
    count = _COUNT.fullmatch(word)
    if count is None:
        raise InputError(f"'{text}' is neither yes nor no", right="yes, no, or minutes of stops")
    return any(digit in "123456789" for digit in word)


def names(text: str, *, commas: bool) -> tuple[str, ...]:
    """Return the names or words in a cell.

    Parameters
    ----------
    text
        The cell.
    commas
        Whether commas, and words for 'and', separate them; else semicolons and line breaks alone.
    """
    pattern = _AND_COMMA if commas else _AND
    found = (" ".join(piece.split()) for piece in pattern.split(text))
    return tuple(dict.fromkeys(piece for piece in found if piece))


def listed(text: str) -> tuple[str, ...]:
    """Return the words of a cell that we wrote, to the letter.

    Parameters
    ----------
    text
        The cell: words separated by semicolons, in quotation marks where needed.

    Raises
    ------
    InputError
        If it is no such list.
    """
    if not text:
        return ()
    try:
        found = list(csv.reader(_lines(text), delimiter=";", skipinitialspace=True, strict=True))
    except csv.Error:
        raise InputError(f"'{text}' is no list", right='"one; two"') from None
    if len(found) != 1:
        raise InputError(f"'{text}' is more than one list", right='"one; two"')
    return tuple(found[0])


def _lines(text: str) -> list[str]:
    return re.findall(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+", text)
