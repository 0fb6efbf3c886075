"""Old tables are brought up to date: from every released revision, all of it or nothing."""

from __future__ import annotations

import re
import shutil
import sqlite3
import subprocess
from contextlib import closing
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import create_engine, inspect, text
from sqlalchemy.exc import DBAPIError

from slatewright.course.signoff import verify
from slatewright.errors import InputError
from slatewright.store import migration, open_store, open_workspace
from slatewright.store.backups import faults_in, list_backups
from slatewright.store.certificates import list_certificates
from slatewright.store.courses import course_texts, list_courses
from slatewright.store.debriefs import recent_debriefs
from slatewright.store.dives import list_dives
from slatewright.store.faults import StoreBusy, StoreDamaged, StoreNewer
from slatewright.store.logbooks import list_logged_dives, list_set_aside
from slatewright.store.people import list_people
from slatewright.store.plans import create_plan, list_plans, plan_texts
from slatewright.store.schema import Base
from slatewright.store.settings import HOUSE_RULES, get_setting
from slatewright.store.sign_offs import book_of
from slatewright.store.standards import list_standards
from slatewright.store.upcoming import Missing, upcoming_dives
from slatewright.store.vouching import cylinder_analyses
from slatewright.store.waivers import list_waivers
from slatewright.store.workspace import BACKUPS, DATABASE

from .conftest import NOON

CHILD = str(Path(__file__).with_name("child.py"))
RELEASED = Path(__file__).with_name("released")
REVISIONS, HEAD = migration.revisions()


def released(kind):
    return sorted(RELEASED.glob(f"*.{kind}.sql"))


def assert_all_is_there(store):
    """What builders/dump_released_store.py put in is what the present program reads out."""
    with store.read() as session:
        wall, gallery = list_plans(session)
        assert (wall.title, gallery.title) == ("The wall, 96 m", "The gallery, 78 m")
        assert (wall.earlier_plan_id, wall.version) == (gallery.id, 2)
        texts = plan_texts(session, wall.id)
        # the plan as it was when the revision was dumped; the example has moved on since
        kept = RELEASED / "0001.plan.toml"
        assert texts[1].text == 'title = "a start"\n'
        assert texts[0].text.count("\n") > 40
        if REVISIONS[0] == HEAD:
            assert texts[0].text == kept.read_text("utf-8")
        (trashed,) = list_plans(session, trashed=True)
        assert trashed.trashed_at == NOON
        assert plan_texts(session, trashed.id)[0].text == (
            "title = 'it''s; -- \"quoted\" \u2013 \u6df1'\n"
        )
        (person,) = list_people(session)
        assert (person.name, person.emergency_contact) == ("Anker Windlass", "Berit, 555-0101")
        (dive,) = list_dives(session, from_date=NOON.date())
        (next_dive,) = upcoming_dives(session, from_date=NOON.date())
        assert (next_dive.dive, next_dive.missing) == (dive, (Missing.SIGN_OFF,))
        assert next_dive.signatures[0].by_person_id == person.id
        assert cylinder_analyses(session, "S3")[0].he_pct is None
        assert get_setting(session, HOUSE_RULES).value == "floor_bar = 0.18\n"
        assert person.born_on is None
        courses = list_courses(session)
        if courses:  # since revision 0002
            assert_the_course_is_there(session, person, courses)
    with store.write() as session:  # numbers go on where they were
        assert create_plan(session, "title = 'new'", now=NOON).id > trashed.id


def assert_the_course_is_there(session, person, courses):
    (course,) = courses
    assert (course.title, len(course_texts(session, course.id))) == ("Two weeks", 2)
    (kept,) = list_logged_dives(session, person.id)
    assert (str(kept.dive.greatest), kept.dive.mixes[0].he) == ("150 ft", 0.45)
    assert list_set_aside(session, person.id)[0].reasons == ("no such day",)
    assert list_certificates(session, person.id)[0].certificate.kinds == {"trimix"}
    assert list_waivers(session, person.id)[0].waiver.rule == "age"
    assert list_standards(session)[0].title == "ours"
    book = book_of(session, course.id)
    assert verify(book.entries, book.course, texts=book.texts) is None
    assert {sealed.text for sealed in book.texts.values()} == {person.name, "Old Tam", "calm"}
    assert recent_debriefs(session, most=1)[0].text == "as planned"


def assert_tables_are_the_models(connection):
    """What migrations made is what the models say, down to defaults and checks."""
    context = MigrationContext.configure(
        connection, opts={"compare_type": True, "compare_server_default": True}
    )
    assert compare_metadata(context, Base.metadata) == []
    found = inspect(connection)
    for table in Base.metadata.sorted_tables:
        names = {check["name"] for check in found.get_check_constraints(table.name)}
        wanted = {str(c.name) for c in table.constraints if type(c).__name__ == "CheckConstraint"}
        assert names == wanted
        keys = {k["name"]: k.get("options", {}) for k in found.get_foreign_keys(table.name)}
        assert keys == {
            str(key.name): {"ondelete": key.ondelete} if key.ondelete else {}
            for key in table.foreign_key_constraints
        }


@pytest.mark.parametrize("path", released("sqlite"), ids=lambda path: path.name)
def test_a_released_workspace_is_brought_up_to_date(path, tmp_path):
    with closing(sqlite3.connect(tmp_path / DATABASE)) as connection:
        connection.executescript(path.read_text("utf-8"))
    with open_workspace(tmp_path, now=NOON) as store:
        assert_all_is_there(store)
        assert [b.revision for b in store.backups] == [path.name.partition(".")[0]]
    assert faults_in(tmp_path / DATABASE) == ()
    engine = create_engine(f"sqlite:///{tmp_path / DATABASE}")
    with engine.connect() as connection:
        assert_tables_are_the_models(connection)
    engine.dispose()


@pytest.mark.parametrize("path", released("postgresql"), ids=lambda path: path.name)
def test_a_released_database_is_brought_up_to_date(path, server, empty_database):
    name = empty_database.rpartition("/")[2]
    server.client("psql", name, "-q", "-v", "ON_ERROR_STOP=1", given=path.read_text("utf-8"))
    with open_store(empty_database, now=NOON) as store:
        assert_all_is_there(store)
    engine = create_engine(empty_database)
    with engine.connect() as connection:
        assert_tables_are_the_models(connection)
    engine.dispose()


def test_every_revision_has_its_dumps():
    for kind in ("sqlite", "postgresql"):
        names = [path.name.partition(".")[0] for path in released(kind)]
        assert names == list(REVISIONS), "run builders/dump_released_store.py"


def test_a_fresh_store_has_the_tables_of_the_models(address):
    open_store(address, now=NOON).close()
    engine = create_engine(address if "://" in address else f"sqlite:///{address}/{DATABASE}")
    with engine.connect() as connection:
        assert_tables_are_the_models(connection)
    engine.dispose()


def test_sqlite_never_gives_a_number_twice(tmp_path):
    open_workspace(tmp_path, now=NOON).close()
    with closing(sqlite3.connect(tmp_path / DATABASE)) as connection:
        made = dict(connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'table'"))
    for table in Base.metadata.sorted_tables:
        wanted = table.dialect_options["sqlite"]["autoincrement"]
        assert ("AUTOINCREMENT" in made[table.name]) is wanted, table.name


def test_names_of_files_are_what_alembic_reads():
    config = Config()
    config.set_main_option("script_location", str(migration.SCRIPTS))
    scripts = ScriptDirectory.from_config(config)
    assert scripts.get_heads() == [HEAD]
    assert tuple(s.revision for s in scripts.walk_revisions())[::-1] == REVISIONS
    for script in scripts.walk_revisions():
        assert re.fullmatch(rf"{script.revision}_[a-z_]+\.py", Path(script.path).name)


NEXT = """
import sqlalchemy as sa
from alembic import op

revision = "9998"
down_revision = "{head}"

def upgrade():
    rebuild = "always" if op.get_bind().dialect.name == "sqlite" else "never"
    with op.batch_alter_table("plan", recreate=rebuild) as table:
        table.add_column(sa.Column("site", sa.Text(), nullable=False, server_default="unknown"))
    {then}
"""


@pytest.fixture
def next_program(tmp_path, monkeypatch):
    """Return what makes this program a newer one, with one migration more."""

    def make(then="pass"):
        scripts = tmp_path / "100 % newer"  # an odd name: it goes through Alembic's settings
        shutil.rmtree(scripts, ignore_errors=True)
        shutil.copytree(migration.SCRIPTS, scripts, ignore=shutil.ignore_patterns("__pycache__"))
        step = NEXT.format(head=HEAD, then=then)
        (scripts / "versions" / "9998_site.py").write_text(step)
        monkeypatch.setattr(migration, "SCRIPTS", scripts)

    return make


def with_history(address):
    with open_store(address, now=NOON) as store, store.write() as session:
        first = create_plan(session, "title = 'one'", now=NOON)
        create_plan(session, "title = 'two'", now=NOON, earlier_plan_id=first.id)


def sites(address):
    with open_store(address, now=NOON) as store, store.read() as session:
        return session.execute(text("SELECT title, site FROM plan ORDER BY id")).all()


@pytest.fixture
def own_address(request, address):
    """An address whose tables may be changed."""
    return request.getfixturevalue("empty_database") if "://" in address else address


def test_a_newer_program_brings_it_up_to_date(own_address, next_program):
    """A table that others refer to is rebuilt (SQLite), and nothing is lost with the old one."""
    with_history(own_address)
    next_program()
    assert sites(own_address) == [("one", "unknown"), ("two", "unknown")]
    with open_store(own_address, now=NOON) as store, store.read() as session:
        one, two = sorted(list_plans(session), key=lambda plan: plan.id)
        assert two.earlier_plan_id == one.id
    if "://" not in own_address:
        backups = list_backups(Path(own_address) / BACKUPS)
        assert {b.revision for b in backups} == {HEAD, "9998"}, "none was made before"


def test_an_older_program_is_told(own_address, next_program, monkeypatch):
    today = migration.SCRIPTS
    next_program()
    with_history(own_address)
    monkeypatch.setattr(migration, "SCRIPTS", today)
    with pytest.raises(StoreNewer, match=r"9998.*nothing was changed") as told:
        open_store(own_address, now=NOON)
    assert "restore a backup" in told.value.message()
    assert "newer program" in told.value.message()


@pytest.mark.parametrize(
    ("then", "error"),
    [
        ("raise ZeroDivisionError", ZeroDivisionError),
        ("op.execute('no such statement')", DBAPIError),
    ],
)
def test_a_migration_that_fails_changes_nothing(
    own_address, next_program, then, error, monkeypatch
):
    with_history(own_address)
    today = migration.SCRIPTS
    next_program(then)
    with pytest.raises(error):
        open_store(own_address, now=NOON)
    monkeypatch.setattr(migration, "SCRIPTS", today)
    with open_store(own_address, now=NOON) as store, store.read() as session:
        assert [p.title for p in list_plans(session)] == ["two", "one"]
        with pytest.raises(DBAPIError, match="site"):
            session.execute(text("SELECT site FROM plan"))


def test_a_migration_that_orphans_records_changes_nothing(tmp_path, next_program):
    folder = tmp_path / "workspace"
    with_history(folder)
    next_program("op.execute('DELETE FROM plan WHERE earlier_plan_id IS NULL')")
    with pytest.raises(StoreDamaged, match="1 records of plan would refer to nothing"):
        open_workspace(folder, now=NOON)
    assert faults_in(folder / DATABASE) == ()


def test_no_tables_are_changed_under_a_program_that_uses_them(tmp_path, next_program, python):
    folder = tmp_path / "workspace"
    with_history(folder)
    with subprocess.Popen(
        [*python, CHILD, "hold", str(folder)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    ) as other:  # fmt: skip
        assert [other.stdout.readline() for _ in range(2)] == ["ready\n", "open\n"]
        next_program()
        with pytest.raises(StoreBusy, match="open in another window"):
            open_workspace(folder, now=NOON)
        other.communicate("enough\n")
    assert len(sites(folder)) == 2


def test_another_programs_database_is_left_alone(own_address, tmp_path):
    if "://" in own_address:
        engine = create_engine(own_address)
    else:
        Path(own_address).mkdir()
        engine = create_engine(f"sqlite:///{own_address}/{DATABASE}")
    with engine.begin() as connection:
        connection.execute(text("CREATE TABLE other (x INTEGER)"))
    with pytest.raises(InputError, match=r"another program's|holds other things"):
        open_store(own_address, now=NOON)
    with engine.begin() as connection:
        connection.execute(text("CREATE TABLE alembic_version (version_num VARCHAR(32))"))
        connection.execute(text("INSERT INTO alembic_version VALUES ('77ab')"))
    with pytest.raises(InputError, match=r"another program's|holds other things"):
        open_store(own_address, now=NOON)
    with engine.connect() as connection:
        assert set(inspect(connection).get_table_names()) == {"other", "alembic_version"}
    engine.dispose()
