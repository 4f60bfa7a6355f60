"""Findings on forces: what stops, what is only said, and what nobody could check."""

import math

import pytest

from visual.checks.capacity_lines import cure_in_words, judge_lines
from visual.checks.capacity_pull import judge_pull, pole_that_does
from visual.checks.capacity_rigging import anchor_loads, judge_rigging
from visual.checks.capacity_steel import judge_steel
from visual.raising import analyse_forces, analyse_raise
from visual.raising.forces_pulls import find_pulls
from visual.raising.tow import tow_path
from visual.raising.weights import find_weights

HEAD = {"mass": 60.0, "centre_above_top": 0.3, "rotor_diameter": 2.0}


@pytest.fixture(scope="module")
def judged(make_model):
    """A maker of model, forces and findings by check and subject; like changes are made once."""
    made = {}

    def make(changes=None, ground=None, **how):
        key = (repr(changes), ground, repr(how))
        if key not in made:
            model = (
                make_model(ground, changes, **how) if ground else make_model(changes=changes, **how)
            )
            forces = analyse_forces(model, analyse_raise(model))
            found = [
                *judge_pull(model, forces),
                *judge_lines(model, forces),
                *judge_rigging(model, forces),
                *judge_steel(model, forces),
            ]
            made[key] = model, forces, {(f.check, f.subject): f for f in found}
        return made[key]

    return make


def test_nothing_stops_a_sound_rig(judged):
    _, _, found = judged({"tow": {"grip": 0.35}})
    assert {f.status for f in found.values()} <= {"ok", "caution", "not checked"}
    silent = {subject for (check, subject), f in found.items() if f.status == "not checked"}
    assert silent == {
        "shackles of the tow line",
        "gin-pole side stays",
        "hinge and base plate",
        "left anchor",
        "right anchor",
        "back anchor",
    }


def test_every_reason_says_how_much(judged):
    _, _, found = judged({"tow": {"grip": 0.35}})
    for finding in found.values():
        if finding.status == "not checked":
            assert "N" in {one.unit for one in finding.message.quantities}, finding


@pytest.mark.parametrize("grip", [0.0, 1e-6])
def test_without_grip_no_heavier_vehicle_is_advised(judged, grip):
    _, _, found = judged({"tow": {"grip": grip}})
    message = found["vehicle pull", "vehicle on its lane"].message.in_units("metric")
    assert "a vehicle of" not in message
    assert "a winch at the front anchor" in message


def test_spinning_wheels_and_what_would_do(judged, make_model):
    changes = {"tow": {"vehicle_mass": 700.0}, "mast": {"head": HEAD}}
    model, forces, found = judged(changes)
    finding = found["vehicle pull", "vehicle on its lane"]
    assert finding.status == "stop"
    assert finding.value > finding.limit
    assert "a vehicle of" in finding.message.in_units("metric")
    # the vehicle that the advice names does it
    heavier = float(finding.message.in_units("metric").split("a vehicle of ")[1].split(" kg")[0])
    _, _, better = judged({"tow": {"vehicle_mass": heavier + 1}, "mast": {"head": HEAD}})
    assert better["vehicle pull", "vehicle on its lane"].status in ("ok", "caution")
    length = pole_that_does(model, forces.loaded, forces.vehicle)
    if length is not None:
        longer = make_model(changes=changes | {"gin_pole": {"length": length}})
        path = tow_path(longer, forces.loaded.angles[:1])
        pull = find_pulls(longer, path, find_weights(longer, with_head=True)).tow[0]
        assert pull < forces.vehicle.available[0]


def test_two_driven_wheels(judged):
    _, _, all_wheels = judged({"tow": {"grip": 0.35}})
    _, _, two = judged({"tow": {"grip": 0.35, "driven_share": 0.5}})
    key = ("vehicle pull", "vehicle on its lane")
    assert two[key].limit < 0.5 * all_wheels[key].limit
    assert "50% of the weight" in two[key].message.in_units("metric")


def test_a_thin_line_stops(judged):
    thin = {
        "diameter": 0.003,
        "mass_per_metre": 0.04,
        "stiffness": 4e5,
        "breaking_load": 5e3,
    }
    _, _, found = judged({"wire": {"thin": thin}, "tow": {"line": "thin"}})
    finding = found["wire load", "tow line"]
    assert finding.status == "stop"
    assert finding.limit == pytest.approx(1000.0)
    assert finding.angle == pytest.approx(0.0, abs=5.0)
    assert "2943" in finding.basis


def test_a_lift_wire_is_held_against_its_share_of_breaking(judged):
    model, forces, found = judged({"limits": {"design_factor": 20.0}})
    finding = found["wire load", "lift wire front"]
    assert finding.status == "stop"
    assert finding.value == pytest.approx(forces.loaded.lift_wires.max())
    assert finding.limit == pytest.approx(model.rig.wire_types["guy"].breaking_load / 20)


def test_a_thin_pole_buckles(judged):
    _, _, found = judged({"gin_pole": {"outer_diameter": 0.02, "wall": 0.002}})
    stress = found["gin pole", "gin pole stress"]
    assert stress.status == "stop"
    assert found["gin pole", "gin pole as a strut"].status == "stop"
    assert found["gin pole", "length over thickness"].status == "caution"
    assert found["gin pole", "length over thickness"].value == pytest.approx(250.0)


def test_a_thin_mast_bends_too_far(judged):
    weak = {"length": 6.0, "outer_diameter": 0.06, "wall": 0.002, "count": 2}
    _, forces, found = judged({"mast": {"section": [weak], "head": HEAD}})
    stops = {check for (check, _), f in found.items() if f.status == "stop"}
    assert stops & {"mast stress", "mast buckling"}
    assert forces.loaded.mast_stress[0] > 100e6 or forces.loaded.unstable


def test_the_weaker_section_counts(judged):
    strong = {"length": 6.0, "outer_diameter": 0.1143, "wall": 0.0045, "yield": 235e6}
    weak = strong | {"yield": 50e6}
    _, _, found = judged({"mast": {"section": [strong, weak]}})
    (finding,) = [f for (check, _), f in found.items() if check == "mast stress"]
    assert finding.limit == pytest.approx(50e6 / 1.67)
    _, _, place = finding.message.quantities
    assert place.value >= 6.0


@pytest.mark.parametrize(
    ("height", "gin", "words", "first"),
    [(103.0, 90.0, "before the mast is upright", False), (95.0, 30.0, "over-centre start", True)],
)
def test_over_centre(judged, height, gin, words, first):
    eye = {"position": [0.0, 6.0], "height": height}
    changes = {"tow": {"by": "winch"}, "anchors": {"front": eye}, "gin_pole": {"angle": gin}}
    _, forces, found = judged(changes)
    finding = found["tow lever", "tow line"]
    assert finding.status == "stop"
    assert words in finding.message.in_units("metric")
    assert (forces.loaded.over_centre == 0) is first
    # what rests on that pull is not called fine
    assert found["loads", "tow line"].status == "not checked"
    assert not forces.known


def test_winch(judged):
    _, _, unstated = judged({"tow": {"by": "winch", "parts": 2}})
    assert unstated["loads", "winch at the front anchor"].missing == "tow.winch_pull"
    _, forces, stated = judged({"tow": {"by": "winch", "parts": 2, "winch_pull": 800.0}})
    finding = stated["winch pull", "winch at the front anchor"]
    assert finding.value == pytest.approx(forces.loaded.tow_tension.max() * 1.1 / 2)
    assert finding.status == "stop"


def test_rated_fittings(judged):
    tow = {"shackle_load": 20e3, "block_load": 100.0, "through_front_anchor": True}
    _, _, found = judged({"tow": tow})
    assert found["rigging load", "shackles of the tow line"].status == "ok"
    assert found["rigging load", "block at the front anchor"].status == "stop"


def test_anchors_are_held_against_their_capacity(judged):
    _, forces, found = judged({"anchors": {"capacity": 3e3}, "tow": {"by": "winch"}})
    for side, (load, _, _) in anchor_loads(forces).items():
        finding = found["anchor load", f"{side} anchor"]
        assert finding.value == pytest.approx(load)
        assert finding.status == ("stop" if load > 3e3 else "caution" if load > 2.7e3 else "ok")
    assert "front" in anchor_loads(forces)


def test_a_tight_side_wire_says_how_to_cure_it(judged):
    eye = {"right": {"position": [8.0, -0.2], "height": 100.65}}
    _, forces, found = judged({"anchors": eye})
    finding = found["side wire load", "wire right"]
    assert finding.status == "stop"
    wire = next(one for one in forces.wires if one.change.name == "right")
    words = cure_in_words(wire).in_units("metric")
    assert words in finding.message.in_units("metric")
    assert "move its anchor 0.19 m to the back" in words
    assert "lower its eye by 0.20 m" in words  # 0.195 m are needed
    assert "turns) until" in words


def test_hands(judged):
    _, forces, found = judged({"gin_pole": {"wall": 0.02}})
    finding = found["hand lift", "gin pole walked up by hand"]
    assert finding.status == "caution"
    assert f"{forces.hand.people} people" in finding.message.in_units("metric")


def test_a_mast_that_is_let_go(judged):
    _, forces, found = judged({"limits": {"design_factor": 10.0}})
    finding = found["balance", "top back wire holds the mast"]
    assert finding.status == "caution"
    assert finding.value == pytest.approx(forces.catch)
    assert finding.angle == pytest.approx(math.degrees(forces.loaded.balance_angle))


def test_unknown_ground_in_front_leaves_nothing_looking_fine(judged):
    _, _, found = judged(reach=15.0, spacing=5.0)
    for (check, subject), finding in found.items():
        if check in ("wire load", "vehicle pull", "mast stress", "mast buckling", "anchor load"):
            assert finding.status != "ok", subject
    assert found["loads", "pull of the vehicle"].status == "not checked"
