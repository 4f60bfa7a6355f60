"""How the numbers are made, with sources and how well each source is known.

The long form is in docs/numbers.md and docs/forces.md; a test holds the sources against them.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Method:
    """One kind of number.

    Parameters
    ----------
    what : str
        The number.
    how : str
        How it is made.
    source : str
        Publication; empty where the formula follows from the definition.
    standing : str
        How well the source is known.
    """

    what: str
    how: str
    source: str = ""
    standing: str = "definition"


METHODS = (
    Method(
        "Places and lengths",
        "azimuthal equidistant about the base on the ellipsoid of the CRS, times 1 + h/R, turned "
        "by the convergence: a tape on the ground agrees",
        "J. P. Snyder, Map Projections, USGS Professional Paper 1395, 1987, p. 191",
        "from memory; lengths computed by a geodesic library",
    ),
    Method(
        "Magnetic bearings",
        "declination at the base on the day of the site file",
        "World Magnetic Model 2025",
        "read; 100 official test values",
    ),
    Method(
        "Ground",
        "plane triangles between heights; a survey wins over the DEM inside its hull; nothing is "
        "filled in where a height is missing",
    ),
    Method(
        "Wire lengths and tensions",
        "elastic catenary with the initial tension at the anchor; temperature as stated",
        "H. M. Irvine, Cable Structures, MIT Press 1981, section 1.3",
        "form read in two public texts, not in the book",
    ),
    Method(
        "Start angle",
        "highest angle at which tube, trestle, collar, head or rotor has not the room it needs",
    ),
    Method(
        "Side wires tight and slack",
        "straight distance of collar and anchor eye less that at upright, every half degree",
    ),
    Method(
        "Fall zone",
        "circle of the total height about the base, times the multiple of the rule; and all ground "
        "within the total height of the hinge in space",
    ),
    Method(
        "Clearances",
        "smallest distance from surface to surface over the whole arc, certified to 1 mm by a "
        "bound on how fast each part moves",
        "C. Ericson, Real-Time Collision Detection, 2005",
        "from memory; answers computed by trimesh and shapely",
    ),
    Method(
        "Distance to overhead lines",
        "by voltage; 20 ft where it is unknown; every line counts as live",
        "29 CFR 1926.1408, Table A",
        "read in several reproductions that agree, not in the regulation",
    ),
    Method("Setbacks", "shortest distance in plan from what the rule names"),
    Method(
        "Pull of the tow line",
        "virtual work of the weights against the lever of the line; everything stands still",
        "",
        "definition; held against published tables",
    ),
    Method(
        "Blocks",
        "each sheave costs a tenth of the pull",
        'US Navy, Steelworker Volume 2, "Allowance for friction"',
        "read",
    ),
    Method(
        "What the vehicle can pull",
        "grip and rolling resistance on the slope, the line lifting or pressing the hitch",
        "R. K. Noon, Engineering Analysis of Vehicular Accidents, 1994",
        "read in a manual that quotes it",
    ),
    Method(
        "Mast",
        "plane beam on wires that only pull, first and second order",
        "Przemieniecki, Theory of Matrix Structural Analysis",
        "pages from memory; values computed by a frame program",
    ),
    Method(
        "Gin pole",
        "strut with its own weight across and a bow of 0.2 %",
        "Timoshenko and Gere, Theory of Elastic Stability, 2nd edition",
        "pages from memory",
    ),
    Method(
        "Walking the pole up",
        "moment of pole and what hangs on it over the place of the hands; 23 kg a person",
        "NIOSH, revised lifting equation",
        "read",
    ),
    Method(
        "Lines, wires and rigging",
        "breaking load over 5",
        "Michigan R 408.42943, Rule 2943(b)",
        "read",
    ),
    Method(
        "Steel",
        "yield over 1.67; buckling load over 23/12",
        "AISC 360, in the Structural Steel Designer's Handbook, p. 5.29",
        "read; 23/12 from memory",
    ),
    Method(
        "Places of the crew",
        "outside both fall zones, free ground, sight of hinge, line and mast",
        "",
        "common practice, no source",
    ),
    Method(
        "Order of work",
        "what holds the mast at every step; one front wire only: a second line before it is moved; "
        "one person at the front anchor",
        "",
        "our own statics, no source",
    ),
    Method(
        "Stops on the way",
        "where a wire goes tight or slack, something comes near, or the mast goes over by itself; "
        "2° to 5° before it",
        "",
        "common practice, no source",
    ),
)
"""The methods, in the order of the work."""
