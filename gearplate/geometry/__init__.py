"""Points, circles, closed paths of lines and arcs. Arcs stay arcs; only this room may load a polygon library."""
