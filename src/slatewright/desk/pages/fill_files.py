"""Fill files in and out: an example, a file, a pasted text; and what is printed of them."""

from __future__ import annotations

from typing import Annotated, Final

from fastapi import APIRouter, File, Form, UploadFile
from starlette.responses import Response

from slatewright.desk.fill.analysed import chain_for, plan_for
from slatewright.desk.fill.examples import example_written
from slatewright.desk.fill.keeping import FillText, get_fill, keep_fill, plain
from slatewright.desk.fill.work import Work, order_of, work_of
from slatewright.desk.frame import Page
from slatewright.desk.visit import OnVisit, Visit
from slatewright.errors import InputError
from slatewright.fill.session import Session
from slatewright.toml.faults import toml_of

router = APIRouter()
PAGES: Final[tuple[Page, ...]] = ()
_PRICES: Final = "slatewright/prices/1"


@router.post("/fill/example")
def from_example(visit: OnVisit, name: Annotated[str, Form()]) -> Response:
    """Begin with an example, with its price list and its plan.

    Parameters
    ----------
    visit
        The request.
    name
        The example.
    """
    with visit.store.write() as session:
        written = example_written(session, name, now=visit.now)
        kept = keep_fill(session, written, now=visit.now)
    return visit.go(f"/fill/{kept.number}")


@router.post("/fill/files")
def from_files(visit: OnVisit, files: Annotated[list[UploadFile], File()]) -> Response:
    """Bring in a fill file, and its price list if that was chosen too.

    Parameters
    ----------
    visit
        The request.
    files
        The files.
    """
    texts = [_text(file) for file in files]
    prices = [text for text in texts if _is_price_list(text)]
    fills = [text for text in texts if not _is_price_list(text)]
    if len(prices) > 1 or not fills:
        raise InputError(
            "no fill file is among the files" if not fills else "there are several price lists",
            where="files",
            right="fill files, with at most one price list",
        )
    with visit.store.write() as session:
        kept = [
            keep_fill(session, FillText(text, prices[0] if prices else ""), now=visit.now)
            for text in fills
        ]
    return visit.go(f"/fill/{kept[0].number}" if len(kept) == 1 else "/fill")


@router.post("/fill/pasted")
def from_text(visit: OnVisit, text: Annotated[str, Form()]) -> Response:
    """Begin with a text that was pasted.

    Parameters
    ----------
    visit
        The request.
    text
        The text.
    """
    with visit.store.write() as session:
        kept = keep_fill(session, FillText(plain(text)), now=visit.now)
    return visit.go(f"/fill/{kept.number}")


@router.get("/fill/{number}/file")
def as_file(visit: OnVisit, number: int) -> Response:
    """Hand out the text as a file.

    Parameters
    ----------
    visit
        The request.
    number
        The file.
    """
    with visit.store.read() as session:
        kept = get_fill(session, number)
    return _download(kept.written.text.encode(), f"fill-{number}.toml", "application/toml")


@router.get("/fill/{number}/sheet.pdf")
def sheet(visit: OnVisit, number: int) -> Response:
    """Print the fill sheet, with the order if the file asks for one.

    Parameters
    ----------
    visit
        The request.
    number
        The file.
    """
    from slatewright.paper.fill_sheet import fill_sheet_pdf  # noqa: PLC0415 - typesetting takes its time to import

    work, session = _work(visit, number)
    done = order_of(work) if session.file.need else session
    return _pdf(fill_sheet_pdf(done), f"fill-sheet-{number}")


@router.get("/fill/{number}/order.pdf")
def order(visit: OnVisit, number: int) -> Response:
    """Print the order of helium and oxygen alone.

    Parameters
    ----------
    visit
        The request.
    number
        The file.
    """
    from slatewright.paper.fill_sheet import order_pdf  # noqa: PLC0415 - as above

    work, _ = _work(visit, number)
    return _pdf(order_pdf(order_of(work)), f"gas-order-{number}")


@router.get("/fill/{number}/labels.pdf")
def labels(visit: OnVisit, number: int, cylinder: str = "") -> Response:
    """Print the labels of the cylinders that were analysed.

    Parameters
    ----------
    visit
        The request.
    number
        The file.
    cylinder
        One cylinder; empty for all.
    """
    from slatewright.fill.labelling import label_of  # noqa: PLC0415 - as above
    from slatewright.paper.labels import LabelSheet, labels_pdf  # noqa: PLC0415 - as above

    work, session = _work(visit, number)
    if work.checked is None:
        raise InputError("nothing was analysed", right="what the analyser said, at its cylinder")
    with visit.store.read() as store:
        chain = chain_for(store, get_fill(store, number).written.plan_id)
    rules = visit.house_rules()
    plan = None if chain is None else plan_for(chain, rules)
    chosen = [one for one in work.checked.cylinders if cylinder in {"", one.label}]
    if not chosen:
        raise InputError(f"'{cylinder}' was not analysed", right="an analysed cylinder of the file")
    made = LabelSheet(
        [label_of(one, session.file, rules, plan) for one in chosen if one.accepted],
        [one for one in chosen if not one.accepted],
        plan,
    )
    return _pdf(labels_pdf(made), f"labels-{number}")


def _work(visit: Visit, number: int) -> tuple[Work, Session]:
    with visit.store.read() as session:
        work = work_of(get_fill(session, number).written)
    if work.session is None:
        raise InputError("the text of the file has faults", right="mend them first")
    return work, work.session


def _text(file: UploadFile) -> str:
    try:
        return plain(file.file.read().decode("utf-8-sig"))
    except UnicodeDecodeError:
        name = (file.filename or "the file").replace("\\", "/").rpartition("/")[2]
        raise InputError("is not UTF-8", where=name, right="a TOML file saved as UTF-8") from None


def _is_price_list(text: str) -> bool:
    try:
        return toml_of(text, None).get("schema") == _PRICES
    except InputError:
        return False


def _pdf(content: bytes, name: str) -> Response:
    return _download(content, f"{name}.pdf", "application/pdf")


def _download(content: bytes, name: str, kind: str) -> Response:
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type=kind, headers=headers)
