"""Reads our pictures back by the standard library alone: circles, text, groups, what is forbidden in them."""

from __future__ import annotations

from dataclasses import dataclass
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

SVG = "{http://www.w3.org/2000/svg}"
ALLOWED = {"svg", "g", "path", "circle", "rect", "line", "text", "title", "desc", "defs", "pattern"}


@dataclass(frozen=True)
class Seen:
    """A picture as read: its root and the drawing set into it."""

    root: Element
    drawing: Element

    def group(self, name: str) -> Element:
        """The group whose id ends in `name`."""
        return next(g for g in self.drawing.iter(f"{SVG}g") if g.get("id", "").endswith(name))

    def circles(self, name: str) -> list[tuple[float, float, float]]:
        """x, y (up) and diameter of a group's circles."""
        return [
            (float(c.get("cx", "nan")), -float(c.get("cy", "nan")), 2 * float(c.get("r", "nan")))
            for c in self.group(name).iter(f"{SVG}circle")
        ]

    def texts(self) -> list[str]:
        """All text of the picture."""
        return [text.text or "" for text in self.root.iter(f"{SVG}text")]


def read_picture(data: bytes | str) -> Seen:
    """The picture, after it has been seen to hold nothing but drawing."""
    root = ElementTree.fromstring(data)
    for element in root.iter():
        name = element.tag.removeprefix(SVG)
        assert name in ALLOWED, f"<{name}> in a picture"
        for key, value in element.attrib.items():
            assert not key.lower().startswith("on"), f"{key} on <{name}>"
            assert "href" not in key.lower()
            assert key != "style"
            assert "url(" not in value or value.startswith("url(#")
    drawing = next(child for child in root if child.tag == f"{SVG}svg")
    return Seen(root, drawing)
