from __future__ import annotations

import os
import re
import time
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.errors import FileError, JobError
from gearplate.source import MAX_BYTES, MAX_DEPTH, KeyPath, Source, parse_toml, read_toml
from tests.builders.toml_writer import random_document


def test_says_where_every_key_of_a_small_job_stands() -> None:
    text = (
        "# compost rover\n"  # line 1
        "format = 1\n"
        'wheel = {diameter = 4, width = "1.5 in"}\n'
        "\n"
        "stages = [\n"  # line 5
        "  {driven = 72},\n"
        "  {driver = 32, driven = 60},\n"
        "]\n"
        "limits.height = 120\n"
        "[plates.outboard]\n"  # line 10
        'title = """two\n'
        'lines"""\n'
        "thickness = 6.1 # measured\n"
        "[[holes]]\n"
        "x = 1\n"  # line 15
        "[[holes]]\n"
        "x = 2\n"
        "[holes.hung]\n"
        '"on shaft" = "out"\n'
    )
    source = parse_toml(text, "rover.toml")
    assert source.data == tomllib.loads(text)
    lines = {path: source.line(path) for path in all_paths(source.data)}
    assert lines == {
        ("format",): 2,
        ("wheel",): 3,
        ("wheel", "diameter"): 3,
        ("wheel", "width"): 3,
        ("stages",): 5,
        ("stages", 0): 6,
        ("stages", 0, "driven"): 6,
        ("stages", 1): 7,
        ("stages", 1, "driver"): 7,
        ("stages", 1, "driven"): 7,
        ("limits",): 9,
        ("limits", "height"): 9,
        ("plates",): 10,
        ("plates", "outboard"): 10,
        ("plates", "outboard", "title"): 11,
        ("plates", "outboard", "thickness"): 13,
        ("holes",): 14,
        ("holes", 0): 14,
        ("holes", 0, "x"): 15,
        ("holes", 1): 16,
        ("holes", 1, "x"): 17,
        ("holes", 1, "hung"): 18,
        ("holes", 1, "hung", "on shaft"): 19,
    }
    place = source.place(("stages", 1, "driven"))
    assert place is not None
    assert (place.line, place.column, place.value_line, place.value_column) == (7, 17, 7, 26)
    assert source.raw_value(("stages", 1, "driven")) == "60"
    assert source.raw_value(("plates", "outboard", "title")) == '"""two lines"""'
    assert source.raw_value(("holes", 1)) == "[[holes]]"
    assert source.raw_value(("limits",)) == "limits.height = 120"
    assert source.raw_value(("stages",), longest=20) == "[ {driven = 72}, ..."


def test_a_key_that_is_missing_has_the_line_of_what_it_would_stand_in() -> None:
    source = parse_toml("a = 1\n[b.c]\nd = [10,\n 20]\n", "x.toml")
    assert source.line(("b", "c", "missing")) == 2
    assert source.line(("b", "c", "d", 1, "deeper", 3)) == 4
    assert source.line(("b", "other")) == 2
    assert source.line(("missing",)) is None
    assert source.line(()) is None
    assert source.place(("b", "c", "missing")) is None
    assert source.raw_value(("missing",)) == ""


TRICKY = [
    "",
    "\n\n",
    "# only a comment",
    "a = 1",
    "a=1#c",
    "  a  .  b  =  1  ",
    "\t\"a.b\".'c d'.e-f_1 = 1\n",
    '"" = 1\n',
    "'' = 1\n",
    '"\\u0061\\t\\"" = 1\n',
    "1.2 = 3\n",
    "true = false\ninf = nan\n2024-01-01 = 2024-01-01\n",
    'a = \'\'\'x\'\'\'\'\nb = """y"""""\nc = 1\n',
    "a = ''''x'''\nb = ''''''\nc = \"\"\"\"\"\"\n",
    'a = """\n[b]\nc = 1\n"""\nd = 2\n',
    "a = '''\n[[b]]\n# c = 1\n'''\nd = 2\n",
    'a = """x \\\n\n   y\\\\"""\nb = "\\\\"\nc = "#"\n',
    'a = "]} , # = \\" \\\\" # ]\nb = [ "]" , \'}\' , """\n]""" ]\n',
    "a = [ # one [\n # two ]\n 1, # three\n\n 2 , ]\nb = 3\n",
    "a = [[], [[]], [{}], {}]\nb = {}\n",
    "a = {b = {c = [ {d = 1}, {d = 2} ]}, e.f = 1, e.g = 2}\n",
    "a = [{x = 1}, [2, {y = 3}]]\n",
    "a = 1979-05-27 07:32:00\nb = 1979-05-27T07:32:00.5-07:00\nc = [07:32:00 , 1979-05-27 07:32:00Z ]\n",
    "a = 1_000\nb = 0xDEAD_beef\nc = -inf\nd = +nan\ne = 1e-3\nf = +1.5E+2\n",
    "[a.b.c]\nx = 1\n[a]\ny = 2\n[a.b]\nz = 3\n",
    "[ a . \"b.c\" . 'd' ] # header\nx = 1\n",
    "[[a]]\n[[a.b]]\nc = 1\n[[a.b]]\nc = 2\n[[a]]\n[[a.b]]\nc = 3\n[a.d]\ne = 4\n",
    "[[a.b]]\n[a.c]\n[a.c.d]\n",
    "[[ a ]]\n[ a.b ]\nb = 1\n[[a]]\n",
    "a.b.c = 1\na.b.d = 2\na.e = 3\n[f]\na.b = 1\n",
    "[a]\nb.c = 1\nb.d.e = 2\n[a.f]\nb.c = 1\n",
    "\"é\" = 'ü'\n'😀' = '\u2028'\nx = '\x85'\n",
    'a = "\u2028\x0b"\nb = 1\n'.replace("\x0b", ""),
]


@pytest.mark.parametrize("text", TRICKY)
@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_agrees_with_tomllib_on_tricky_documents(text: str, line_end: str) -> None:
    agrees_with_tomllib(text.replace("\n", line_end))


def agrees_with_tomllib(text: str) -> Source:
    """The located paths are exactly those of the data, and each value's own text reads as that value."""
    source = parse_toml(text, "x.toml")
    assert repr(source.data) == repr(tomllib.loads(text))
    assert sorted(source._spans, key=repr) == sorted(all_paths(source.data), key=repr)
    for path in all_paths(source.data):
        place = source.place(path)
        assert place is not None
        value = value_at(source.data, path)
        written = source.text[place.start : place.end]
        rows = source.text.split("\n")
        assert rows[place.value_line - 1][place.value_column - 1 :].startswith(written.split("\n")[0])
        if isinstance(path[-1], str):
            row = rows[place.line - 1][place.column - 1 :]
            key = re.match(r'[\w-]+|"(?:[^"\\]|\\.)*"|\'[^\']*\'', row, re.ASCII)
            assert key is not None
            assert list(tomllib.loads(f"{key[0]} = 0")) == [path[-1]]
        else:
            assert (place.line, place.column) == (place.value_line, place.value_column) or written[:2] == "[["
        has_own_value = place.start != 0 and source.text[: place.start].rstrip()[-1:] in ("=", "[", ",")
        if not isinstance(value, dict | list) or (has_own_value and written[0] in "[{"):
            assert repr(tomllib.loads(f"x = {written}")["x"]) == repr(value)
    return source


def all_paths(value: Any, here: KeyPath = ()) -> list[KeyPath]:
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    found: list[KeyPath] = [here] if here else []
    for key, below in inside:
        found += all_paths(below, (*here, key))
    return found


def value_at(data: Any, path: KeyPath) -> Any:
    for key in path:
        data = data[key]
    return data


@settings(max_examples=150, deadline=None)
@given(st.integers(0, 10**9), st.booleans(), st.booleans())
def test_agrees_with_the_writer_of_random_documents(start: int, windows: bool, mark: bool) -> None:
    writer = random_document(start)
    text = ("\ufeff" if mark else "") + (writer.text.replace("\n", "\r\n") if windows else writer.text)
    source = parse_toml(text, "x.toml")
    assert source.text == writer.text
    assert sorted_repr(source.data) == sorted_repr(writer.data)
    found = {}
    for path in all_paths(source.data):
        place = source.place(path)
        assert place is not None
        own = source.text[place.start : place.end]
        found[path] = (place.line, place.column, place.value_line, place.value_column, own)
    assert found == writer.expected
    agrees_with_tomllib(writer.text)


def sorted_repr(value: Any) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key!r}: {sorted_repr(value[key])}" for key in sorted(value)) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(sorted_repr, value)) + "]"
    return repr(value)


@settings(max_examples=300, deadline=None)
@given(st.integers(0, 10**9), st.data())
def test_mangled_documents_bring_a_report_or_a_source_that_agrees(start: int, data: st.DataObject) -> None:
    text = random_document(start).text
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.integers(0, len(text)))
        cut = data.draw(st.integers(0, 5))
        piece = data.draw(st.sampled_from(["", *"\"'[]{}=.,#\n\\ \tx0\r", '"""', "'''", "[[", "\x00", "a = 1\n"]))
        text = text[:at] + piece + text[at + cut :]
    try:
        tomllib.loads(text)
    except ValueError:
        with pytest.raises(JobError) as caught:
            parse_toml(text, "x.toml")
        (problem,) = caught.value.problems
        assert problem.file == "x.toml"
        assert problem.line is not None
        assert 1 <= problem.line <= text.count("\n") + 1
    else:
        agrees_with_tomllib(text)


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("a = [1]\nb 2\n", 2, "a key is followed by = and its value. The line reads: b 2"),
        ("a = 1\n\nkerf = 0.2 mm\n", 3, 'text such as "0.25 in" stands in quotes'),
        ("kerf = 0,2\n", 1, "a decimal mark is a point here: 0.2"),
        ("a = 1\nkerf = .2\n", 2, "this is not a value"),
        ("a = True\n", 1, "true and false are in lower case"),
        ("a = 1\n= 2\n", 2, "a line starts with a key"),
        ("a = 1\nb = 2\na = 3\n", 3, "this key already stands in line 1"),
        ('a = """\n\n"""\nb = 2\n"a" = """\n\n\n"""\n', 5, "this key already stands in line 1"),
        ("[a]\nx = 1\n[b]\n[a]\n", 4, "this key already stands in line 1"),
        ("[a]\nx.y = 1\n[b]\n[a.x]\n", 4, "already has a value"),
        ("a = {b = 1, b = 2}\n", 1, "this key already stands in line 1"),
        ("a = 1\n[a.b]\nc = 1\n", 2, "already has a value"),
        ("a = [1]\n[[a]]\n", 2, "this key"),
        ("a = 1\n[a.b]\n[c]\n[c]\n", 2, "already has a value"),
        ('a = 1\nb = "x\nc = 2\n', 2, "does not end on its line"),
        ("a = 1\nb = 'x\nc = 2\n", 2, "the file ends before what starts here"),
        ("a = 1\nb = 'x\nc = '2'\n", 2, "does not end on its line"),
        ('a = 1\nb = """x\nc = 2\n', 2, "the file ends before what starts here"),
        ("a = 1\nb = [1,\n2,\n", 2, "the file ends before what starts here"),
        ("a = 1\nb = [1,\n2", 2, "the file ends before what starts here"),
        ("b = [{x = 1},\n\nmaterial = 'x'\n", 3, "the list or table opened in line 1 is not closed"),
        ("b = {x = 1,\n y = 2}\n", 1, "a key is expected here"),
        ("b = {x = 1\n y = 2}\n", 1, "all on one line"),
        ('p = "C:\\parts"\n', 1, "write \\\\, or use single quotes"),
        ("d = 2024-02-31\n", 1, "no such date"),
        ("[a\nb = 1\n", 1, "ends with ]"),
        ("[[a]\nb = 1\n", 1, "ends with ]"),
        ("a = 'x\x00'\n", 1, "control character"),
        ("a = 1\rb = 2\r", 1, "more follows"),
        ("n = " + "9" * 5000, 1, "longer than 100 characters"),
        ("a =", 1, "the file ends"),
        ("a = 1\n\n[", 3, "the file ends"),
    ],
)
def test_syntax_errors_say_in_words_what_is_wrong_and_where(text: str, line: int, words: str) -> None:
    with pytest.raises(JobError) as caught:
        parse_toml(text, "rover.toml")
    (problem,) = caught.value.problems
    assert words in problem.message
    assert (problem.file, problem.line) == ("rover.toml", line)
    assert all(c.isprintable() for c in problem.message)


@pytest.mark.parametrize(
    "text",
    [
        "a = " + "[" * 50_000,
        "a = " + "{a=" * 50_000,
        "a = " + "[" * 400 + "]" * 400,
        "a" + ".a" * 100_000 + " = 1",
        "[" + "a." * 100_000 + "a]",
        "".join("[[" + ".".join("a" * n) + "]]\n" for n in range(1, 30)),
        "a = 1\n[" + ".".join("abcdefghijklmnopqrstuvwxyz") + "]\n" + ".".join("abcdefghijk") + " = [1]\n",
    ],
)
def test_deep_nesting_is_a_report_and_quick(text: str) -> None:
    begun = time.perf_counter()
    with pytest.raises(JobError, match=f"more than {MAX_DEPTH} deep"):
        parse_toml(text, "x.toml")
    assert time.perf_counter() - begun < 2


def test_the_deepest_nesting_that_is_allowed_is_read() -> None:
    agrees_with_tomllib("a = " + "[" * MAX_DEPTH + "]" * MAX_DEPTH)
    agrees_with_tomllib(".".join("a" * MAX_DEPTH) + " = 1")
    agrees_with_tomllib("[" + ".".join("a" * MAX_DEPTH) + "]")


def test_reads_a_file_with_mark_and_windows_line_ends(tmp_path: Path) -> None:
    file = tmp_path / "rover.toml"
    file.write_bytes(b"\xef\xbb\xbfa = 1\r\nb = 'x'\r\n")
    source = read_toml(file)
    assert (source.name, source.path, source.text) == (str(file), str(file), "a = 1\nb = 'x'\n")
    assert source.data == {"a": 1, "b": "x"}
    assert source.line(("b",)) == 2
    assert read_toml(str(file), name="rover.toml").name == "rover.toml"
    assert parse_toml("a = 1", "here").path is None


@pytest.mark.parametrize(
    ("raw", "line", "words"),
    [
        (b"a = 1\nb = '\xe9'\n", 2, "not UTF-8: it holds the byte 0xE9"),
        (b"a = '\xff'", 1, "0xFF"),
        ("a = 1".encode("utf-16"), 1, "UTF-16"),
        (b"#" * (MAX_BYTES + 1), None, "larger than 256 KiB"),
        (b"a = \n", 1, "not a value"),
    ],
)
def test_bad_bytes_are_a_report(tmp_path: Path, raw: bytes, line: int | None, words: str) -> None:
    file = tmp_path / "rover.toml"
    file.write_bytes(raw)
    with pytest.raises(JobError) as caught:
        read_toml(file, name="rover.toml")
    (problem,) = caught.value.problems
    assert (problem.file, problem.line) == ("rover.toml", line)
    assert words in problem.message


def test_a_text_as_large_as_allowed_is_read(tmp_path: Path) -> None:
    (tmp_path / "x.toml").write_bytes(b"a=1\n#".ljust(MAX_BYTES, b"x"))
    assert read_toml(tmp_path / "x.toml").data == {"a": 1}
    with pytest.raises(JobError, match="256 KiB"):
        parse_toml("#" * (MAX_BYTES + 1), "x.toml")


def test_files_that_cannot_be_read_are_named(tmp_path: Path) -> None:
    for path, words in [
        (tmp_path / "none.toml", "no such file"),
        (tmp_path, "folder"),
        (os.devnull, "not a file"),
        (str(tmp_path / "a\0b"), "cannot be read"),
        (tmp_path / ("x" * 300), "cannot be read"),
    ]:
        with pytest.raises(FileError) as caught:
            read_toml(path)
        assert str(path) in str(caught.value)
        assert words in str(caught.value)
