"""The text of a starter site file. Words between @ are filled in."""

STARTER = """\
# Hillmast site file. Every key: docs/site_file.md of Hillmast.
# A length is a number in metres or text with a unit: 18, "18 m", "59 ft 3 1/2 in".
format = 1

[site]
name = @NAME@
# of the coordinates below and of data files that name none:
crs = @CRS@
# of results, "metric" or "imperial":
units = @UNITS@
# date = 2026-06-01       # for magnetic north

[ground]
@GROUND@
accuracy = "0.5 m"        # one standard deviation of a height of the DEM
survey_accuracy = "0.05 m"
# height_unit = "ft"      # of files that state none

# [surroundings]          # buildings, trees, overhead lines, boundary, roads, viewpoints
# file = "surroundings.geojson"

[mast]
# base, easting and northing:
position = @POSITION@
front = 0.0               # grid bearing of the side the mast is pulled to; it lies down opposite
hinge_height = "0.25 m"   # above the ground at the base

[[mast.section]]          # from the hinge up; steel unless modulus, yield and density are given
length = "6 m"
outer_diameter = "114.3 mm"
wall = "4.5 mm"
count = 2

[[mast.collar]]           # one table for each level of wires
height = "11.4 m"         # above the hinge, along the mast
wire = "guy"

[mast.head]               # leave it out for a bare mast
mass = "50 kg"
centre_above_top = "0.3 m"
rotor_diameter = "2.5 m"  # 0 if there is no rotor
rotor_above_top = "0.3 m"

[wire.guy]
diameter = "6 mm"
mass_per_metre = "0.144 kg"
stiffness = "1.62 MN"
breaking_load = "22.7 kN"
source = "EN 12385-4, 6x19 with wire-rope core, grade 1770; 100 GPa on the metal area"

[wire.tow_rope]
diameter = "10 mm"
mass_per_metre = "0.40 kg"
stiffness = "4.49 MN"
breaking_load = "63.0 kN"
source = "EN 12385-4, 6x19 with wire-rope core, grade 1770; 100 GPa on the metal area"

[anchors]
radius = "7.5 m"          # horizontal, all four
eye_height = "0.10 m"     # above the ground
# capacity = "12 kN"      # working load; not checked if left out

# [anchors.left]          # where one differs: radius, turn, eye_height, capacity;
# position = [0.0, 0.0]   # or where it really is, once it is in the ground
# height = 0.0            # of its eye

[gin_pole]
length = "5 m"
angle = 90.0              # to the mast
outer_diameter = "88.9 mm"
wall = "4.0 mm"

[tow]
by = "vehicle"            # or "winch"
line = "tow_rope"
line_length = "16 m"      # gin-pole tip to hitch
hitch_height = "0.5 m"
through_front_anchor = false
vehicle_mass = "2000 kg"
grip = 0.20               # tyre to ground: 0.20 wet grass, 0.35 gravel or dirt
rolling = 0.06

[tension]
share_of_breaking = 0.10

[turnbuckle]
travel = "0.30 m"
end_allowance = "0.40 m"  # for each wire, both ends together

[limits]                  # each has a default; what is stated here is shown as stated here
# wire_angle = [35.0, 60.0]
# trestle = "0.5 m"       # support under the mast near its top when it lies

# [[limits.setback]]      # what the local code asks for
# to = "boundary"
# from = "base"           # or "nearest_part", "anchors"
# times = 1.1
# of = "total_height"     # or "mast_height", "hub_height"; or distance = "30 m"
# basis = "number of the rule"

[limits.overhead_line]
table = "osha"            # clearance by voltage, or "ontario"; or distance = "7 m"
"""
