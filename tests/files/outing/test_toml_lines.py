"""The key locator: lines of keys, and values that lack their quotes."""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from keelwatt.files.outing.toml_lines import Key, dotted, locate
from samples import small_outing_text

TEXT = '''\
# a remark with speed = 3 mph in it
title = "a # b"  # not a remark inside
"quoted key" = 1

[craft]
note = """
speed = 3 mph
[leg]
"""
other = \'\'\'
x = 1\'\'\'
at = { x = "1 m", y = "0 m" }  # inline
list = [
  "a",  # one
  "b",
]

[[craft.mount]]
name = "bow"
[[craft.mount]]
  name = "stern"
[craft.mount.deep]
z = 1

[[leg]]
speed = "1 mph"
[leg.more]
a.b = 2
[[leg]]
'speed' = "2 mph"
'''


@pytest.mark.parametrize(
    ("key", "line"),
    [
        (("title",), 2),
        (("quoted key",), 3),
        (("craft",), 5),
        (("craft", "note"), 6),
        (("craft", "other"), 10),
        (("craft", "at"), 12),
        (("craft", "at", "y"), 12),
        (("craft", "list"), 13),
        (("craft", "list", 0), 14),
        (("craft", "list", 1), 15),
        (("craft", "mount", 0), 18),
        (("craft", "mount", 0, "name"), 19),
        (("craft", "mount", 1, "name"), 21),
        (("craft", "mount", 1, "deep", "z"), 23),
        (("leg", 0), 25),
        (("leg", 0, "speed"), 26),
        (("leg", 0, "more", "a", "b"), 28),
        (("leg", 1), 29),
        (("leg", 1, "speed"), 30),
        (("leg", 1, "hours"), 29),
        (("nowhere",), None),
    ],
)
def test_a_key_has_its_line(key: Key, line: int | None) -> None:
    tomllib.loads(TEXT)
    assert locate(TEXT).line(key) == line


def test_good_toml_is_left_alone() -> None:
    for text in (TEXT, small_outing_text()):
        found = locate(text)
        assert found.unquoted == ()
        assert found.patched == text


@pytest.mark.parametrize(
    ("line", "key", "value", "better"),
    [
        ("speed = 3 mph", "speed", "3 mph", '"3 mph"'),
        ("speed = 3 mph  # easy", "speed", "3 mph", '"3 mph"'),
        ("speed=3mph", "speed", "3mph", '"3mph"'),
        ("speed = 4,5 mph", "speed", "4,5 mph", '"4,5 mph"'),
        ("length = 12' 6\"", "length", "12' 6\"", '"12\' 6\\""'),
        ("shape = canoe", "shape", "canoe", '"canoe"'),
        ("drag_factor = .5", "drag_factor", ".5", "0.5"),
        ("drag_factor = 1,3", "drag_factor", "1,3", "1.3"),
        ("count = 007", "count", "007", "7"),
        ("speed = “3 mph”", "speed", "“3 mph”", '"3 mph"'),
        ("at = {x = 1 m, y = '0 m'}", "at.x", "1 m", '"1 m"'),
        ("own = ['a', agm-1, 'b']", "own.2", "agm-1", '"agm-1"'),
        ("own = [\n  agm-1  # mine\n]", "own.1", "agm-1", '"agm-1"'),
        ("hours = 6:30", "hours", "6:30", '"6:30"'),
    ],
)
def test_a_value_without_quotes_is_found_and_mended(
    line: str, key: str, value: str, better: str
) -> None:
    found = locate(line)
    (unquoted,) = found.unquoted
    assert (dotted(unquoted.key), unquoted.value, unquoted.better) == (key, value, better)
    assert better in unquoted.remedy
    tomllib.loads(found.patched)


TOML_TEXT = st.one_of(
    st.text(),
    st.text(alphabet="ab =.\"'[]{},#\n1\\ "),
    st.lists(
        st.sampled_from([*small_outing_text().splitlines(), "[[", '"""', "x = {", "y = [1 m,", "'"])
    ).map("\n".join),
)


@given(TOML_TEXT)
def test_any_text_is_stepped_through(text: str) -> None:
    found = locate(text)
    assert all(1 <= line <= text.count("\n") + 1 for line in found.lines.values())


@given(TOML_TEXT)
def test_what_is_toml_is_never_mended(text: str) -> None:
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return
    found = locate(text)
    assert found.patched == text
    assert all((name,) in found.lines for name in table)
