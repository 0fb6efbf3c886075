"""Forgetting a person: names and remarks go, the entries and their chain stay."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from slatewright.course.signoff import Entry, Sealed


def forgotten(texts: Mapping[str, Sealed], digests: Iterable[str]) -> dict[str, Sealed]:
    """Return the texts without those of a person: the entries stay as they are.

    Parameters
    ----------
    texts
        Names and remarks by their digests.
    digests
        What is to be forgotten, such as what `digests_about` returns.
    """
    gone = set(digests)
    return {digest: text for digest, text in texts.items() if digest not in gone}


def digests_about(entries: Iterable[Entry], person: str) -> frozenset[str]:
    """Return the digests under which something about a person is kept.

    Those are the name, the remarks on the person's skills, and the remarks that the person made.

    Parameters
    ----------
    entries
        The book.
    person
        Digest of the name.
    """
    remarks = {e.remark for e in entries if person in {e.diver, e.by} and e.remark is not None}
    return frozenset({person, *remarks})
