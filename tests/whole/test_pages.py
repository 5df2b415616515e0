"""Pictures and page of every design: well-formed, self-contained, without a script and without a network."""

from __future__ import annotations

import json
import re
from hashlib import sha256
from html.parser import HTMLParser
from typing import Any
from xml.etree import ElementTree

import pytest

from tests import zoo

SVG = "{http://www.w3.org/2000/svg}"
FETCHING = {"href", "src", "srcset", "data", "action", "poster", "background", "cite", "formaction", "manifest", "ping"}
FORBIDDEN_TAGS = {"script", "iframe", "object", "embed", "link", "base", "image", "foreignobject", "animate", "set"}


class Tags(HTMLParser):
    """Every tag with its attributes, and all text."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.text: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, {key: value or "" for key, value in attrs}))

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def self_contained(tag: str, attributes: dict[str, str]) -> None:
    assert tag.lower() not in FORBIDDEN_TAGS
    for key, value in attributes.items():
        name = key.rpartition("}")[2].lower()
        assert not name.startswith("on"), key
        if name in FETCHING:
            assert value.startswith("#") or not re.match(r"(?i)[a-z][a-z0-9+.-]*:|//", value), value
        for target in re.findall(r"url\(([^)]*)\)", value):
            assert target.strip("'\" ").startswith("#"), value


@pytest.mark.parametrize("name", zoo.ZOO)
def test_pictures_are_xml_and_need_nothing_else(name: str, whole: Any) -> None:
    pictures = sorted(whole(name).folder.glob("*.svg"))
    assert len(pictures) == 2 + len(whole(name).plates())  # overlay, section, one preview a plate
    for file in pictures:
        text = file.read_text("utf-8")
        assert "<!DOCTYPE" not in text
        assert "<!ENTITY" not in text
        root = ElementTree.fromstring(text)
        assert root.tag == f"{SVG}svg"
        for element in root.iter():
            self_contained(element.tag.rpartition("}")[2], dict(element.attrib))
        for style in root.iter(f"{SVG}style"):
            assert "@import" not in (style.text or "")
            assert "url(" not in (style.text or "")
        # nothing that looks like an address but the name of the SVG language itself
        assert set(re.findall(r"https?://[^\"'<> ]+", text)) <= {"http://www.w3.org/2000/svg"}


@pytest.mark.parametrize("name", zoo.ZOO)
def test_the_page_has_no_script_and_no_network(name: str, whole: Any) -> None:
    text = (whole(name).folder / "index.html").read_text("utf-8")
    reader = Tags()
    reader.feed(text)
    reader.close()
    for tag, attributes in reader.tags:
        self_contained(tag, attributes)
    assert "@import" not in text
    assert "javascript:" not in text.lower()
    assert set(re.findall(r"https?://[^\"'<> ]+", text)) <= {"http://www.w3.org/2000/svg"}
    said = " ".join("".join(reader.text).split())
    for plate in whole(name).plates():
        assert plate["file"] in said
        wide, tall = plate["drawn"]["size_mm"]
        assert f"{wide:.1f}" in said or f"{wide / 25.4:.3f}" in said or f"{wide:.3f}" in said
        assert tall > 0.0


@pytest.mark.parametrize("name", zoo.ZOO)
def test_the_manifest_names_every_file_with_its_sum(name: str, whole: Any) -> None:
    built = whole(name)
    manifest = json.loads((built.folder / "manifest.json").read_text("ascii"))
    listed = {entry["name"]: entry for entry in manifest["files"]}
    there = {file.name for file in built.folder.iterdir()} - {"manifest.json"}
    assert set(listed) == there
    for entry in listed.values():
        data = (built.folder / entry["name"]).read_bytes()
        assert entry["sha256"] == sha256(data).hexdigest()
    assert sorted(entry["name"] for entry in listed.values() if entry["role"] == "cut file") == sorted(
        plate["file"] for plate in built.plates()
    )


def test_the_page_says_who_offsets_the_kerf(whole: Any) -> None:
    said = {
        name: " ".join(re.sub("<[^>]+>", " ", (whole(name).folder / "index.html").read_text("utf-8")).split()).lower()
        for name in ("machine-compensates", "every-place-given")
    }
    assert "kerf" in said["machine-compensates"]
    assert "machine" in said["machine-compensates"]
    assert said["machine-compensates"] != said["every-place-given"]


def test_the_page_says_that_an_own_mirror_fits_both_hands(whole: Any) -> None:
    for name, says in (("its-own-mirror", True), ("metric-both-hands", False)):
        text = (whole(name).folder / "index.html").read_text("utf-8").lower()
        assert ("fits both" in text or "fit both" in text) is says
