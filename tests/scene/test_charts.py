"""Charts of the raise: what they show, that they come out whole and the same every time."""

import math
import subprocess
import sys
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from visual.checks import Report
from visual.checks.on_the_way import tight_limit
from visual.cli import main
from visual.scene.chart_ink import own_settings
from visual.scene.chart_panel import near_limits, scale_of, value_text
from visual.scene.chart_ranges import joined
from visual.scene.chart_records import Band, ChartPanel
from visual.scene.chart_words import named, worst_text
from visual.scene.charts import chart_files, chart_page, draw_charts, notes_of
from visual.scene.curves import chart_panels, spans

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def paddock(judged) -> Report:
    return judged("paddock")


def panel(report: Report, key: str) -> ChartPanel:
    return {one.key: one for one in chart_panels(report)}[key]


def words(figure) -> str:
    return "\n".join(text.get_text() for text in figure.texts)


# --- what is shown -----------------------------------------------------------------------------


def test_lines_are_the_record_of_the_forces(paddock: Report) -> None:
    forces = paddock.forces
    expected = {
        "tow-pull": [run.hauling for run in forces.runs],
        "gin-pole": [run.gin_compression for run in forces.runs],
        "lift-wires": [run.lift_wires[:, k] for run in forces.runs for k in range(2)],
        "mast-stress": [run.mast_stress for run in forces.runs],
        "side-wires": [wire.change for wire in paddock.raised.side_wires],
    }
    for one in chart_panels(paddock):
        assert len(one.curves) == len(expected[one.key])
        for curve, values in zip(one.curves, expected[one.key], strict=True):
            np.testing.assert_array_equal(curve.values, values)


def test_with_the_head_is_thick_and_without_is_thin(paddock: Report) -> None:
    curves = panel(paddock, "tow-pull").curves
    assert [(c.name, c.thin) for c in curves] == [
        ("with the head", False),
        ("without the head", True),
    ]


def test_a_mast_without_a_head_has_one_line(judged) -> None:
    assert [curve.name for curve in panel(judged("yard"), "tow-pull").curves] == [""]


@pytest.mark.parametrize("name", ["paddock", "moved", "terrace", "yard"])
def test_worst_is_the_largest_of_each_line(judged, name: str) -> None:
    for one in chart_panels(judged(name)):
        for curve in one.curves:
            if curve.worst is None:
                assert np.abs(curve.values).max() < 0.006, one.key
            elif one.quantity == "change" and curve.values.max() < 0.005:
                assert curve.values[curve.worst] == curve.values.min()
            else:
                assert curve.values[curve.worst] == curve.values.max()


def test_limits_are_those_of_the_findings(paddock: Report) -> None:
    limits = {one.key: one.limits[0].values for one in chart_panels(paddock)}
    by_check = {(f.check, f.subject): f.limit for f in paddock.findings}
    stress = next(v for (check, _), v in by_check.items() if check == "mast stress")
    lift = next(v for (check, s), v in by_check.items() if s.startswith("lift wire"))
    assert limits["mast-stress"][0] == pytest.approx(stress)
    assert limits["lift-wires"][0] == pytest.approx(lift)
    np.testing.assert_array_equal(limits["tow-pull"], paddock.forces.vehicle.available)


def test_tight_wires_stop_where_they_pass_their_limit(paddock: Report) -> None:
    bands = [b for b in joined(panel(paddock, "side-wires").bands) if b.kind == "stop"]
    tight = [w for w in paddock.raised.side_wires if w.name.startswith("right")]
    limits = [tight_limit(paddock.model, wire)[0] for wire in tight]
    last = max(w.angles[w.change > limit][-1] for w, limit in zip(tight, limits, strict=True))
    assert len(bands) == 1
    assert bands[0].start == tight[0].angles[0]
    assert 0 <= bands[0].end - last < math.radians(0.5)


def test_a_pull_beyond_the_vehicle_is_a_stop(paddock: Report) -> None:
    weak = replace(paddock.forces.vehicle, available=paddock.forces.loaded.hauling * 0.9)
    report = replace(paddock, forces=replace(paddock.forces, vehicle=weak))
    stops = [b for b in panel(report, "tow-pull").bands if b.kind == "stop"]
    assert stops
    assert stops[0].start == paddock.forces.loaded.angles[0]
    assert not [b for b in panel(paddock, "tow-pull").bands if b.kind == "stop"]


def test_a_line_without_a_lever_is_over_centre(paddock: Report) -> None:
    run = paddock.forces.loaded
    lever = np.where(run.angles > math.radians(60), -0.1, run.lever)
    report = replace(
        paddock, forces=replace(paddock.forces, loaded=replace(run, lever=lever, runs_ahead=None))
    )
    band = next(b for b in panel(report, "gin-pole").bands if "over-centre" in b.word)
    assert math.degrees(band.start) == pytest.approx(60.25, abs=0.3)
    assert band.end == pytest.approx(run.balance_angle, abs=math.radians(0.5))


def test_unknown_forces_leave_a_gap_with_a_word(paddock: Report) -> None:
    run = paddock.forces.loaded
    lost = replace(
        run,
        mast=(None,) * run.angles.size,
        hauling=np.full(run.angles.shape, np.nan),
        gin_compression=np.full(run.angles.shape, np.nan),
    )
    report = replace(paddock, forces=replace(paddock.forces, loaded=lost))
    one = panel(report, "tow-pull")
    assert one.curves[0].worst is None
    assert "not known" in {band.word for band in one.bands}
    with own_settings():
        assert "not known" in words(chart_page(report, [one]))


def test_spans_are_half_a_step_wider() -> None:
    angles = np.arange(5.0)
    assert spans(angles, np.array([True, False, True, True, False])) == [(0.0, 0.5), (1.5, 3.5)]


def test_overlapping_ranges_of_one_word_are_one() -> None:
    bands = (Band("stop", "stop", 0.5, 1.0), Band("stop", "stop", 0.0, 0.6))
    assert joined(bands) == [Band("stop", "stop", 0.0, 1.0)]


def test_lines_on_each_other_share_a_name(judged) -> None:
    names = [name for name, _ in named(panel(judged("moved"), "side-wires"))]
    assert names == ["left 1 and right 1", "left 2 and right 2"]


# --- units and words ---------------------------------------------------------------------------


def test_worst_point_tells_value_and_angle(paddock: Report) -> None:
    one = panel(paddock, "tow-pull")
    peak = paddock.forces.loaded.peak(paddock.forces.loaded.hauling)
    text = f"{peak.value / 1000:.2f} kN at {math.degrees(peak.angle):.1f}°"
    assert worst_text(one.curves[0], one, "metric") == text
    with own_settings():
        assert text in words(chart_page(paddock, chart_panels(paddock)))


@pytest.mark.parametrize(
    ("quantity", "value", "text"),
    [
        ("force", 1000.0, "225 lbf"),
        ("stress", 6.894757e6, "1.0 ksi"),
        ("change", -0.0254, "−1.0 in"),
    ],
)
def test_imperial(quantity, value: float, text: str) -> None:
    assert value_text(value, quantity, "imperial") == text
    size, unit = scale_of(quantity, "imperial")
    assert text.endswith(unit)
    assert value / size == pytest.approx(float(text.split()[0].replace("−", "-")), rel=2e-3)


def test_imperial_site_has_no_metric_unit(judged) -> None:
    report = judged("terrace")
    with own_settings():
        text = words(chart_page(report, chart_panels(report)))
    assert "lbf" in text
    assert not any(unit in text.split() for unit in ("kN", "N", "MPa", "mm"))


@pytest.mark.parametrize("name", ["paddock", "moved", "terrace", "yard"])
def test_every_worst_point_finds_room_for_its_words(judged, name: str) -> None:
    report = judged(name)
    panels = chart_panels(report)
    with own_settings():
        text = words(chart_page(report, panels))
    for one in panels:
        for _, curve in named(one):
            if curve.worst is not None:
                assert worst_text(curve, one, report.model.site.site.units) in text


def test_a_limit_far_above_is_told_and_one_near_is_drawn(paddock: Report) -> None:
    assert near_limits(panel(paddock, "tow-pull"))[0]
    assert near_limits(panel(paddock, "mast-stress"))[1]
    with own_settings():
        text = words(chart_page(paddock, chart_panels(paddock)))
    assert "limit 140.7 MPa, above the chart" in text


def test_page_says_what_it_is(paddock: Report) -> None:
    with own_settings():
        text = words(chart_page(paddock, chart_panels(paddock)))
    for part in ("Larkrise, top field", "2026-06-01", "Planning aid, not a stamped design"):
        assert part in text
    assert "goes over by itself" in text
    assert "stop" in text.splitlines()


def test_notes_name_the_balance_of_each_raise(paddock: Report) -> None:
    text = " ".join(notes_of(paddock, chart_panels(paddock)))
    for run in paddock.forces.runs:
        assert f"From {math.degrees(run.hold_from):.1f}°" in text


# --- the drawing -------------------------------------------------------------------------------


def test_the_pull_on_the_gin_pole_is_told_beside_its_chart(judged) -> None:
    report = judged("terrace")
    pull = -report.forces.loaded.gin_compression.min() / 4.4482216
    with_pole = " ".join(notes_of(report, chart_panels(report)))
    without = " ".join(notes_of(report, (panel(report, "tow-pull"),)))
    assert f"pulls it off its foot, up to {pull:.0f} lbf: pin it there" in with_pole
    assert "off its foot" not in without


def test_marks_stand_at_the_worst_points(paddock: Report) -> None:
    one = panel(paddock, "gin-pole")
    with own_settings():
        axes = chart_page(paddock, [one]).axes[0]
    marks = [line for line in axes.lines if line.get_marker() == "o"]
    for curve, mark in zip(one.curves, marks, strict=True):
        assert mark.get_xdata()[0] == pytest.approx(math.degrees(curve.angles[curve.worst]))
        assert mark.get_ydata()[0] == pytest.approx(curve.values.max() / 1000)


def test_all_charts_share_the_axis_of_angles(paddock: Report) -> None:
    with own_settings():
        figure = chart_page(paddock, chart_panels(paddock))
    lowest = math.degrees(min(run.angles[0] for run in paddock.forces.runs))
    assert {axes.get_xlim() for axes in figure.axes} == {(lowest, 90.0)}


def test_same_report_same_bytes_and_svg_is_whole(judged) -> None:
    report = judged("yard")
    panels = chart_panels(report)[:2]
    first = chart_files(report, panels, size=(800, 500))
    assert first == chart_files(report, panels, size=(800, 500))
    assert ET.fromstring(first[1]).tag.endswith("svg")
    assert b"date" not in first[1]
    assert b"matplotlib" not in first[0].lower()


def test_files(judged, tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []
    paths = draw_charts(
        judged("yard"),
        out=tmp_path / "new",
        size=(640, 400),
        progress=lambda path, number, total: told.append((number, total)),
    )
    assert [path.name for path in paths[:4]] == [
        "raise.png",
        "raise.svg",
        "raise-tow-pull.png",
        "raise-tow-pull.svg",
    ]
    assert sorted(paths) == sorted((tmp_path / "new").iterdir())
    assert told == [(k, 12) for k in range(1, 13)]
    with Image.open(paths[0]) as image:
        assert image.size == (640, 400)


def test_command_writes_charts(tmp_path: Path, capsys) -> None:
    site = ROOT / "sample_sites" / "flat_yard"
    with pytest.raises(SystemExit, match="0"):
        main(["raise", str(site), "--charts", str(tmp_path / "charts")])
    assert (tmp_path / "charts" / "raise.svg").is_file()
    assert "[12/12]" in capsys.readouterr().out


def test_the_table_alone_loads_nothing_that_draws() -> None:
    program = (
        "import sys\nfrom visual.cli import hillmast\n"
        "hillmast.main(['raise', 'sample_sites/flat_yard'], standalone_mode=False)\n"
        "assert not {'matplotlib', 'pyvista', 'PIL'} & set(sys.modules)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
