"""Arrows and closest approaches of the page are those of the picture maker and of the checks."""

import base64
import math
from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import Point

from visual.checks import assess
from visual.checks.distance import to_segments, to_triangles
from visual.checks.parts import first_raise_parts, moving_parts, standing_parts
from visual.page.approach_data import BARE, WITH_HEAD, approaches, approaches_data
from visual.page.finding_data import findings_data
from visual.page.force_data import forces_data
from visual.raising import tow_path
from visual.raising.forces_run import run_raise
from visual.scene.force_arrows import force_layers
from visual.scene.force_key import short_scale
from visual.scene.force_scale import newtons_per_metre, round_newtons_per_metre
from visual.scene.forces import forces_at
from visual.scene.layers import LineLayer, MeshLayer
from visual.site import Feature

OUTER = {"tow line", "back wire", "weight", "hinge"}


def numbers(packed):
    raw = np.frombuffer(base64.b64decode(packed["data"]), {"f4": "<f4", "u2": "<u2"}[packed["as"]])
    return raw.reshape(packed["shape"]).astype(float)


def tables(data, raise_key):
    """Return the table of each force of a raise, shape (angles, 6)."""
    run = next(one for one in data["forces"]["runs"] if one["key"] == raise_key)
    return {one["key"]: numbers(one["table"]) for one in run["forces"]}


def angles(data):
    return np.radians(data["rig"]["angles"])


def test_arrows_are_those_of_the_picture_at_the_same_angle(data, report):
    scale, found = newtons_per_metre(report), tables(data, WITH_HEAD)
    whole = np.flatnonzero(angles(data) >= report.raised.first_angle)
    for row in whole[[0, len(whole) // 3, 2 * len(whole) // 3, -1]]:
        layers = list(force_layers(report, float(angles(data)[row])))
        shafts = {one.name: one.paths[0][0] for one in layers if isinstance(one, LineLayer)}
        ends = {one.name: one.vertices[0] for one in layers if isinstance(one, MeshLayer)}
        assert len(shafts) >= 5
        for force in forces_at(report.model, float(angles(data)[row])):
            at, vector = np.split(found[force.key][row], 2)
            np.testing.assert_allclose(at, force.at, atol=1e-5)
            np.testing.assert_allclose(vector, force.vector, atol=1e-3 + 1e-6 * force.size)
            if force.name in shafts:
                drawn = scale * (ends[force.name] - shafts[force.name])
                np.testing.assert_allclose(vector, drawn, atol=1e-3 + 1e-5 * force.size)


@pytest.mark.parametrize("raise_key", [WITH_HEAD, BARE])
def test_the_balance_closes_in_every_row(data, report, raise_key):
    found = tables(data, raise_key)
    assert set(found) > OUTER
    vectors = sum(found[key][:, 3:] for key in OUTER)
    moment = sum(np.cross(found[key][:, :3], found[key][:, 3:]) for key in OUTER)
    run = report.forces.loaded if raise_key == WITH_HEAD else report.forces.bare
    known = angles(data) >= run.angles[0] - 1e-9
    assert np.isnan(vectors[~known]).all()
    weight = np.linalg.norm(found["weight"][known, 3:], axis=1).max()
    assert np.abs(vectors[known]).max() < 1e-5 * weight
    length = report.model.rig.mast.length
    assert np.abs(moment[known] @ report.model.rightward).max() < 1e-5 * weight * length


def test_the_first_raise_is_lighter_and_starts_lower(data, report):
    loaded, bare = (tables(data, key) for key in (WITH_HEAD, BARE))
    first = report.forces.bare.angles[0]
    assert first < report.forces.loaded.angles[0]
    assert np.isfinite(bare["tow line"][0]).all()
    assert np.isnan(loaded["tow line"][0]).all()
    middle = len(angles(data)) // 2
    head = report.model.rig.mast.head.mass
    lighter = loaded["weight"][middle, 5] - bare["weight"][middle, 5]
    assert -lighter / 9.80665 == pytest.approx(head, rel=1e-4)


def test_a_row_between_the_steps_of_a_raise_is_worked_out(report):
    odd = np.array([math.radians(31.3)])
    data = {"forces": forces_data(report, odd)}
    run = run_raise(report.model, tow_path(report.model, odd), with_head=True)
    pull = np.linalg.norm(tables(data, WITH_HEAD)["tow line"][0, 3:])
    assert pull == pytest.approx(float(run.tow_tension[0]), rel=1e-6)


def test_a_force_that_is_not_known_has_an_empty_table(report):
    run = report.forces.loaded
    lost = replace(run, tow_tension=np.full(run.angles.shape, np.nan))
    unknown = replace(report, forces=replace(report.forces, loaded=lost))
    data = {"forces": forces_data(unknown, run.angles[:3])}
    assert np.isnan(tables(data, WITH_HEAD)["tow line"]).all()
    assert np.isfinite(tables(data, WITH_HEAD)["weight"]).all()
    assert np.isfinite(tables(data, BARE)["tow line"]).all()


def test_keys_are_the_same_at_all_angles_though_names_change(data):
    for run in data["forces"]["runs"]:
        keys = [one["key"] for one in run["forces"]]
        assert len(set(keys)) == len(keys)
        pole = next(one for one in run["forces"] if one["key"] == "gin pole")
        table = numbers(pole["table"])
        outward = (table[:, :3] * table[:, 3:]).sum(axis=1)
        names = [pole["names"][int(k)] for k in numbers(pole["nameAt"])]
        said = {name for name, way in zip(names, outward, strict=True) if way > 0}
        assert said == {"gin pole pushes"}
        said = {name for name, way in zip(names, outward, strict=True) if way < 0}
        assert said <= {"gin pole pulls"}


@pytest.mark.parametrize(("system", "unit"), [("metric", "N"), ("imperial", "lbf")])
def test_the_scale_is_round_in_both_systems_of_units(data, report, system, unit):
    newtons = round_newtons_per_metre(report, system)
    assert data["forces"]["newtonsPerMetre"][system] == newtons
    said = data["forces"]["scale"][system]
    assert said == short_scale(newtons, system)
    assert said.endswith(unit)
    value = float(said.split("= ")[1].split()[0])
    digits = value / 10 ** math.floor(math.log10(value) + 1e-9)
    assert min(abs(digits - step) for step in (1, 1.5, 2, 2.5, 3, 4, 5, 6, 8)) < 1e-9
    # no arrow is longer than the picture has it, and the longest is not short
    most = max(
        float(np.nanmax(np.linalg.norm(table[:, 3:], axis=1)))
        for run in (WITH_HEAD, BARE)
        for table in tables(data, run).values()
    )
    share = most / newtons / report.model.rig.mast.total_height
    assert 0.25 < share <= 0.4 + 1e-9


def parts_of(report):
    """Return all parts, those of the first raise among them, by name."""
    every = [*moving_parts(report.model, report.raised), *standing_parts(report.model)]
    if report.raised.first is not None:
        every += first_raise_parts(report.model, report.raised.first)
    by_name: dict[str, list] = {}
    for part in every:
        by_name.setdefault(part.name, []).append(part)
    return by_name


def distance_to_axis(parts, angle, point):
    """Return how far a point is from the surface of a part at an angle, of whatever raise."""
    found = []
    for part in parts:
        a, b = part.ends(np.array([angle]))[0]
        along = b - a
        share = np.clip((point - a) @ along / max(along @ along, 1e-12), 0.0, 1.0)
        found.append(np.linalg.norm(point - a - share * along) - part.radius)
    return min(found, key=abs)


def distance_to_shape(shape, point):
    pose = np.array([[point, point]])
    nearest = [to_triangles(pose, shape.triangles), to_segments(pose, shape.segments)]
    return min(float(one.distance[0]) for one in nearest) - shape.radius


def test_lines_end_on_the_part_and_on_the_obstacle(report):
    parts = parts_of(report)
    found, shown = approaches(report), approaches_data(report)
    assert len(found) == len(shown) >= len(report.around.obstacles)
    found = sorted(found, key=lambda one: one.clearance.margin)
    for approach, line in zip(found, shown, strict=True):
        closest = approach.clearance.closest
        on_part, on_obstacle = np.array(line["ends"])
        assert np.linalg.norm(on_part - on_obstacle) == pytest.approx(closest.distance, abs=1e-6)
        off = distance_to_axis(parts[approach.clearance.part], closest.angle, on_part)
        assert off == pytest.approx(0.0, abs=2e-6)
        off = distance_to_shape(approach.clearance.obstacle.shape, on_obstacle)
        assert off == pytest.approx(0.0, abs=2e-6)


def test_both_raises_have_their_own_closest_approach(report):
    for obstacle in report.around.obstacles:
        mine = [one for one in approaches(report) if one.clearance.obstacle is obstacle]
        assert sorted(key for one in mine for key in one.raises) == [BARE, WITH_HEAD]
        every = [one for one in report.clearances if one.obstacle is obstacle]
        for one in mine:
            if WITH_HEAD in one.raises:
                assert one.clearance.closest.angle >= report.raised.first_angle
                bounds = [c.with_head.lower_bound for c in every]
            else:
                bounds = [c.closest.lower_bound for c in every if c.part not in ("head", "rotor")]
            assert one.clearance.closest.lower_bound == min(bounds)


def test_the_worst_of_all_is_told_apart(report):
    shown = approaches_data(report)
    assert [one["worst"] for one in shown].count(True) == 1
    for one in shown:
        assert one["length"]["metric"] in one["text"]["metric"]
        assert one["length"]["imperial"] in one["text"]["imperial"]


def test_obstacles_of_the_same_name_keep_their_own_shortest_lines(make_model):
    trees = tuple(Feature("tree", "oak", Point(x, 9.0), n, 9.0, 2.0) for n, x in ((1, -7), (2, 9)))
    report = assess(make_model(features=trees))
    oaks = [one for one in findings_data(report) if one["subject"].endswith("to oak")]
    assert len(oaks) == 2
    lengths = [float(np.linalg.norm(np.subtract(*one["gap"]))) for one in oaks]
    values = [one.value for one in report.findings if one.subject.endswith("to oak")]
    assert lengths == pytest.approx(values, abs=1e-6)
    assert abs(values[0] - values[1]) > 1.0
    assert np.sign(oaks[0]["gap"][1][0]) != np.sign(oaks[1]["gap"][1][0])


def test_a_clearance_of_the_first_raise_keeps_its_own_line(report):
    low = [one for one in report.clearances if one.first_raise]
    assert low
    for one in low:
        assert one.closest.angle < report.raised.first_angle <= one.with_head.angle
        assert one.closest.distance <= one.with_head.distance
