"""The live view: a server on this machine only, and the viewer in the user's browser.

::

    placing.py    dragged base, anchors and front → keys of the site file
    numbers.py    key numbers, against those of the saved site
    findings.py   findings, likewise
    answer.py     what one state of the site comes to
    work_out.py   working it out
    kept_work.py  what holds for the next state too
    sketch.py     the quick part of it
    shown.py      what is shown of it, as plain values
    what_to_try.py  what could be tried where something stops
    standing.py   what a site stands at: text, answer, who waits for news
    session.py    what can be done to it: edits, undo, save
    on_disk.py    the site file, and changes of it from outside
    history.py    undo and redo
    data_on_disk.py  data files that changed on disk
    field_rows.py the fields
    recovery.py   unsaved work on disk
    worker.py     computing in a thread of its own, the latest state first
    desk.py       the sites in a folder
    looked.py     the last search, or rose, of a site
    finder.py     where else, and which way round: searches and roses of the open sites
    beside.py     a program of its own that searches beside the server
    beside_program.py  that program
    found_data.py what it found, as plain values
    finder_asked.py  what can be asked of the finder
    drop.py       a new site from a file dropped in
    guard.py      who may talk to the server, and what goes out with every answer
    asked.py      what a request must hold
    routes.py     what can be asked of it
    live_scene.py what the viewer draws, in parts
    live_views.py the named views
    home.py       ground and surroundings of it
    outputs.py    pictures, page and sheets
    draw.py       a program of its own that draws one picture
    running.py    starting and stopping
    command.py    the command
"""
