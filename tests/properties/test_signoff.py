"""The chain of the sign-off book: every change is found, and forgetting changes nothing."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from slatewright.course.signoff import Outcome, Sealed, Signing, head, signed, verify
from slatewright.course.signoff_forgetting import digests_about, forgotten

COURSE = "invented"
TEXT = st.text(min_size=1, max_size=12).filter(
    lambda t: t.strip() and t.isprintable() and t.encode("utf-8", "ignore").decode() == t
)
SALT = st.binary(min_size=16, max_size=16)
SEALED = st.builds(Sealed, TEXT, SALT)
PEOPLE = [Sealed(name, bytes([i] * 16)) for i, name in enumerate(("Ana", "Bo", "Cy"))]
AT = st.builds(
    lambda minutes: datetime(2031, 5, 1, tzinfo=UTC) + timedelta(minutes=minutes),
    st.integers(0, 20_000),
)
SIGNING = st.builds(
    Signing,
    diver=st.sampled_from(PEOPLE),
    skill=st.sampled_from(["mask", "valves", "marker"]),
    dive=st.sampled_from(["d1", "d2"]),
    outcome=st.sampled_from(Outcome),
    by=st.sampled_from(PEOPLE),
    at=AT,
    remark=st.none() | SEALED,
)


@st.composite
def books(draw, least=1):
    entries = []
    for signing in draw(st.lists(SIGNING, min_size=least, max_size=7)):
        free = {e.number for e in entries} - {e.corrects for e in entries}
        corrects = draw(st.none() | st.sampled_from(sorted(free))) if free else None
        entries.append(signed(entries, COURSE, replace(signing, corrects=corrects)))
    return entries


CHANGES = {
    "number": st.integers(-3, 12),
    "course": TEXT,
    "diver": st.sampled_from([p.digest for p in PEOPLE]) | TEXT,
    "skill": TEXT,
    "dive": TEXT,
    "outcome": st.sampled_from(Outcome),
    "remark": st.none() | SEALED.map(lambda s: s.digest),
    "by": st.sampled_from([p.digest for p in PEOPLE]),
    "at": AT,
    "corrects": st.none() | st.integers(0, 9),
    "previous": st.binary(min_size=32, max_size=32).map(bytes.hex),
    "hash": st.binary(min_size=32, max_size=32).map(bytes.hex),
}


@settings(max_examples=60, deadline=None)
@given(books(), st.data())
def test_any_change_of_any_entry_is_found(entries, data):
    place = data.draw(st.integers(0, len(entries) - 1))
    name = data.draw(st.sampled_from(sorted(CHANGES)))
    old = getattr(entries[place], name)
    new = data.draw(CHANGES[name].filter(lambda value: value != old))
    changed = [*entries]
    changed[place] = replace(entries[place], **{name: new})
    found = verify(changed, COURSE)
    assert found is not None
    assert found.number == place + 1


@settings(max_examples=60, deadline=None)
@given(books(), st.data())
def test_a_change_with_its_own_hash_mended_breaks_the_next_link_or_the_head(entries, data):
    place = data.draw(st.integers(0, len(entries) - 1))
    changed = replace(entries[place], skill=entries[place].skill + "x")
    changed = replace(changed, hash=changed.computed_hash())
    found = verify(
        [*entries[:place], changed, *entries[place + 1 :]], COURSE, kept_head=head(entries, COURSE)
    )
    assert found is not None
    assert found.number == place + 2


@settings(max_examples=60, deadline=None)
@given(books(), st.data())
def test_a_removed_entry_is_found(entries, data):
    place = data.draw(st.integers(0, len(entries) - 1))
    left = [*entries[:place], *entries[place + 1 :]]
    found = verify(left, COURSE, kept_head=head(entries, COURSE))
    assert found is not None
    assert found.number == place + 1
    assert (verify(left, COURSE) is None) == (place == len(entries) - 1)


@settings(max_examples=60, deadline=None)
@given(books(least=2), st.data())
def test_another_order_is_found(entries, data):
    order = data.draw(st.permutations(range(len(entries))).filter(lambda o: list(o) != sorted(o)))
    found = verify([entries[i] for i in order], COURSE)
    assert found is not None
    assert found.number == next(n for n, i in enumerate(order) if n != i) + 1


@settings(max_examples=60, deadline=None)
@given(books(), SIGNING, st.data())
def test_an_inserted_entry_is_found(entries, signing, data):
    place = data.draw(st.integers(0, len(entries)))
    forged = signed(entries[:place], COURSE, replace(signing, at=signing.at + timedelta(days=99)))
    found = verify(
        [*entries[:place], forged, *entries[place:]], COURSE, kept_head=head(entries, COURSE)
    )
    if place == len(entries):  # it was appended as it should be, and the kept head is in the book
        assert found is None
    else:
        assert found is not None
        assert found.number == place + 2


@settings(max_examples=60, deadline=None)
@given(books(), st.sampled_from(PEOPLE), st.data())
def test_forgetting_keeps_the_chain(entries, person, data):
    texts = {p.digest: p for p in PEOPLE}
    kept = head(entries, COURSE)
    left = forgotten(texts, digests_about(entries, person.digest))
    assert person.digest not in left
    assert verify(entries, COURSE, kept_head=kept, texts=left) is None
    others = data.draw(SIGNING)
    longer = [*entries, signed(entries, COURSE, others)]
    assert verify(longer, COURSE, kept_head=kept, texts=left) is None
