"""``--same-radiation``: what only the user can say, on the command line."""

from __future__ import annotations

import json


def test_the_added_loss_is_told_only_where_it_was_said(fairlead, write):
    write("good.s1p", f0_hz=51e6, r_ohm=45.0)
    write("poor.s1p", f0_hz=51e6, r_ohm=60.0)
    options = ("good.s1p", "poor.s1p", "--line", "RG-58,0.5m", "--directivity", "60dB")
    (change,) = json.loads(fairlead("figures", *options, "--as", "json").out)["changes"]
    assert (change["added_loss"], change["added_loss_db"]) == (None, None)
    said = (*options, "--same-radiation", "POOR")
    (change,) = json.loads(fairlead("figures", *said, "--as", "json").out)["changes"]
    assert change["added_loss"] in change["sentence"]
    for form in ("text", "markdown"):
        assert change["added_loss"] in fairlead("figures", *said, "--as", form).out
    assert change["added_loss_half_db"] > 0


def test_an_unknown_sweep_is_wrong_usage(fairlead, write):
    write("good.s1p")
    told = fairlead("figures", "good.s1p", "--same-radiation", "other")
    assert told.status == 2
    assert 'there is no sweep "other"' in told.errors[-1]
