"""Points, circles, closed paths of lines and arcs. Arcs stay arcs; alone sees the polygon library."""
