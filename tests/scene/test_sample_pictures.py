"""Small pictures of the sample sites: the subject is there, and the bytes repeat."""

import math
from dataclasses import replace

import numpy as np
import pytest

from visual.scene import solids
from visual.scene.build import SceneMaker
from visual.scene.camera import project
from visual.scene.layers import MeshLayer, Scene
from visual.scene.legend import entries_for
from visual.scene.overlay import letter
from visual.scene.picture import make_picture, png_bytes
from visual.scene.render import draw, visible
from visual.scene.rig import rig_layers
from visual.scene.sheet import Sheet
from visual.scene.spotter import Spotter
from visual.scene.style import ROLES
from visual.scene.turning import turn_matrix, turned

pytestmark = pytest.mark.picture

WIDTH, HEIGHT = 320, 231
PAGE = (800, 500)  # lines as on a larger page, so that their colours come out


@pytest.fixture(scope="session")
def drawn(maker, shots):
    made = {}

    def of(name, view):
        if (name, view) not in made:
            shot = shots(name)[view]
            scene = maker(name).at(shot.angle)
            picture = draw(scene, shot.view, width=WIDTH, height=HEIGHT, page=PAGE)
            made[name, view] = (shot, scene, picture)
        return made[name, view]

    return of


def count_near(image, color, box, within=48.0):
    """Count pixels of about a colour in a box (left, top, right, bottom)."""
    x0, y0, x1, y1 = (int(v) for v in box)
    patch = image[max(y0, 0) : y1 + 1, max(x0, 0) : x1 + 1].astype(float)
    return int((np.linalg.norm(patch - np.array(color, float), axis=2) < within).sum())


def box_of(view, points, pad=2.0):
    pixels, _ = project(view, points, width=WIDTH, height=HEIGHT)
    low, high = pixels.min(axis=0) - pad, pixels.max(axis=0) + pad
    return (*np.clip(low, 0, [WIDTH, HEIGHT]), *np.clip(high, 0, [WIDTH - 1, HEIGHT - 1]))


def points_of(scene, role):
    return np.concatenate([x.points for x in scene.layers if x.role == role])


@pytest.mark.parametrize(
    ("name", "view"), [("paddock", "overview"), ("terrace", "front"), ("yard", "overview")]
)
def test_the_standing_mast_runs_dark_from_foot_to_top(drawn, judged, name, view):
    shot, _, picture = drawn(name, view)
    length = judged(name).model.rig.mast.length
    seen = 0
    for share in np.linspace(0.1, 0.93, 12):
        box = box_of(shot.view, np.array([[0.0, 0.0, share * length]]), pad=3.0)
        seen += count_near(picture.image, ROLES["mast"].color, box, within=90.0) > 0
    assert seen >= 9  # the ends of the rotor, wires and lines behind may cover it here and there


@pytest.mark.parametrize("name", ["paddock", "terrace"])
def test_gin_pole_and_lift_wire_are_seen_from_the_side(drawn, name):
    shot, scene, picture = drawn(name, "raising")
    for role in ("gin_pole", "lift_wire"):
        box = box_of(shot.view, points_of(scene, role))
        assert count_near(picture.image, ROLES[role].color, box, within=90.0) > 8, role


@pytest.mark.parametrize("name", ["paddock", "yard"])
def test_the_rim_of_the_fall_zone_is_closed_in_plan(drawn, judged, name):
    shot, _, picture = drawn(name, "plan")
    zone = judged(name).fall_zone
    seen, asked = 0, 0
    for bearing, reach in zip(zone.bearings[::15], zone.reach[::15], strict=True):
        at = np.array([[reach * math.sin(bearing), reach * math.cos(bearing), 0.0]])
        box = box_of(shot.view, at, pad=2.5)
        asked += 1
        seen += count_near(picture.image, ROLES["fall_zone_edge"].color, box, within=110.0) > 0
    assert (
        seen >= asked - 5
    )  # a building, a road's name or the laid rotor may cover it here and there


def test_setback_lines_are_seen_in_plan_and_paler_in_the_overview(drawn):
    color = ROLES["setback"].color
    counts = {}
    for view in ("plan", "overview"):
        _, _, picture = drawn("paddock", view)
        counts[view] = count_near(picture.image, color, (0, 0, WIDTH, HEIGHT), within=40.0)
    assert counts["plan"] > 60
    assert counts["overview"] < counts["plan"]


def test_the_closest_approach_is_marked_where_it_is(drawn):
    shot, scene, picture = drawn("paddock", "closest")
    box = box_of(shot.view, points_of(scene, "worst"), pad=3.0)
    assert count_near(picture.image, ROLES["worst"].color, box, within=60.0) > 4


def test_the_cut_ground_fills_the_foot_of_a_side_view(drawn):
    shot, _, picture = drawn("yard", "raising")
    ground = project(shot.view, np.array([[0, 0, -1.0]]), width=WIDTH, height=HEIGHT)[0][0, 1]
    below = picture.image[int(ground) : HEIGHT - 2]
    assert (below == ROLES["ground_cut"].color).all(axis=2).mean() > 0.9


@pytest.fixture(scope="session")
def behind_a_wall(maker, shots):
    """Return shot, scene and drawing of a viewpoint with a wall put up before the mast."""
    shot = shots("paddock")["from-house-terrace"]
    view = shot.view
    at = view.eye - 15.0 * view.axes[2]
    vertices, triangles = solids.box(at, view.axes, (10.0, 10.0, 0.5))
    wall = MeshLayer(role="building", group="surroundings", vertices=vertices, triangles=triangles)
    scene = maker("paddock").at(None)
    scene = Scene((*scene.layers, wall), scene.caption)
    return shot, scene, draw(scene, view, width=WIDTH, height=HEIGHT, page=PAGE)


def test_a_hidden_mast_is_told_from_one_that_is_seen(behind_a_wall, drawn):
    shot, _, picture = behind_a_wall
    spotter = Spotter(shot.view, (WIDTH, HEIGHT), picture.depth)
    assert not spotter.is_seen(shot.view.subject, sharp=True).any()
    clear, _, other = drawn("paddock", "from-house-terrace")
    seen = Spotter(clear.view, (WIDTH, HEIGHT), other.depth).is_seen(clear.view.subject, sharp=True)
    assert seen[-6:].sum() >= 5  # its foot stands behind a shed, and a line crosses it


def test_a_picture_says_that_the_mast_is_hidden(behind_a_wall):
    shot, scene, picture = behind_a_wall
    sheet = Sheet(*PAGE)
    said, _ = letter(picture, visible(scene, shot.view), shot.view, sheet)
    plain = replace(shot.view, subject=None)
    silent, _ = letter(picture, visible(scene, plain), plain, sheet)
    changed = np.argwhere((np.asarray(said) != np.asarray(silent)).any(axis=2))
    assert len(changed) > 200
    assert changed[:, 0].max() < HEIGHT / 4


def test_the_legend_leaves_out_what_is_hidden(behind_a_wall):
    shot, scene, picture = behind_a_wall
    layers = visible(scene, shot.view)
    size = {"width": WIDTH, "height": HEIGHT}
    anyway = {e.word for e in entries_for(layers, shot.view, **size)}
    seen = {e.word for e in entries_for(layers, shot.view, **size, depth=picture.depth)}
    assert {"mast", "rotor", "wire", "tree"} <= anyway
    assert seen == {"building"}


def test_every_view_of_a_site_has_the_same_bytes_twice_even_if_tiny(judged, maker, shots):
    again = SceneMaker(judged("yard"))
    for shot in shots("yard").values():
        one, other = (
            png_bytes(make_picture(m.at(shot.angle), shot.view, width=300, height=200))
            for m in (maker("yard"), again)
        )
        assert one == other, shot.view.name


def test_a_raised_mast_looks_the_same_turned_by_a_viewer(drawn, judged):
    """Turn the layers marked ``"mast"`` by hand and draw them: the picture is that of the angle."""
    shot, scene, _ = drawn("yard", "raising")
    model = judged("yard").model
    rigid = [x for x in scene.layers if x.motion == "mast"]
    goal = math.radians(70.0)
    matrix = turn_matrix(model, goal - shot.angle)
    by_hand = Scene(tuple(turned(x, matrix) for x in rigid), scene.caption)
    made = rig_layers(model, judged("yard").raised, angle=goal)
    built = Scene(tuple(x for x in made if x.motion == "mast"), scene.caption)
    one, other = (
        draw(s, shot.view, width=WIDTH, height=HEIGHT, page=PAGE).image for s in (by_hand, built)
    )
    np.testing.assert_array_equal(one, other)
