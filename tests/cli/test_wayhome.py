"""The way home on the command line: shown, refused, and printed on a person's word only."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from io import BytesIO

import pypdf
import pytest

from slatewright import cautions
from slatewright.supply import judged

from .conftest import EXAMPLES

WALL = EXAMPLES / "build-up-week" / "6-the-wall.toml"
QUARRY = EXAMPLES / "imperial" / "quarry-200ft.toml"


def pages(pdf):
    return [page.extract_text() for page in pypdf.PdfReader(BytesIO(pdf.read_bytes())).pages]


def flat(text):
    return " ".join(text.split())


def test_a_dive_says_above_all_whether_there_is_a_way_home(run):
    head = run("dive", QUARRY).stdout.splitlines()[4]
    assert head == "Way home: from every minute, for all 13 failures"


def test_a_plan_without_a_way_home_exits_3_with_minute_failure_and_cure(run, stranded_file):
    told = run("dive", stranded_file, "--json")
    assert told.exit_code == 3
    document = json.loads(told.stdout)
    home = document["way_home"]
    assert home["has_way_home"] is False
    first = home["first_failing"]
    done = run("dive", stranded_file)
    assert done.exit_code == 3
    reason = flat(done.stderr).partition("because ")[2].partition("because ")[0]
    assert f"from minute {first['minute']} (45 m) there is no way home" in reason
    assert f"with {first['failure']}: " in reason
    assert "cure: " in reason
    assert re.search(r"leave 45 m at \d+ min of run time", reason)
    title = next(line for line in done.stdout.splitlines() if line.startswith("NO WAY HOME: "))
    assert f"min {first['minute']}" in title
    assert first["failure"] in title
    failing = [f for f in home["failures"] if f["first_without_min"] is not None]
    codes = [hazard["code"] for hazard in document["hazards"]]
    assert codes.count("no-way-home") == len(failing)
    for failure in failing:
        said = next(
            line for line in done.stdout.splitlines() if f"  {failure['failure']}  " in line
        )
        number = int(re.search(r"!(\d+)$", said)[1])
        assert f"with {failure['failure']}: " in document["hazards"][number - 1]["text"]


def test_its_cure_cures(run, stranded_file):
    """What is advised is done: the stay is left at the minute named, and there is a way home."""
    advice = re.search(r"leave 45 m at (\d+) min", flat(run("dive", stranded_file).stderr))
    text = stranded_file.read_text(encoding="utf-8")
    stranded_file.write_text(text.replace("leave_at_min = 30", f"leave_at_min = {advice[1]}"))
    assert run("wayhome", stranded_file).exit_code == 0


def test_no_slate_is_printed_without_a_way_home(run, stranded_file, tmp_path):
    slate, chart = tmp_path / "slate.pdf", tmp_path / "profile.svg"
    done = run("dive", stranded_file, "--slate", slate, "--chart", chart)
    assert done.exit_code == 3
    assert not slate.exists()
    assert chart.exists()
    assert "No slate was printed" in done.stderr
    assert "--on-my-word NAME" in done.stderr
    assert f"The slate is in {slate}" not in done.stdout


def test_on_a_persons_word_the_slate_is_printed_and_says_so_on_every_page(
    run, stranded_file, tmp_path
):
    slate = tmp_path / "slate.pdf"
    done = run("dive", stranded_file, "--slate", slate, "--on-my-word", "M. Fraser")
    assert done.exit_code == 0
    assert "NO WAY HOME" in done.stdout
    printed = pages(slate)
    assert len(printed) >= 2
    for page in printed:
        assert "NO WAY HOME" in flat(page)
        assert "printed on the word of M. Fraser" in flat(page)


@pytest.mark.parametrize("word", ["", "  ", "---", "007"])
def test_a_word_needs_a_name(run, stranded_file, tmp_path, word):
    slate = tmp_path / "slate.pdf"
    done = run("dive", stranded_file, "--slate", slate, f"--on-my-word={word}")
    assert done.exit_code == 2
    assert "no name" in done.stderr
    assert not slate.exists()


def test_a_word_without_a_slate_is_refused(run, stranded_file):
    done = run("dive", stranded_file, "--on-my-word", "M. Fraser")
    assert done.exit_code == 2
    assert "no slate is asked for" in done.stderr


def test_a_word_that_is_not_needed_is_not_printed(run, team_file, tmp_path):
    slate = tmp_path / "slate.pdf"
    done = run("dive", team_file(), "--slate", slate, "--on-my-word", "M. Fraser")
    assert done.exit_code == 0
    assert "changes nothing: there is a way home from every minute" in done.stderr
    assert all("Fraser" not in page for page in pages(slate))


def test_a_plan_without_cylinders_is_not_judged_and_says_so(run, plan_file, tmp_path):
    slate = tmp_path / "slate.pdf"
    done = run("dive", plan_file(), "--slate", slate)
    assert done.exit_code == 0
    assert cautions.NO_CYLINDERS[1:] in flat(done.stdout)
    assert "SUPPLY" not in done.stdout
    for page in pages(slate):
        assert cautions.NO_CYLINDERS[1:] in flat(page)
    for word in ("wayhome", "mixups"):
        refused = run(word, plan_file())
        assert refused.exit_code == 2
        assert "names no cylinders" in refused.stderr
        assert "[[cylinder]]" in refused.stderr


def test_gas_that_ends_as_planned_has_no_slate_either(run, team_file, tmp_path):
    plan = team_file(litres={"EAN50": 2.0})
    done = run("dive", plan, "--slate", tmp_path / "slate.pdf")
    assert done.exit_code == 3
    assert "NOT ENOUGH GAS" in done.stdout
    assert "EAN50" in done.stderr
    assert not (tmp_path / "slate.pdf").exists()


@pytest.mark.parametrize("plan", [WALL, QUARRY], ids=["wall", "quarry"])
@pytest.mark.parametrize("word", ["wayhome", "mixups"])
def test_no_line_is_wider_than_the_screen(run, monkeypatch, plan, word):
    for width in (80, 120):
        monkeypatch.setenv("COLUMNS", str(width))
        lines = run(word, plan).stdout.splitlines()
        assert max(map(len, lines)) <= width
        assert all(line == line.rstrip() for line in lines)


def test_strips_show_each_minute_the_worst_of_those_that_share_a_sign(run, stranded_file):
    text = run("wayhome", stranded_file).stdout
    told = json.loads(run("wayhome", stranded_file, "--json").stdout)
    marks = {"home": ".", "hurried": "h", "beyond limits": "b", "hurried beyond limits": "B",
             "no way": "X", None: " "}  # fmt: skip
    order = " .hbBX"
    a_sign = int(re.search(r"A sign is (\d+) minutes|A sign is one", flat(text))[1] or 1)
    for failure in told["failures"]:
        minutes = [marks[verdict] for verdict in failure["verdict"]]
        strip = "".join(
            max(minutes[i : i + a_sign], key=order.index) for i in range(0, len(minutes), a_sign)
        )
        line = next(
            line for line in text.splitlines() if line.startswith(f"  {failure['failure']}  ")
        )
        assert line.removeprefix(f"  {failure['failure']}").strip() == strip.strip()
    bottom = next(line for line in text.splitlines() if line.strip() == "v bottom left")
    start = len(line) - len(line.removeprefix(f"  {failure['failure']}").lstrip())
    assert told["minutes"][0] + (bottom.index("v") - start) * a_sign == pytest.approx(
        30, abs=a_sign
    )


def test_the_grid_names_first_minute_worst_cell_and_cures(run, stranded_file):
    done = run("wayhome", stranded_file)
    assert done.exit_code == 3
    told = json.loads(run("wayhome", stranded_file, "--json").stdout)
    assert told["schema"] == "slatewright/wayhome/1"
    text = flat(done.stdout)
    lost = next(f for f in told["failures"] if f["failure"] == "EAN50 lost by all")
    assert lost["first_without_min"] is not None
    assert f"worst minute {lost['worst']['minute']}, " in text
    assert lost["cures"]
    for cure in lost["cures"]:
        assert cure["text"] in text
        assert cure["text"] in flat(done.stderr)
    assert lost["verdict"].count("no way") == lost["minutes_without"]
    first = lost["verdict"].index("no way")
    assert told["minutes"][first] == lost["first_without_min"]


def test_the_chart_is_drawn_even_without_a_way_home(run, stranded_file, tmp_path):
    chart = tmp_path / "home.svg"
    done = run("wayhome", stranded_file, "--chart", chart)
    assert done.exit_code == 3
    assert f"The chart is in {chart}." in done.stdout
    text = chart.read_text(encoding="utf-8")
    assert ET.fromstring(text).tag.endswith("svg")  # noqa: S314 - our own file
    assert "EAN50 lost by all" in text
    assert run("wayhome", stranded_file, "--chart", tmp_path / "home.png").exit_code == 2


def test_a_dive_shows_every_failure_of_the_grid(run):
    text = run("dive", WALL).stdout
    section = text[text.index("\nWAY HOME") : text.index("\nMIX-UPS")]
    told = json.loads(run("wayhome", WALL, "--json").stdout)
    assert len(told["failures"]) >= 12
    for failure in told["failures"]:
        assert f"  {failure['failure']}" in section


def test_hazards_of_gas_stand_among_the_others_the_most_severe_first(run, stranded_file):
    told = json.loads(run("dive", stranded_file, "--json").stdout)
    order = ["danger", "warning", "note"]
    ranks = [(order.index(h["severity"]), h["at_min"]) for h in told["hazards"]]
    assert ranks == sorted(ranks)
    codes = [h["code"] for h in told["hazards"]]
    assert codes[0] == "no-way-home"
    assert "counterdiffusion" in codes


def test_a_problem_after_which_there_is_no_ascent_is_said_to_be_one(run, team_file, monkeypatch):
    def no_ascent(*_):
        raise judged.NoSafeAnswer(judged.Reason("made up"))

    monkeypatch.setattr(judged, "supply_of", no_ascent)
    done = run("dive", team_file())
    assert done.exit_code == 3
    assert "2 min more at the end of a stay, for a problem: made up" in done.stderr
