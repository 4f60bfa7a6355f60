"""Everything that moves: the raise as geometry and as forces, angle by angle."""

from visual.raising.analysis import SWUNG_SIDES, FirstRaise, Raise, analyse_raise
from visual.raising.forces import RaiseForces, analyse_forces
from visual.raising.forces_run import RaiseRun
from visual.raising.forces_side import WireOnTheWay
from visual.raising.motion import Pose, gin_direction, mast_direction, mast_normal, pose_at
from visual.raising.start import StartAngle, find_start
from visual.raising.strike import LineGround, Strike, find_gin_strike, find_line_ground
from visual.raising.tow import TowPath, tow_path
from visual.raising.wires import ChangeOver, LengthChange

__all__ = [
    "SWUNG_SIDES",
    "ChangeOver",
    "FirstRaise",
    "LengthChange",
    "LineGround",
    "Pose",
    "Raise",
    "RaiseForces",
    "RaiseRun",
    "StartAngle",
    "Strike",
    "TowPath",
    "WireOnTheWay",
    "analyse_forces",
    "analyse_raise",
    "find_gin_strike",
    "find_line_ground",
    "find_start",
    "gin_direction",
    "mast_direction",
    "mast_normal",
    "pose_at",
    "tow_path",
]
