import pytest

from visual.checks import STATUSES, Finding, findings_table, worst_first
from visual.checks.judge import not_checked, status_of_margin
from visual.units import say

UNITS = ("m", "m2", "kg", "N", "Pa", "deg", "")


def texts(findings, units):
    return [line.text for line in findings_table(findings, units=units)]


def extreme(unit, status="stop"):
    return Finding(
        check="overhead line",
        subject="tow line to hitch to a very long name of an overhead line, part 12",
        status=status,
        value=-1234.5678,
        limit=-4321.8765,
        unit=unit,
        margin=3087.3,
        angle=-59.999,
        where=(1.0, 2.0, 3.0),
        message=say("words " * 60 + "x" * 250),
        basis="stated in the site file (the table gives 4.572 m: OSHA 29 CFR 1926.1408, Table A)",
    )


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("status", STATUSES)
def test_never_wider_than_100_columns(units, unit, status):
    assert max(map(len, texts([extreme(unit, status)], units))) <= 100


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_numbers_are_never_cut(units):
    """Any length a site can have fits its column; only the subject is shortened."""
    for value in (-0.001, 0.0254, -17.3, 152.4, 999.99, -1234.5678):
        row = texts([Finding("clearance", "mast to barn", "ok", value, value, unit="m")], units)[2]
        assert "…" not in row


def test_columns_line_up():
    findings = [extreme("m"), Finding("gin tip", "gin pole", "ok", 1.0, 2.0, unit="m", angle=45.0)]
    rows = texts(findings, "metric")
    head = rows[0]
    short = next(row for row in rows if "gin tip" in row)
    assert short.index("gin tip") == head.index("check")
    assert short.index("gin pole") == head.index("subject")
    assert short.index("1.00 m") + len("1.00 m") == head.index("found") + len("found")
    assert short.index("2.00 m") + len("2.00 m") == head.index("limit") + len("limit")
    assert short.endswith("45.0°")


def test_everything_but_ok_explains_itself():
    spoken = {
        status: Finding("setback", "base", status, message=say(f"why {status}"), basis="rule 7")
        for status in STATUSES
    }
    text = "\n".join(texts(spoken.values(), "metric"))
    for status in STATUSES:
        assert (f"why {status} [rule 7]" in text) == (status != "ok")


def test_not_checked_reads_differently_from_ok():
    unknown = texts([not_checked("setback", "road", say("nobody looked"))], "metric")
    assert unknown[2].startswith("not checked")
    assert "nobody looked" in unknown[3]
    assert unknown[-1] == "0 stop, 1 not checked, 0 caution, 0 ok"


def test_metric_and_imperial():
    finding = Finding("setback", "base to road", "ok", 15.24, 3.048, unit="m")
    assert "15.24 m" in texts([finding], "metric")[2]
    assert "50 ft" in texts([finding], "imperial")[2]


def test_without_findings():
    assert texts([], "metric")[-1] == "0 stop, 0 not checked, 0 caution, 0 ok"


def test_worst_first():
    findings = [
        Finding("a", "far", "ok", margin=5.0),
        Finding("b", "near", "ok", margin=0.1),
        Finding("c", "unknown", "not checked"),
        Finding("d", "bad", "stop", margin=-1.0),
        Finding("e", "worse", "stop", margin=-2.0),
        Finding("f", "no number", "stop"),
        Finding("g", "close", "caution", margin=0.2),
    ]
    assert [f.check for f in worst_first(findings)] == ["e", "d", "f", "c", "g", "b", "a"]


@pytest.mark.parametrize(
    ("margin", "status"),
    [
        (-1e-9, "stop"),
        (0.0, "caution"),
        (0.49, "caution"),
        (0.5, "ok"),
        (float("nan"), "not checked"),
    ],
)
def test_status_of_a_margin(margin, status):
    assert status_of_margin(margin, near=0.5) == status


def test_what_was_not_given_is_named_by_its_key_for_whoever_edits_the_file():
    missed = not_checked("loads", "shackles", say("not given"), missing="tow.shackle_load")
    shown = " ".join(texts([missed], "metric"))
    assert "not given; give tow.shackle_load in the site file" in shown
