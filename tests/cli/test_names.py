"""Names in a job are anybody's: they stay in the output folder, and no markup or escape gets out of them."""

from __future__ import annotations

import json
import unicodedata
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import pytest

from gearplate.files import is_plain_name
from tests.builders.command import GOOD, call, contents, job_in

NAMES = {
    "up": "../../x",
    "root": "/etc/passwd",
    "drive": "C:\\x\\..\\y",
    "markup": '<script>alert("x")</script>',
    "entity": "&lt;&amp;&#0;]]>",
    "svg": '"/><image href="http://example.org/x.png"/><!--',
    "device": "CON",
    "device-2": "aux.txt",
    "right-to-left": "abc\u202etxt.exe",
    "marks": "a" + "\u0301" * 40,
    "long": "x" * 60,
    "blank": "   a   ",
    "dots": "...",
    "other": "北京 naïve 😀",
    "format": "%s%n{0}{x!r}",
    "dxf": "a|b:c*d?e`f=g,h;i",
    "option": "--out=elsewhere",
    "esc": "a\u001b[31mb\u0007",
    "new-line": "a\nb",
}


class _Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.attributes: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}


@pytest.fixture(scope="module")
def plain_page(tmp_path_factory: pytest.TempPathFactory) -> _Tags:
    """What a page of a job with harmless names is made of."""
    folder = tmp_path_factory.mktemp("plain")
    job_in(folder)
    call("build", folder=folder)
    tags = _Tags()
    tags.feed((folder / "out" / "job" / "index.html").read_text(encoding="utf-8"))
    return tags


@pytest.mark.parametrize("name", NAMES.values(), ids=NAMES)
def test_a_part_s_name_stays_in_its_place(name: str, tmp_path: Path, plain_page: _Tags) -> None:
    said = json.dumps(name, ensure_ascii=False).replace("\x7f", "\\u007f")
    work = tmp_path / "a" / "b" / "work"
    work.mkdir(parents=True)
    job_in(work, GOOD.replace('"test-drive"', f"{said}\ntitle = {said}\nrevision = {json.dumps('R<1>')}"))
    answer = call("build", folder=work)
    written = contents(tmp_path)
    del written[str(Path("a/b/work/job.toml"))]
    if answer.code == 2:  # a name that cannot be: then it is said, and nothing is written
        assert "part" in answer.err or "title" in answer.err
        assert written == {}
        return
    assert answer.code == 0, answer.err
    folder = Path("a/b/work/out/job")
    assert {Path(path).parent for path in written} == {folder}
    assert all(is_plain_name(Path(path).name) for path in written)
    assert not any(unicodedata.category(character) in ("Cc", "Cf") for character in answer.out if character != "\n")
    for path, data in written.items():
        text = data.decode("utf-8")
        assert "example.org" not in text or "&" in text or path.endswith(".json")
        if path.endswith(".svg"):
            tags = {element.tag.split("}")[1] for element in ElementTree.fromstring(text).iter()}
            assert not tags & {"script", "image", "foreignObject", "a", "iframe"}
        if path.endswith(".html"):
            found = _Tags()
            found.feed(text)
            assert found.tags <= plain_page.tags
            assert found.attributes <= plain_page.attributes
        if path.endswith(".dxf"):
            assert text.isascii()
            assert text.endswith("  0\nEOF\n")


def test_a_job_file_s_name_becomes_a_folder_of_out(tmp_path: Path) -> None:
    for name in ("...toml", "CON.toml", "a b<c>.toml"):
        work = tmp_path / str(len(name))
        work.mkdir()
        job_in(work, name=name)
        assert call("build", name, folder=work).code == 0
        (made,) = (work / "out").iterdir()
        assert is_plain_name(made.name)
        assert made.name.lower() != "con"
