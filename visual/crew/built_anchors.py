"""From a survey of the anchors to the site file: what is written, and what stands against it."""

from visual.crew.as_built_record import AsBuilt
from visual.errors import InputError, Problem
from visual.model import Model
from visual.site import BuiltAnchor


def built_anchors(measured: Model, survey: AsBuilt) -> dict[str, BuiltAnchor]:
    """Return what to write into the site file, from `as_built_model` and its survey.

    The height of an anchor that rests on the ground data is left out.
    """
    found = {}
    for anchor in survey.anchors:
        plan = measured.rig.anchors[anchor.side]
        if plan.built_at is not None:
            found[str(anchor.side)] = BuiltAnchor(
                easting=plan.built_at[0],
                northing=plan.built_at[1],
                height=None if anchor.from_ground else plan.built_height,
                accuracy=anchor.accuracy,
                in_degrees=measured.frame.scale is None,
            )
    return found


def refuse_if_doubtful(survey: AsBuilt, *, file: str) -> None:
    """Make sure that the positions may be written into the site file.

    Raises
    ------
    InputError
        With every reason why not.
    """
    problems = []
    for suspect in survey.suspects:
        rule = "this reading does not go with the others, so nothing is written"
        way_out = "read it again, correct it, or remove the row"
        problems.append(Problem(file, suspect.reading.name, None, rule, way_out))
    for mirror in survey.open_mirrors:
        rule = "the readings fit a mirror image as well, so nothing is written"
        way_out = mirror.question
        problems.append(Problem(file, ", ".join(mirror.points), None, rule, way_out))
    for anchor in survey.misplaced:
        rule = "this anchor is more than 45 degrees off its side, so nothing is written"
        way_out = "correct the names in from and to, or give the site file that was built"
        problems.append(Problem(file, anchor.side, None, rule, way_out))
    if not survey.fits and not survey.suspects:
        rule = "the residuals are larger than the stated accuracy of the readings allows"
        way_out = "find the wrong reading, or write honest values in the column sigma"
        problems.append(Problem(file, "", None, rule, way_out))
    if problems:
        raise InputError(problems)
