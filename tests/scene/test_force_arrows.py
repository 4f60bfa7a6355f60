"""Forces as arrows: as long as they are large, pointing where they act, in balance."""

import math
from dataclasses import replace

import numpy as np
import pytest

from visual.raising import pose_at
from visual.scene.force_arrows import force_layers
from visual.scene.force_key import per_length_in_words, scale_in_words
from visual.scene.force_scale import newtons_per_metre
from visual.scene.force_view import FORCES, LONGEST, forces
from visual.scene.forces import forces_at
from visual.scene.furniture import round_scale, scale_text
from visual.scene.layers import LabelLayer, LineLayer, MeshLayer
from visual.scene.picture import make_picture
from visual.scene.sheet import Sheet, lay_page
from visual.scene.views import at_angle, named_shots
from visual.units import STANDARD_GRAVITY

SITES = ["paddock", "moved", "terrace", "yard"]
ANGLES = [None, 33.3, 60.0, 89.5, 90.0]


def radians(report, angle):
    """Return an angle in degrees in radians; None stands for the start angle."""
    return report.raised.first_angle if angle is None else math.radians(angle)


def by_name(report, angle):
    return {force.name: force for force in forces_at(report.model, radians(report, angle))}


def balance(report):
    """Return angles just before and after the mast would go over by itself. [deg]"""
    over = math.degrees(report.forces.loaded.balance_angle)
    return over - 0.05, over + 0.05


@pytest.mark.parametrize("angle", ANGLES)
@pytest.mark.parametrize("name", SITES)
def test_outer_forces_are_in_balance(judged, name, angle):
    assert_balance(judged(name).model, by_name(judged(name), angle))


def assert_balance(model, forces):
    outer = [force for force in forces.values() if not force.inside]
    assert {force.name for force in outer} == {"tow line", "back wire holds", "weight", "hinge"}
    weight = forces["weight"].size
    np.testing.assert_allclose(sum(f.vector for f in outer), 0.0, atol=1e-9 * weight)
    moment = sum(np.cross(f.at, f.vector) for f in outer) @ model.rightward
    assert abs(moment) < 1e-8 * weight * model.rig.mast.length


@pytest.mark.parametrize("name", SITES)
def test_the_back_wire_takes_over_from_the_tow_line(judged, name):
    report = judged(name)
    before, after = (by_name(report, angle) for angle in balance(report))
    for found in (before, after):
        assert_balance(report.model, found)
    assert before["tow line"].size > 0.0
    assert before["back wire holds"].size == 0.0
    assert after["back wire holds"].size > 0.0
    assert after["tow line"].size == 0.0


@pytest.mark.parametrize("angle", [None, 40.0, 75.0])
@pytest.mark.parametrize("name", SITES)
def test_the_gin_pole_tip_is_in_balance(judged, name, angle):
    # Between mast and pole: lift wires pull the tip the other way, half of the pole hangs on it.
    report = judged(name)
    model, forces = report.model, by_name(report, angle)
    run = report.forces.loaded
    at_tip = forces["tow line"].vector - sum(
        f.vector for key, f in forces.items() if key.startswith("lift wire")
    )
    pole = next(f for key, f in forces.items() if key.startswith("gin pole"))
    on_tip = run.weights.pole.mass / 2 + run.weights.at_tip
    on_tip += forces["weight"].size / STANDARD_GRAVITY - run.weights.mass
    at_tip = at_tip - STANDARD_GRAVITY * on_tip * model.upward
    # square to the pole nothing is left; along it the pole, which is largest at its foot
    tip = pose_at(model, radians(report, angle)).tip
    way = tip / np.linalg.norm(tip)
    across = np.cross(way, model.rightward)
    weight = forces["weight"].size
    assert abs(at_tip @ across) < 1e-8 * weight
    own = run.weights.pole.mass * STANDARD_GRAVITY / 2 * abs(float(way[2]))
    assert at_tip @ way + pole.vector @ way - own == pytest.approx(0.0, abs=1e-8 * weight)


@pytest.mark.parametrize("name", SITES)
def test_they_are_those_of_the_record_at_its_steps(judged, name):
    run = judged(name).forces.loaded
    step = run.angles.size // 3
    forces = by_name(judged(name), math.degrees(run.angles[step]))
    assert forces["tow line"].size == pytest.approx(run.tow_tension[step])
    assert forces["hinge"].size == pytest.approx(run.hinge_force[step])
    thrust = run.gin_compression[step]
    pole = forces["gin pole pushes" if thrust > 0 else "gin pole pulls"]
    assert pole.size == pytest.approx(abs(thrust))
    lifts = [force.size for key, force in forces.items() if key.startswith("lift wire")]
    assert lifts == pytest.approx(list(run.lift_wires[step]))


def test_they_point_where_they_act(judged):
    model, angle = judged("paddock").model, 20.0
    forces, pose = by_name(judged("paddock"), angle), pose_at(model, math.radians(angle))
    assert forces["weight"].vector @ model.upward == pytest.approx(-forces["weight"].size)
    assert forces["tow line"].vector @ model.forward > 0
    np.testing.assert_allclose(forces["tow line"].at, pose.tip)
    for level in range(2):
        lift = forces[f"lift wire {level + 1}"]
        np.testing.assert_allclose(lift.at, pose.collars[level])
        np.testing.assert_allclose(np.cross(lift.vector, pose.tip - lift.at), 0.0, atol=1e-6)
        assert lift.vector @ (pose.tip - lift.at) > 0
    push = forces["gin pole pushes"]
    assert push.vector @ pose.tip == pytest.approx(push.size * model.rig.gin_pole.length)
    assert forces["hinge"].pushes
    np.testing.assert_array_equal(forces["hinge"].at, 0.0)


def test_a_pulled_pole_points_to_its_foot(judged):
    model = judged("paddock").model
    force = by_name(judged("paddock"), 75.0)["gin pole pulls"]
    assert force.vector @ pose_at(model, math.radians(75.0)).tip < 0


def test_the_weight_is_all_that_is_lifted(judged):
    run, force = judged("yard").forces.loaded, by_name(judged("yard"), 0.0)["weight"]
    assert force.size > STANDARD_GRAVITY * run.weights.mass
    assert force.size == pytest.approx(STANDARD_GRAVITY * run.weights.mass, rel=0.05)


@pytest.mark.parametrize("angle", ANGLES)
@pytest.mark.parametrize("name", SITES)
def test_arrows_are_as_long_as_forces_are_large(judged, name, angle):
    report = judged(name)
    scale, forces = newtons_per_metre(report), by_name(report, angle)
    layers = list(force_layers(report, radians(report, angle)))
    shafts = {one.name: one.paths[0] for one in layers if isinstance(one, LineLayer)}
    heads = {one.name: one.vertices for one in layers if isinstance(one, MeshLayer)}
    assert shafts.keys() == heads.keys() == {key for key, f in forces.items() if f.size >= 1.0}
    for key, shaft in shafts.items():
        force, arrow = forces[key], heads[key][0] - shaft[0]
        np.testing.assert_allclose(arrow * scale, force.vector, atol=1e-6 * force.size)
        end = heads[key][0] if force.pushes else shaft[0]
        np.testing.assert_allclose(end, force.at, atol=1e-9)
        assert np.linalg.norm(arrow) <= LONGEST * report.model.rig.mast.total_height + 1e-9


@pytest.mark.parametrize("name", ["paddock", "terrace"])
def test_every_arrow_is_offered_its_value_once(judged, name):
    layers = list(force_layers(judged(name), math.radians(30.0)))
    unit = "lbf" if name == "terrace" else "N"
    names = {one.name for one in layers if isinstance(one, LineLayer)}
    texts = {
        one.name: one.text for one in layers if isinstance(one, LabelLayer) and one.name in names
    }
    assert texts.keys() == names
    assert all(text.startswith(f"{key}: ") and text.endswith(unit) for key, text in texts.items())


def test_no_force_is_drawn_that_is_not_known(judged):
    report = judged("yard")
    run = report.forces.loaded
    lost = np.full(run.angles.shape, np.nan)
    unknown = replace(
        run, tow_tension=lost, mast=(None,) * run.angles.size, lift_wires=lost[:, np.newaxis]
    )
    report = replace(report, forces=replace(report.forces, loaded=unknown, bare=unknown))
    assert math.isnan(newtons_per_metre(report))
    assert not list(force_layers(report, 0.5))


@pytest.mark.parametrize(
    ("newtons", "reduction", "system", "words"),
    [
        (1000.0, 250.0, "metric", "1 cm = 2.5 kN"),
        (200.0, 200.0, "metric", "1 cm = 400 N"),
        (4.4482216 / 0.3048 * 100, 120.0, "imperial", "1 in = 1000 lbf"),
    ],
)
def test_the_scale_is_that_of_an_a4_print(newtons, reduction, system, words):
    said = scale_in_words(newtons, reduction=reduction, system=system)
    assert said == f"forces on an A4 print: {words}"


@pytest.mark.parametrize("name", SITES)
def test_the_scale_is_round_on_paper(judged, name):
    report = judged(name)
    newtons, system = newtons_per_metre(report), report.model.site.site.units
    said = scale_in_words(newtons, reduction=paper(report), system=system)
    value = float(said.split("= ")[1].split()[0])
    digits = value / 10 ** math.floor(math.log10(value) + 1e-9)
    assert min(abs(digits - step) for step in (1.0, 2.0, 2.5, 4.0, 5.0)) < 1e-3


def paper(report):
    """Return metres per metre on paper of the view at 1600 × 1000, from what its title says."""
    sheet = Sheet(1600, 1000)
    frame = lay_page(sheet, panel="bottom", panel_size=140, foot_lines=2).frame
    text = scale_text(round_scale(forces(report), sheet, frame), sheet, frame)
    return float(text.split(":")[1].split(" ")[0])


def test_the_window_tells_force_by_length():
    said = per_length_in_words(1000.0, "metric")
    assert said == " Arrows are forces on mast and gin pole, 1 m = 1 kN."
    assert "1 ft = 80 lbf" in per_length_in_words(80 * 4.4482216 / 0.3048, "imperial")
    assert per_length_in_words(math.nan, "metric") == ""


def test_only_the_view_of_forces_shows_them(judged, maker):
    shots = {shot.view.name: shot for shot in named_shots(judged("yard"), maker("yard").terrain)}
    assert [name for name, shot in shots.items() if FORCES in shot.view.only] == ["forces"]
    assert shots["forces"].angle == judged("yard").raised.first_angle
    assert at_angle(shots["forces"], 1.0).angle == 1.0


@pytest.mark.picture
def test_arrows_can_be_seen(judged, maker, shots):
    shot = at_angle(shots("yard")["forces"], math.radians(30.0))
    image = np.asarray(make_picture(maker("yard").at(shot.angle), shot.view, width=900, height=560))
    green = np.abs(image.astype(int) - [0, 112, 82]).max(axis=2) < 12
    assert green.sum() > 200
