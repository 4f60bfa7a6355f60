"""What pulls: a vehicle or a winch, and the line it pulls with."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class Tow:
    """The pull that raises the mast.

    Parameters
    ----------
    by : {"vehicle", "winch"}
        A vehicle that drives away, or a winch at the front anchor.
    line : str
        Name of the wire type of the tow line.
    line_length : float
        Gin-pole tip to hitch, along the line. [m]
    hitch_height : float
        Hitch above the ground. [m]
    through_front_anchor : bool
        True if the line runs through a block at the front anchor's eye.
    vehicle_mass : float
        Mass of the vehicle, loaded. [kg]
    grip : float
        Tyre to ground friction. [1]
    rolling : float
        Rolling resistance over weight. [1]
    driven_share : float
        Share of the vehicle's weight on driven wheels. [1]
    block_friction : float
        Share of the pull that one block costs. [1]
    parts : int
        Parts of line between tip and front anchor, for a winch.
    winch_pull, shackle_load, block_load : float or None
        Rated pull of the winch, working loads of the weakest shackle and of the block; None where
        not stated. [N]
    """

    by: Literal["vehicle", "winch"]
    line: str
    line_length: float
    hitch_height: float
    through_front_anchor: bool
    vehicle_mass: float
    grip: float
    rolling: float
    driven_share: float = 1.0
    block_friction: float = 0.10
    parts: int = 1
    winch_pull: float | None = None
    shackle_load: float | None = None
    block_load: float | None = None
