"""The record's text is JSON that says what the tree says, in ASCII, one item of a list a line."""

from __future__ import annotations

import json

from hypothesis import given, settings
from hypothesis import strategies as st

from gearplate.record.json_text import json_text
from tests.builders.records import record

leaves = st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text()
trees = st.recursive(leaves, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4))


@settings(max_examples=150, deadline=None)
@given(st.dictionaries(st.text(), trees, max_size=5))
def test_the_text_is_json_of_the_same_tree(tree: dict[str, object]) -> None:
    text = json_text(tree)
    assert json.loads(text) == tree
    assert text.isascii()
    assert text.endswith("}\n")


def test_every_feature_stands_on_a_line_of_its_own() -> None:
    lines = json_text(record("both")).splitlines()
    for plate in record("both")["plates"]:
        for feature in plate["features"]:
            start = f'{{"id": "{feature["id"]}", "kind": "{feature["kind"]}"'
            assert sum(line.strip().startswith(start) for line in lines) >= 2
    assert max(map(len, lines)) < 2000


def test_keys_keep_their_order() -> None:
    text = json_text({"b": 1, "a": [{"z": 1, "y": [1, 2]}]})
    assert text == '{\n "b": 1,\n "a": [\n  {"z": 1, "y": [1, 2]}\n ]\n}\n'
