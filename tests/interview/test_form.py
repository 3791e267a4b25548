"""What the form asks for, and how it is written."""

import json

from keelwatt.interview.form import form_page

KINDS = {
    "": {"title": "text", "currency": "text"},
    "craft": {"shape": "text", "fineness": "number", "waterplane": "number", "depth": "length"},
    "craft.mount": {"turns": "bool", "holds": "moment", "x": "length"},
    "limits": {"budget": "money", "reserve": "share"},
    "wish": {"by": "text", "outings_per_season": "number"},
    "parts": {"own": "list", "refuse": "list"},
}


def test_every_key_is_asked_for_as_it_is_written() -> None:
    first = '{"tables"'
    page = form_page()
    data, _ = json.JSONDecoder().raw_decode(page, page.index(first))
    told = {
        table["path"]: {key["name"]: key["kind"] for key in table["keys"]}
        for table in data["tables"]
    }
    for path, kinds in KINDS.items():
        assert kinds.items() <= told[path].items()
    assert told[""].keys() == {"title", "currency"}
    assert "own_pieces" not in told["parts"], "a table of its own cannot be typed as one value"
