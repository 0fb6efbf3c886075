"""Cards and logbooks on their pages: shown, asked, confirmed, remembered, corrected, handed out."""

from __future__ import annotations

import html
import re
from datetime import date, time

import pytest

from slatewright.desk.roster.drafts import MOST_DRAFTS
from slatewright.logs.csv_out import write_csv
from slatewright.logs.logged import DepthUnit, LoggedDepth, LoggedDive
from slatewright.logs.reading import read_logbook
from slatewright.logs.uddf_out import write_uddf
from slatewright.physics.mixture import Mixture
from slatewright.store.logbooks import list_logbooks, list_logged_dives, list_set_aside
from slatewright.store.people import Particulars, add_person

from .conftest import NOON

# no unit anywhere, dates that could be May or September, and no name for the duration
BARE = (
    "Day;In;Time;Max;Gas;Place\n"
    "05.09.2030;09:30;1:02;30;air;the Stair\n"
    "06.09.2030;10:00;0:58;28,5;EAN32;the Saddle\n"
    "07.09.2030;11:00;1:05;30,5;18/45;the Saddle\n"
    "xx;11:00;1:05;30,5;18/45;nowhere\n"
)


def dive(day=1, minutes=50.0, depth=30.0, **more):
    more.setdefault("began_at", time(9, 0))
    more.setdefault("mixes", (Mixture(0.21, 0.0),))
    return LoggedDive(
        on_date=date(2031, 4, day), minutes=minutes, greatest=LoggedDepth(depth), **more
    )


@pytest.fixture
def person(store):
    particulars = Particulars(
        "Tove Sandreed", born_on=date(1998, 2, 28), medical_until=date(2031, 5, 3)
    )
    with store.write() as session:
        return add_person(session, particulars, now=NOON).id


@pytest.fixture
def path(person):
    return f"/people/{person}/logbook"


def send(desk, path, name, text):
    """Upload a file; returns the path of its page, or the refusal."""
    data = text if isinstance(text, bytes) else text.encode()
    answer = desk.submit(f"{path}/files", files={"file": (name, data, "text/csv")})
    return answer.headers["location"] if answer.status_code == 303 else answer


def seen(page):
    return re.search(r'name="seen" value="(\w+)"', page.text)[1]


def keep(desk, place, **said):
    page = desk.get(place)
    return desk.submit(f"{place}/keep", {"seen": seen(page), **said})


def kept(store, person):
    with store.read() as session:
        return [one.dive for one in list_logged_dives(session, person)]


def text_of(page):
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page.text)).split())


def answers(page):
    """Each question of a page with its choices."""
    parts = re.findall(r'name="about-(\d+)" value="([^"]+)"', page.text)
    return {
        about: (number, re.findall(rf'name="answer-{number}" value="([^"]+)"', page.text))
        for number, about in parts
    }


def answer(desk, place, wanted):
    """Answer every question until none is left."""
    while asked := answers(desk.get(place)):
        said = {}
        for about, (number, choices) in asked.items():
            value = wanted[about.partition(":")[0]]
            assert value in choices
            said |= {f"about-{number}": about, f"answer-{number}": value}
        assert desk.submit(f"{place}/columns", said).status_code == 303


def test_what_is_known_is_shown(desk, path):
    page = text_of(desk.get(path))
    assert "28 February 1998 33 years" in page
    assert "ran out on 3 May 2031" in page  # today is the 4th


def test_a_card_is_added_and_removed(desk, store, path):
    card = {
        "title": "Trimix diver",
        "allows": "Trimix,  decompression ,",
        "issued_on": "2029-06-01",
    }
    assert desk.submit(f"{path}/cards", card).status_code == 303
    page = desk.get(path)
    assert "allows decompression, trimix" in text_of(page)
    number = re.search(r"/cards/(\d+)/remove", page.text)[1]
    assert desk.submit(f"{path}/cards/{number}/remove").status_code == 303
    assert "No card is on file" in desk.get(path).text


@pytest.mark.parametrize("wrong", [{"title": " "}, {"title": "x", "issued_on": "June"}])
def test_a_card_with_faults_is_refused(desk, path, wrong):
    refused = desk.submit(f"{path}/cards", wrong)
    assert refused.status_code == 422
    assert "Not taken" in refused.text


def test_nothing_is_guessed_and_nothing_kept_before_it_is_confirmed(desk, store, person, path):
    place = send(desk, path, "log.csv", BARE)
    page = desk.get(place)
    assert set(answers(page)) == {"depth-unit:3", "column:duration"}
    assert "Keep it" not in page.text
    assert "sure, 95 %" in text_of(page)
    answer(desk, place, {"depth-unit": "m", "column": "2", "duration": "h:mm"})
    page = desk.get(place)
    assert "3 dives" in text_of(page)
    assert "as you said" in page.text
    assert kept(store, person) == []
    assert keep(desk, place).status_code == 303
    dives = kept(store, person)
    assert [one.minutes for one in dives] == [65.0, 58.0, 62.0]
    assert dives[0].on_date == date(2030, 9, 7)
    assert desk.get(place).status_code == 404  # the draft is done with


def test_questions_must_be_answered_first(desk, store, person, path):
    place = send(desk, path, "log.csv", BARE)
    refused = desk.submit(f"{place}/keep", {"seen": "x"})
    assert refused.status_code == 422
    assert "not answered yet" in refused.text
    assert kept(store, person) == []


def test_a_reload_loses_nothing(desk, path):
    place = send(desk, path, "log.csv", BARE)
    answer(desk, place, {"depth-unit": "ft", "column": "2", "duration": "h:mm"})
    for _ in range(2):
        assert "30 ft" in text_of(desk.get(place))


def test_columns_are_changed_and_remembered(desk, store, person, path):
    place = send(desk, path, "log.csv", BARE)
    answer(desk, place, {"depth-unit": "m", "column": "2", "duration": "h:mm"})
    assert desk.submit(f"{place}/columns", {"dot": "m/d/y", "unit-3": "ft"}).status_code == 303
    keep(desk, place)
    assert {one.on_date.day for one in kept(store, person)} == {9}
    assert {one.greatest.unit for one in kept(store, person)} == {DepthUnit.FEET}
    next_file = BARE.splitlines()[0] + "\n03.02.2031;09:00;0:50;30;air;the Stair\n"
    again = desk.get(send(desk, path, "next.csv", next_file))
    assert "as you confirmed it" in again.text
    assert not answers(again)
    assert "2 March 2031" in text_of(again)
    assert "30 ft" in text_of(again)


def test_one_column_for_a_thing(desk, path):
    place = send(desk, path, "log.csv", BARE)
    refused = desk.submit(f"{place}/columns", {"says-0": "date", "says-1": "date"})
    assert refused.status_code == 422
    assert "two columns say the date" in refused.text


def test_rows_set_aside_are_corrected_or_dropped(desk, store, person, path):
    place = send(desk, path, "log.csv", BARE)
    answer(desk, place, {"depth-unit": "m", "column": "2", "duration": "h:mm"})
    assert "line 5" in text_of(desk.get(place))
    keep(desk, place)
    page = desk.get(path)
    assert "xx;11:00;1:05;30,5;18/45;nowhere" in page.text
    number = re.search(r'id="row-(\d+)"', page.text)[1]
    still = desk.submit(f"{path}/aside/{number}", {"do": "read", "text": "yy;11:00;1:05;30,5;;x"})
    assert still.status_code == 422
    assert "yy;11:00" in still.text  # what was typed is not lost
    right = {"do": "read", "text": "08.09.2030;11:00;1:05;30,5;18/45;nowhere"}
    assert desk.submit(f"{path}/aside/{number}", right).status_code == 303
    added = kept(store, person)[0]
    assert (added.on_date, added.greatest.value) == (date(2030, 9, 8), 30.5)
    assert (added.origin.name, added.origin.line) == ("log.csv", 5)
    assert 'id="row-' not in desk.get(path).text
    assert desk.submit(f"{path}/aside/{number}", {"do": "drop"}).status_code == 404


def test_a_corrected_row_that_is_kept_already_is_asked(desk, store, person, path):
    place = send(desk, path, "log.csv", BARE)
    answer(desk, place, {"depth-unit": "m", "column": "2", "duration": "h:mm"})
    keep(desk, place)
    number = re.search(r'id="row-(\d+)"', desk.get(path).text)[1]
    same = {"do": "read", "text": "07.09.2030;11:00;1:05;30,5;18/45;the Saddle"}
    asked = desk.submit(f"{path}/aside/{number}", same)
    assert asked.status_code == 422
    assert "may be kept already" in asked.text
    assert desk.submit(f"{path}/aside/{number}", {**same, "decided": "once"}).status_code == 303
    assert len(kept(store, person)) == 3
    with store.read() as session:
        assert list_set_aside(session, person) == ()


@pytest.mark.parametrize("write", [write_csv, write_uddf])
def test_what_stands_twice_is_shown_and_decided(desk, store, person, path, write):
    first = [dive(1), dive(5), dive(9)]
    keep(desk, send(desk, path, "one", write(first)))
    second = [
        dive(1, place="the Stair"),  # the very same, with more to it
        dive(5, depth=30.4, began_at=time(9, 4)),  # likely
        dive(20),
    ]
    place = send(desk, path, "two", write(second))
    page = desk.get(place)
    assert "starts 4 min apart" in page.text
    undecided = keep(desk, place, exact="once")
    assert undecided.status_code == 422
    assert "1 dives that likely stand twice" in undecided.text
    assert len(kept(store, person)) == 3
    assert keep(desk, place, exact="once", likely="both").status_code == 303
    dives = kept(store, person)
    assert len(dives) == 5
    assert [one.place for one in dives if one.on_date.day == 1] == ["the Stair"]


def test_a_pair_is_decided_by_itself(desk, store, person, path):
    keep(desk, send(desk, path, "one.csv", write_csv([dive(1), dive(5)])))
    more = [dive(1, depth=30.4, began_at=time(9, 4)), dive(5, depth=30.4, began_at=time(9, 4))]
    place = send(desk, path, "two.csv", write_csv(more))
    said = {"likely": "once", "twin-1": "both"}
    assert keep(desk, place, **said).status_code == 303
    assert sorted(one.on_date.day for one in kept(store, person)) == [1, 5, 5]


def test_what_was_seen_must_still_hold(desk, store, person, path):
    place = send(desk, path, "one.csv", write_csv([dive(1)]))
    old = seen(desk.get(place))
    typed = {"on_date": "2031-04-01", "minutes": "50", "depth": "30", "began_at": "09:00"}
    assert desk.submit(f"{path}/dives", typed).status_code == 303
    refused = desk.submit(f"{place}/keep", {"seen": old, "exact": "once"})
    assert refused.status_code == 422
    assert "changed since" in refused.text
    assert keep(desk, place, exact="once").status_code == 303
    assert len(kept(store, person)) == 1


def test_the_very_same_file_is_not_read_twice(desk, path):
    text = write_csv([dive(1)])
    keep(desk, send(desk, path, "one.csv", text))
    refused = send(desk, path, "renamed.csv", text)
    assert refused.status_code == 422
    assert "read already" in refused.text


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("", b"x"),
        ("empty.csv", b""),
        ("zip.csv", b"PK\x03\x04abcd"),
        ("words.csv", b"hello\nworld\n"),
        ("bomb.uddf", b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "b">]><uddf>&a;</uddf>'),
    ],
)
def test_what_is_no_logbook_is_refused(desk, store, person, path, name, data):
    refused = send(desk, path, name, data)
    assert refused.status_code == 422
    with store.read() as session:
        assert list_logbooks(session, person) == ()


def test_a_dive_by_hand(desk, store, person, path):
    typed = {
        "on_date": "2031-04-01", "began_at": "23:40", "minutes": "1:05", "depth": "100",
        "unit": "ft", "gases": "18/45; EAN50", "decompression": "yes", "partners": "Mirren, Jory",
        "equipment": "Twinset", "role": "student", "circuit": "open circuit", "number": "7",
        "place": "the Stair", "remark": "over midnight",
    }  # fmt: skip
    assert desk.submit(f"{path}/dives", typed).status_code == 303
    (one,) = kept(store, person)
    assert one.greatest == LoggedDepth(100.0, DepthUnit.FEET)
    assert (one.minutes, one.on_date, one.began_at) == (65.0, date(2031, 4, 1), time(23, 40))
    assert one.mixes == (Mixture(0.18, 0.45), Mixture(0.5, 0.0))
    assert (one.partners, one.equipment) == (("Mirren", "Jory"), ("twinset",))
    assert one.origin.name == "by hand"
    again = desk.submit(f"{path}/dives", typed)
    assert again.status_code == 422
    assert "may be kept already" in again.text
    assert "over midnight" in again.text
    assert desk.submit(f"{path}/dives", {**typed, "decided": "once"}).status_code == 303
    assert len(kept(store, person)) == 1
    assert desk.submit(f"{path}/dives", {**typed, "decided": "both"}).status_code == 303
    assert len(kept(store, person)) == 2


def test_a_dive_by_hand_with_faults_tells_all_of_them(desk, store, person, path):
    typed = {"on_date": "2031-04-31", "minutes": "long", "depth": "deep", "place": "the Stair"}
    refused = desk.submit(f"{path}/dives", typed)
    assert refused.status_code == 422
    told = text_of(refused)
    assert all(word in told for word in ("2031-04-31", "long", "deep"))
    assert 'value="the Stair"' in refused.text
    assert kept(store, person) == []


def test_dives_and_logbooks_are_removed(desk, store, person, path):
    keep(desk, send(desk, path, "one.csv", write_csv([dive(1), dive(5)])))
    number = re.search(r'name="dive_id" value="(\d+)"', desk.get(path).text)[1]
    assert desk.submit(f"{path}/dives/remove", {"dive_id": number}).status_code == 303
    assert len(kept(store, person)) == 1
    book = re.search(r"/logbook/(\d+)/remove", desk.get(path).text)[1]
    assert desk.submit(f"{path}/{book}/remove").status_code == 303
    assert kept(store, person) == []


def test_nobody_reaches_into_anothers_logbook(desk, store, person, path):
    keep(desk, send(desk, path, "one.csv", write_csv([dive(1)])))
    place = send(desk, path, "two.csv", write_csv([dive(9)]))
    page = desk.get(path).text
    number = re.search(r'name="dive_id" value="(\d+)"', page)[1]
    book = re.search(r"/logbook/(\d+)/remove", page)[1]
    with store.write() as session:
        other = add_person(session, Particulars("Casper"), now=NOON).id
    theirs = f"/people/{other}/logbook"
    assert desk.submit(f"{theirs}/dives/remove", {"dive_id": number}).status_code == 404
    assert desk.submit(f"{theirs}/{book}/remove").status_code == 404
    assert desk.get(place.replace(path, theirs)).status_code == 404
    assert len(kept(store, person)) == 1


@pytest.mark.parametrize("kind", ["csv", "uddf"])
def test_what_goes_out_comes_back(desk, store, person, path, kind):
    given = [dive(1, place="the Stair"), dive(5, decompression=True, partners=("Jory",))]
    keep(desk, send(desk, path, "one.csv", write_csv(given)))
    out = desk.get(f"{path}.{kind}")
    assert out.headers["content-disposition"] == (
        f'attachment; filename="tove-sandreed-logbook.{kind}"'
    )
    back = read_logbook(out.content, "back").dives
    assert [(one.on_date, one.place, one.partners) for one in back] == [
        (one.on_date, one.place, one.partners) for one in given
    ]


def test_long_logbooks_are_paged(desk, path):
    given = [
        LoggedDive(
            on_date=date(2029, 1, 1 + n % 28), minutes=40.0 + n, greatest=LoggedDepth(20.0 + n / 10)
        )
        for n in range(250)
    ]
    keep(desk, send(desk, path, "one.csv", write_csv(given)), likely="both", exact="both")
    page = desk.get(path)
    assert "1 to 200 of 250" in text_of(page)
    assert page.text.count('name="dive_id"') == 200
    later = desk.get(f"{path}?start=200")
    assert "201 to 250 of 250" in text_of(later)
    assert later.text.count('name="dive_id"') == 50
    assert desk.get(f"{path}?start=-1").status_code == 422


def test_the_example_is_one_to_try(desk, path):
    begun = desk.submit(f"{path}/example")
    assert answers(desk.get(begun.headers["location"]))


def test_few_drafts_are_held(desk, path):
    first = send(desk, path, "one.csv", write_csv([dive(1)]))
    for day in range(MOST_DRAFTS):
        last = send(desk, path, f"{day}.csv", write_csv([dive(1, minutes=60.0 + day)]))
    assert desk.get(first).status_code == 404
    assert desk.get(last).status_code == 200
    assert desk.submit(f"{last}/drop").status_code == 303
    assert desk.get(last).status_code == 404


def test_nobody_has_no_logbook(desk):
    assert desk.get("/people/99/logbook").status_code == 404
    assert send(desk, "/people/99/logbook", "x.csv", BARE).status_code == 404


def test_a_form_without_our_token_does_nothing(desk, store, person, path):
    desk.get(path)
    stolen = desk.post(f"{path}/files", files={"file": ("x.csv", b"a,b\n1,2\n", "text/csv")})
    assert stolen.status_code == 403
