import base64
import json
import math
import re
from dataclasses import replace

import numpy as np
import pytest

from visual.checks import Finding
from visual.model import installed_wires
from visual.page.around import GROUPS
from visual.page.finding_data import both_units
from visual.page.finding_place import place_of, sides_of
from visual.raising import pose_at
from visual.scene.rig import rig_layers
from visual.scene.style import ROLES


def table(packed):
    raw = np.frombuffer(base64.b64decode(packed["data"]), {"f4": "<f4", "q2": "<u2"}[packed["as"]])
    values = raw.reshape(packed["shape"])
    if packed["as"] == "f4":
        return values
    spread = np.array(packed["from"]) + values * np.array(packed["step"])
    return np.where(values == 65535, np.nan, spread)


def all_layers(data):
    rig = data["rig"]
    own = [*rig["mast"], *rig["lifting"], *rig["standing"]]
    return [*data["around"]["layers"], *data["layers"], *own]


def test_it_is_plain_json_without_nan(data):
    json.dumps(data, allow_nan=False)


def test_every_layer_has_a_look_and_a_group_that_the_page_knows(data):
    known = {*GROUPS, "ground", "mast", "along", "cut", "across"}
    for layer in all_layers(data):
        assert layer["role"] in ROLES
        assert layer["group"] in known, layer
    for track in data["rig"]["tracks"]:
        assert set(track["roles"]) <= set(ROLES)
        assert track["group"] in known


def test_every_group_of_the_list_is_in_the_scene(data):
    there = {layer["group"] for layer in all_layers(data)}
    assert set(GROUPS) - {"approach", "forces", "distances"} <= there
    assert data["approaches"]
    assert data["nearby"]
    assert data["forces"]["runs"]


def test_named_places_are_those_of_the_pose_at_every_angle(data, report):
    angles = np.radians(data["rig"]["angles"])
    assert angles[0] == pytest.approx(min(run.angles[0] for run in report.forces.runs))
    assert angles[-1] == pytest.approx(math.pi / 2)
    tops, tips = (table(data["rig"]["places"][name]) for name in ("mast top", "gin-pole tip"))
    for k in range(0, len(angles), 17):
        pose = pose_at(report.model, float(angles[k]))
        np.testing.assert_allclose(tops[k], pose.top, atol=2e-6)
        np.testing.assert_allclose(tips[k], pose.tip, atol=2e-6)


def test_moving_shapes_are_the_layers_of_the_scene_at_every_angle(data, report):
    angles = np.radians(data["rig"]["angles"])
    tracks = {(track["kind"], track["name"]): track for track in data["rig"]["tracks"]}
    assert {name for _, name in tracks} >= {"wire left", "wire right", "wire back", "tow line"}
    for k in (0, len(angles) // 2, len(angles) - 1):
        layers = rig_layers(report.model, report.raised, angle=float(angles[k]))
        for layer in (one for one in layers if one.motion == "pose" and one.kind != "label"):
            track = tracks[layer.kind, layer.name]
            shown = table(track["table"])[k]
            wanted = layer.points[::2] if len(layer.points) == 41 else layer.points
            np.testing.assert_allclose(shown, wanted, atol=2e-3)


def test_the_chart_is_the_pull_of_the_raise(data, report):
    curve = data["chart"]["curves"][0]
    values = table(curve["values"])
    angles = np.radians(data["rig"]["angles"])
    with_head = angles >= report.raised.first_angle - 1e-9
    assert np.isnan(values[~with_head]).all()
    np.testing.assert_allclose(values[with_head], report.forces.loaded.hauling, rtol=1e-6)
    assert curve["worst"]["value"] == pytest.approx(float(report.forces.loaded.hauling.max()))


def test_the_first_raise_has_its_own_numbers(data, report):
    angles = np.radians(data["rig"]["angles"])
    bare = next(one for one in data["chart"]["curves"] if one["bare"])
    steps = np.searchsorted(angles, report.forces.bare.angles - 1e-9)
    pull = table(bare["values"])[steps]
    np.testing.assert_allclose(pull, report.forces.bare.hauling, rtol=1e-6)
    words = {one["word"]: table(one["values"]) for one in data["chart"]["bareSeries"]}
    thrust = words["thrust of the gin pole"][steps]
    np.testing.assert_allclose(thrust, report.forces.bare.gin_compression, rtol=1e-6)


def test_findings_are_all_there_with_both_units(data, report):
    assert len(data["findings"]) == len(report.findings)
    assert sum(data["verdict"].values()) == len(report.findings)
    for shown, finding in zip(data["findings"], report.findings, strict=True):
        assert (shown["subject"], shown["status"]) == (finding.subject, finding.status)
        assert (shown["value"] is None) == (finding.value is None)


def test_a_number_is_given_in_both_units():
    assert both_units(3.048, "m") == {"metric": "3.05 m", "imperial": "10 ft 0 in"}
    assert both_units(None, "m") is None


def test_labels_with_lengths_have_their_text_in_the_other_units(data):
    mast = [one for one in data["rig"]["mast"] if one["kind"] == "label"]
    assert all(" m" in one["text"] and " in" in one["other"] for one in mast)


def test_everything_that_can_be_pointed_at_is_in_the_scene(data):
    there = {(layer["group"], layer["name"]) for layer in all_layers(data)}
    there |= {(track["group"], track["name"]) for track in data["rig"]["tracks"]}
    facts = {tuple(key.split("/", 1)) for key in data["facts"]}
    assert facts - there <= {("mast", "winch")}
    assert {("wires", "wire left"), ("wires", "lift wire 1"), ("lines", "11 kV line")} <= facts


def test_views_are_named_once_and_the_overview_comes_first(data):
    names = [view["name"] for view in data["views"]]
    assert names[0] == "overview"
    assert len(set(names)) == len(names)
    eye_level = [view for view in data["views"] if view["eyeLevel"]]
    assert len(eye_level) == 1
    assert eye_level[0]["eye"][:2] == pytest.approx([-30.0, 25.0])


def test_ground_is_the_grid_of_the_scene(data, page_maker):
    ground = data["around"]["ground"]
    heights = table(ground["heights"])[:, 0].reshape(ground["rows"], ground["columns"])
    np.testing.assert_allclose(heights, page_maker.maker.terrain.heights, atol=2e-4)
    assert ground["picture"].startswith("data:image/jpeg;base64,")


def test_a_clearance_comes_with_its_shortest_line(data, report):
    closest = {f"{c.part} to {c.obstacle.name}": c.closest for c in report.clearances}
    lines = [one for one in data["findings"] if one["gap"] is not None]
    assert lines
    for one in lines:
        length = np.linalg.norm(np.subtract(*one["gap"]))
        assert length == pytest.approx(closest[one["subject"]].distance, abs=1e-6)


def test_findings_are_worded_in_both_systems_of_units(data):
    words = [one["message"] for one in data["findings"]]
    changed = [one for one in words if one["metric"] != one["imperial"]]
    assert changed
    assert all(re.search(r"\d (in|lbf|lb|mph|ft|ft²)\b", one["imperial"]) for one in changed)
    assert not any(re.search(r"\d (m|mm|kN|N)\b(?!/)", one["imperial"]) for one in words)


def test_what_is_about_an_anchor_or_its_wire_is_shown_at_the_anchor(report):
    model, sides = report.model, sides_of(report.model)
    eye = pytest.approx(list(model.anchors["right"].eye))
    (wire,) = [one.name for one in installed_wires(model) if one.side == "right"]
    for subject in ("right anchor", wire):
        finding = Finding(check="anchor load", subject=subject, status="stop")
        assert place_of(finding, model, sides) == eye
        itself = replace(finding, where=(1.0, 2.0, 3.0))
        assert place_of(itself, model, sides) == [1.0, 2.0, 3.0], (
            "what a finding says itself goes first"
        )


def test_what_has_no_place_that_stays_has_none(report):
    finding = Finding(check="vehicle pull", subject="vehicle on its lane", status="ok")
    assert place_of(finding, report.model, sides_of(report.model)) is None
