import math

from visual.checks import assess, summary_lines


def test_a_local_site_says_that_north_is_unknown(make_model):
    lines = summary_lines(assess(make_model()), units="metric")
    assert lines[2] == "front 0.0° grid"
    assert "true and magnetic north are unknown" in lines[3]


def test_a_placed_site_gives_three_bearings(make_model):
    changes = {
        "site": {"crs": "EPSG:32630", "date": "2026-06-01"},
        "mast": {"position": [553210.0, 5912480.0], "front": 215.0},
    }
    model = make_model(changes=changes)
    front = summary_lines(assess(model), units="metric")[2]
    # Convergence by its first-order formula, (λ − λ₀) sin φ, written here for itself.
    lon, lat = model.frame.geographic(0.0, 0.0)
    true = 215.0 + (lon + 3.0) * math.sin(math.radians(lat))
    assert front.startswith(f"front 215.0° grid, {true:.1f}° true, ")
    assert front.endswith("° magnetic")


def test_units_and_width(make_model):
    lines = summary_lines(assess(make_model()), units="imperial")
    assert lines[-1] == "mast 39 ft 4 7/16 in, total height 40 ft 2 5/16 in"
    assert all(len(line) <= 100 for line in lines)


def test_measured_anchors_make_it_as_built(make_model):
    spots = {"front": [0.0, 8.0], "right": [8.0, 0.0], "back": [0.0, -8.0], "left": [-8.0, 0.0]}
    anchors = {side: {"position": spot, "height": 100.1} for side, spot in spots.items()}
    lines = summary_lines(assess(make_model(changes={"anchors": anchors})), units="metric")
    assert lines[1].endswith("; as built")
    assert "provisional" in summary_lines(assess(make_model()), units="metric")[1]
