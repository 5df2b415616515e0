"""A page as a reader that trusts nothing sees it: every tag one of ours, and closed in its turn."""

from __future__ import annotations

from html.parser import HTMLParser

EVIL = '"><script>alert(1)</script><img src=x onerror=y>&lt;\x1b\u202e' + "w" * 300
VOID = {"meta", "br"}
OURS = {
    "html", "head", "meta", "title", "style", "body", "h1", "h2", "p", "bdi", "table", "tr", "th", "td", "span", "br",
    "dl", "div", "dt", "dd", "figure", "i", "u",
    "svg", "desc", "defs", "pattern", "rect", "g", "path", "circle", "line", "text",
}  # fmt: skip


class Reader(HTMLParser):
    """Keeps tags, text, and whether every tag was closed in turn."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[str] = []
        self.open: list[str] = []
        self.text: list[str] = []
        self.attributes: list[tuple[str, str]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(key, value or "") for key, value in attrs]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(key, value or "") for key, value in attrs]

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def read_html(data: bytes) -> Reader:
    reader = Reader()
    reader.feed(data.decode("utf-8"))
    reader.close()
    assert reader.open == []
    assert set(reader.tags) <= OURS
    return reader
