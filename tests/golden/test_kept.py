"""The golden files' own scales: what they call the same, and what not."""

import json
from typing import Any

import pytest

from golden.kept import ROOT, differences, fit_to_keep

GOLDEN = "tests/golden/expected/prove/holds.json"


def kept() -> Any:
    return json.loads((ROOT / GOLDEN).read_text(encoding="utf-8"))


def unlike(data: Any) -> int:
    return len(differences(GOLDEN, json.dumps(data)))


def test_last_bits_and_order_of_keys_do_not_matter() -> None:
    data = kept()
    data["full_ah"] *= 1 + 1e-9
    assert unlike(dict(reversed(data.items()))) == 0


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("full_ah", kept()["full_ah"] * (1 + 1e-6)),
        ("full_ah", None),
        ("full_ah", str(kept()["full_ah"])),
        ("format", True),
        ("format", 2),
        ("status", "Holds"),
        ("problems", [None]),
        ("legs", {}),
        ("more", None),
    ],
)
def test_anything_else_does(key: str, value: object) -> None:
    assert unlike(kept() | {key: value}) == 1


def test_a_key_that_is_gone_and_a_file_that_is_not_there() -> None:
    data = kept()
    del data["full_ah"]
    assert unlike(data) == 1
    assert differences(f"{GOLDEN}.none", "") != []


def test_only_release_catalog_and_day_are_hidden() -> None:
    data = {
        "version": "1.2.3",
        "catalog_sha256": "0123456789abcdef" * 4,
        "what": "tuned on 2026-01-02, 12-34",
        "third": 1 / 3,
        "whole": 3,
    }
    assert json.loads(fit_to_keep("a.json", json.dumps(data))) == {
        "version": "VERSION",
        "catalog_sha256": "SHA-256",
        "what": "tuned on DATE, 12-34",
        "third": 0.333333333,
        "whole": 3,
    }
    assert fit_to_keep("a.txt", "wide   \n end") == "wide\n end\n"
    assert fit_to_keep("a.csv", "\ufeffwide   \r\n end") == "\ufeffwide   \r\n end"
