"""What are settings taken to say, and where do they say it?"""

from __future__ import annotations

import pytest

from slackwater.files.read import read_catchment
from slackwater.files.settings_toml import setting_lines


@pytest.mark.parametrize(("text", "line"), [
    ("name = 'a'\ncrs = \n", 2),
    ("a = 1\na = 2\n", 2),
    ("[weights\n", 1),
    ("a = 1\nb = [1,\n", 2),
])  # fmt: skip
def test_bad_toml_names_its_line(tmp_path, text, line):
    """Settings that do not parse are one fault with the line."""
    (tmp_path / "catchment.toml").write_text(text)
    (fault,) = read_catchment(tmp_path).faults
    assert (fault.table, fault.row, fault.code) == ("catchment", line, "unreadable")


def test_settings_must_be_utf8(tmp_path):
    """Settings in another encoding are a fault with the line."""
    (tmp_path / "catchment.toml").write_bytes('crs = ""\nname = "Zoë"\n'.encode("cp1252"))
    (fault,) = read_catchment(tmp_path).faults
    assert (fault.table, fault.row, fault.code) == ("catchment", 2, "encoding")


def test_a_mark_before_settings_is_no_text(tmp_path):
    """Settings saved with a byte order mark read."""
    (tmp_path / "catchment.toml").write_bytes('name = "a"\n'.encode("utf-8-sig"))
    assert read_catchment(tmp_path).settings == {"name": "a"}


def test_each_key_knows_its_line():
    """Tables, quoted and dotted keys, rows of criteria are found by dotted name."""
    text = '''name = """
crs = 1
"""
weights.risk = 1
[allocation] # by year
2019 = 0.5
"2020" = 1

[columns.offtakes]
capacity_m3s = "A = [b]"
[[criterion]]
column = "a"
[[criterion]]
column = "b"
'''
    lines = setting_lines(text)
    assert "crs" not in lines
    assert lines["name"] == 1
    assert lines["weights.risk"] == 4
    assert lines["allocation.2019"] == 6
    assert lines["allocation.2020"] == 7
    assert lines["columns.offtakes.capacity_m3s"] == 10
    assert (lines["criterion.1.column"], lines["criterion.2.column"]) == (12, 14)
