"""The gin pole: the lever that gives the tow line its arm."""

from dataclasses import dataclass

from visual.rig.tube import Tube


@dataclass(frozen=True)
class GinPole:
    """A gin pole fixed to the hinge, turning with the mast.

    Parameters
    ----------
    tube : Tube
        The pole itself.
    angle : float
        Angle between mast and gin pole, towards the front. [rad]
    """

    tube: Tube
    angle: float

    @property
    def length(self) -> float:
        """Hinge to tip. [m]"""
        return self.tube.length
