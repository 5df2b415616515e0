"""A neutral drawing and its small writers and readers: DXF out and in, comparison, SVG. Only it may load ezdxf."""
