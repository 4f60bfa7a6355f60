"""What is drawn: layers as plain arrays, the look, named views, and the renderer.

Importing this package or its layers costs nothing; pyvista is loaded when a picture is drawn.
"""
