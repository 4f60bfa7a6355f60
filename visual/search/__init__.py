"""Where else on the land, and which way round, the mast could stand.

::

    causes.py      what can stop a place, in words
    numbers.py     rig and limits as plain numbers
    level.py       what the rig has left on level ground: the measure of all margins
    tables.py      where the ground is sampled for each bearing
    cover.py       discs over all that the raise sweeps: the fast bound on clearances
    around.py      what stands around, in plan
    job.py         a search as tiles that know nothing of each other
    place.py       what does not depend on the bearing
    fields.py      distances in plan, and where anchors may stand
    compiled.py    how kernels are compiled
    kernel.py      one place and bearing looked at closely
    scan.py        many places, all bearings
    window.py      the ground around a tile
    tile.py        one tile: plain arrays in, plain arrays out
    land.py        allowed land, and the reason for each lost part
    exact.py       given places and bearings looked at in full
    spot.py        one place looked at exactly: its bearings held against the checks
    again.py       places that bounds turn down, looked at exactly with the checks
    plan.py        strips and setbacks of one place, for all bearings
    stand.py       the mast put up at a place of the search, and held against the checks
    choose.py      which places are looked at exactly, and taking in what was found
    pool.py        threads, progress, interruption
    run.py         all of a search
    found.py       the record of what was found
    reasons.py     what stands in the way, place by place
    short_list.py  the best places, fully checked
    search_text.py the result as text

Importing this package is cheap; the compiler is loaded when something is searched.
"""
