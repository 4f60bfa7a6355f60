"""The mast: sections, collars and head."""

from dataclasses import dataclass

from visual.rig.tube import Tube

HEAD_RADIUS = 0.3  # [m] a ball about the head's centre of mass: its body is not described


@dataclass(frozen=True)
class Collar:
    """Where one set of wires meets the mast.

    Parameters
    ----------
    height : float
        Distance above the hinge, along the mast. [m]
    wire : str
        Name of the wire type of its four wires.
    """

    height: float
    wire: str


@dataclass(frozen=True)
class Head:
    """What the mast carries at its top.

    Parameters
    ----------
    mass : float
        Mass of head and rotor. [kg]
    centre_above_top : float
        Centre of mass above the mast top, along the mast. [m]
    centre_to_front : float
        Centre of mass square to the mast, positive to the front when upright. [m]
    rotor_diameter : float
        Rotor diameter; 0 if there is no rotor. [m]
    rotor_above_top : float
        Rotor axis above the mast top, along the mast. [m]
    """

    mass: float
    centre_above_top: float
    centre_to_front: float
    rotor_diameter: float
    rotor_above_top: float

    @property
    def rotor_radius(self) -> float:
        """Half the rotor diameter. [m]"""
        return self.rotor_diameter / 2


@dataclass(frozen=True)
class Mast:
    """A mast hinged at its foot.

    Parameters
    ----------
    sections : tuple of Tube
        From the hinge up, one entry per length of tube.
    collars : tuple of Collar
        From the lowest to the highest.
    head : Head or None
        What it carries; None for a bare mast.
    hinge_height : float
        Hinge axis above the ground at the base. [m]
    """

    sections: tuple[Tube, ...]
    collars: tuple[Collar, ...]
    head: Head | None
    hinge_height: float

    @property
    def length(self) -> float:
        """Hinge to mast top, along the mast. [m]"""
        return sum(section.length for section in self.sections)

    @property
    def radius(self) -> float:
        """Half the largest outer diameter. [m]"""
        return max(section.outer_diameter for section in self.sections) / 2

    @property
    def hub_above_hinge(self) -> float:
        """Rotor axis (or mast top without a head) above the hinge, upright. [m]"""
        return self.length + (self.head.rotor_above_top if self.head else 0.0)

    @property
    def reach(self) -> float:
        """Hinge to the farthest point of mast and rotor, along the mast. [m]"""
        rotor_radius = self.head.rotor_radius if self.head else 0.0
        return max(self.length, self.hub_above_hinge + rotor_radius)

    @property
    def mast_height(self) -> float:
        """Ground at the base to the mast top, upright. [m]"""
        return self.hinge_height + self.length

    @property
    def hub_height(self) -> float:
        """Ground at the base to the rotor axis, upright. [m]"""
        return self.hinge_height + self.hub_above_hinge

    @property
    def total_height(self) -> float:
        """Ground at the base to the highest point the rotor reaches. [m]"""
        return self.hinge_height + self.reach
