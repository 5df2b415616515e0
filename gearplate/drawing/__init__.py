"""A neutral drawing and its small writers and readers: DXF out and in, comparison, SVG. Alone sees ezdxf."""
