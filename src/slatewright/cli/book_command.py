"""``slatewright book``: the sign-off book of a course, verified entry by entry."""

from __future__ import annotations

import sys

from slatewright.cli.reporting import printable, refusals
from slatewright.cli.workspaces import opened
from slatewright.course.signoff_head import read_head
from slatewright.errors import InputError, NoSafeAnswer, Reason


def run_book_list(workspace: str | None) -> None:
    """Print the courses of a workspace and their numbers.

    Parameters
    ----------
    workspace
        The workspace; None for the person's own.
    """
    with opened(workspace) as store:
        from slatewright.store.courses import list_courses  # noqa: PLC0415 - start-up is budgeted

        with store.read() as session:
            courses = sorted(list_courses(session), key=lambda course: course.id)
        for course in courses:
            sys.stdout.write(f"{course.id:>4}  {printable(course.title)}\n")
        if not courses:
            sys.stdout.write("No course is in this workspace.\n")


def run_book(course: int, workspace: str | None, head: str | None) -> None:
    """Verify a book, and print its head; a book that does not hold exits 3.

    Parameters
    ----------
    course
        The number of the course.
    workspace
        The workspace; None for the person's own.
    head
        A head that was kept elsewhere, as it was typed; None if none was.
    """
    with refusals(f"course {course}"):
        kept_head = None if head is None else read_head(head)
    with opened(workspace) as store:
        from slatewright.course.signoff import head as head_of  # noqa: PLC0415 - as elsewhere
        from slatewright.course.signoff import verify  # noqa: PLC0415 - as above
        from slatewright.store.courses import get_course  # noqa: PLC0415 - as above
        from slatewright.store.faults import NoSuchRecord  # noqa: PLC0415 - as above
        from slatewright.store.sign_offs import book_of  # noqa: PLC0415 - as above

        with store.read() as session:
            try:
                kept, book = get_course(session, course), book_of(session, course)
            except NoSuchRecord as error:
                raise InputError(
                    error.what, right="a number that `slatewright book` prints"
                ) from error
    broken = verify(book.entries, book.course, kept_head=kept_head, texts=book.texts)
    with refusals(f"course {course}", refused="the book does not hold"):
        if broken is not None:
            raise NoSafeAnswer(
                Reason(str(broken), "restore a backup from before, and compare; trust no entry")
            )
    count = len(book.entries)
    held = " The head that was kept is in it." if kept_head else ""
    noun = "entry" if count == 1 else "entries"
    sys.stdout.write(
        f"{kept.title}: {count} {noun}, and every one holds.{held}\n"
        f"head {head_of(book.entries, book.course)}\n"
    )
