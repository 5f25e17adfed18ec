"""Advice in sentences: each number with its assumption and only the digits that are known."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from fairlead.core.advice.budget import range_factor, s_units
from fairlead.core.advice.elements import Lumped, Section
from fairlead.core.advice.places import PLACE_WORDS
from fairlead.core.advice.tuning import MM_PER_INCH, PART_SHARE
from fairlead.core.figure_table.number import written_within
from fairlead.core.table_lines import plain_mhz
from fairlead.core.transform.step import WHAT_IF
from fairlead.core.units import format_number, format_swr

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fairlead.core.advice.answers import TrimAnswer
    from fairlead.core.advice.compromise import Compromise
    from fairlead.core.advice.differences import Difference
    from fairlead.core.advice.elements import Element, Network
    from fairlead.core.advice.matching import Match, Outcome
    from fairlead.core.advice.places import PlaceKey, SweepBudget
    from fairlead.core.advice.tuning import Slope
    from fairlead.core.bands import Band
    from fairlead.core.document.entry import Entry
    from fairlead.core.uncertainty.interval import Interval

# A first cut of less than this share of the length is within the accuracy of a saw.
_LEAST_CUT = 5e-4


def named(entry: Entry) -> str:
    """The name of a sweep whose figures are told as it is shown: a what-if says so."""
    return f"{WHAT_IF}{entry.label}" if entry.is_what_if else entry.label


def budget_sentence(label: str, found: SweepBudget) -> str:
    """The worst point of a sweep, with all its steps."""
    keys: tuple[PlaceKey, ...] = ("worst", "low_edge", "high_edge")
    places = [found.place(key) for key in keys]
    known = [(one, one.steps) for one in places if one.steps is not None]
    if not known:
        return f"{label}: no power budget: {places[0].why_not}."
    worst, steps = min(known, key=lambda pair: pair[1].power_w)
    where = f"at the {PLACE_WORDS[worst.key]}, {_mhz(worst.frequency_hz)}"
    parts = [
        (steps.fold_back_db, "to the radio's fold-back"),
        (steps.mismatch_db, "to mismatch at the radio"),
        (steps.line_db, "in the line"),
        (steps.added_db, "added by standing waves"),
        (steps.transformer_db, "in the transformer"),
    ]
    told = [(value, words) for value, words in parts if abs(value) >= 0.005]
    lost = "next to nothing is lost"
    if told:
        lost = f"{_db(steps.total_db)} dB is lost"
        each = ", ".join(f"{_db(value)} dB {words}" for value, words in told)
        lost += f" {told[0][1]}" if len(told) == 1 else f": {each}"
    at_antenna, at_radio = format_swr(steps.swr_antenna), format_swr(steps.swr_radio)
    seen = f"{at_antenna} there, {at_radio} at the radio" if at_radio != at_antenna else at_radio
    power = power_text(steps.power_w, worst.power)
    return (
        f"{label}: of {found.station.power_w:.4g} W, {power} W go into the antenna "
        f"{where} (SWR {seen}); {lost}."
    )


def power_text(power_w: float, known: Interval | None) -> str:
    """Power into the antenna with the digits that are known."""
    most = max(0, 3 - _digits_before(power_w))
    if known is None:
        return format_number(power_w, most)
    return written_within(format_number, most, power_w, known.low, known.high)


def difference_sentence(label: str, reference: str, found: Sequence[Difference]) -> str:
    """The loss of one condition against another, at the frequency where it is largest."""
    if not found:
        return f"{label}: no place at which both have a power budget."
    most = max(found, key=lambda one: abs(one.difference_db))
    size = abs(most.difference_db)
    place = PLACE_WORDS[most.key]
    at = f"at the {place}" if most.key != "worst" else "each at its worst point"
    if not most.is_resolved:
        return (
            f"{label} compared with {reference}: {_db(size)} dB {at}, less than the uncertainty "
            f"({_db(most.half_db or 0.0)} dB): no difference can be claimed."
        )
    what = "less" if most.difference_db < 0 else "more"
    text = _db(size)
    if most.half_db is not None:
        text = written_within(format_number, 3, size, size - most.half_db, size + most.half_db)
    return (
        f"{label} compared with {reference}: {text} dB {what} into the antenna {at}, which is "
        f"{_units(s_units(size))} S-units of 6 dB (real meters differ) and multiplies the "
        f"line-of-sight range by {range_factor(most.difference_db):.3f}."
    )


def shift_sentence(found: Compromise, band: Band, count: int, at_radio: float | None) -> str:
    """One tuning for all."""
    what = {1: "the sweep", 2: "both sweeps"}.get(count, f"all {count} sweeps")
    over = _over(band)
    if found.shift_percent is None or found.worst_swr is None:
        low_mhz = math.floor(found.low_hz / 1e5) / 10
        high_mhz = math.ceil(found.high_hz / 1e5) / 10
        return (
            f"No best tuning for {what} over {over}: {found.why_not}. Sweep every condition from "
            f"{low_mhz:g} to {high_mhz:g} MHz."
        )
    shift = found.shift_percent
    way = "higher" if shift > 0 else "lower"
    length = "shorter" if shift > 0 else "longer"
    now = "" if found.now_swr is None else f" instead of {format_swr(found.now_swr)} now"
    good = ""
    if found.as_good is not None:
        good = (
            f" Any shift from {found.as_good.low:+.2f} % to {found.as_good.high:+.2f} % is as good "
            "within the uncertainty.".replace("-", "−")
        )
    radio = "" if at_radio is None else f" The radio sees no more than {format_swr(at_radio)}."
    change = 100 / (1 + shift / 100) - 100
    return (
        f"Tune {abs(shift):.2f} % {way} ({abs(change):.2f} % {length} if the whole antenna is "
        f"scaled): over {over} the worst SWR of {what} is {_swr_within(found)}{now}.{good}{radio}"
    )


def _swr_within(found: Compromise) -> str:
    value = found.worst_swr or math.nan
    if found.worst is None:
        return format_swr(value)
    return written_within(format_swr, 2, value, found.worst.low, found.worst.high)


def shift_assumption(found: Compromise) -> str:
    """The assumption behind the shift."""
    known = "noise and the analyzer's stated error" if found.is_bound else "noise alone"
    return (
        "At the feed point, as if the whole antenna were scaled and ground, height and wet or ice "
        f"stayed the same; ± is from {known}."
    )


def trim_sentences(answer: TrimAnswer) -> list[str]:
    """Direction, amount, the first step, and where to stop."""
    found = answer.trim
    offset = f"{abs(found.offset_hz) / 1e3:.0f} kHz"
    if answer.best.half_hz is not None:
        size, half = abs(found.offset_hz) / 1e3, answer.best.half_hz / 1e3
        offset = f"{written_within(format_number, 1, size, size - half, size + half)} kHz"
    target = _mhz(answer.target_hz)
    if found.direction == "leave":
        on = f"the best match is on {target} as far as it is known"
        return [f"{answer.label}: {on}: leave the length."]
    side = "below" if found.offset_hz < 0 else "above"
    said = [
        f"{answer.label}: the best match is {offset} {side} {target}: make it {found.direction}."
    ]
    if answer.slope is not None:
        said.append(_slope_words(answer.slope, is_certain=found.change_mm is not None))
    elif found.change_mm is None:
        said.append(
            "Only part of the antenna is cut, so 1/length overstates the effect (one part of a "
            f"model moved it by {100 * PART_SHARE:.0f} % of that): the amount needed is unknown."
        )
    if found.change_mm is not None:
        said.append(f"It takes {_length(found.change_mm, found.change, answer)}.")
    if found.first_mm is not None and found.first_mm < _LEAST_CUT * (found.length_mm or 0.0):
        said.append("Too little of that is certain: measure better before you cut.")
    elif found.first_mm is not None:
        verb = "Cut" if found.direction == "shorter" else "Add"
        stop = ""
        if found.stop_mm is not None and not answer.is_percent:
            limit = "below" if found.direction == "shorter" else "beyond"
            stop = f" Do not go {limit} {found.stop_mm:.1f} mm before that."
        said.append(
            f"{verb} {_amount(found.first_mm, answer)} first and sweep again: a cut cannot be "
            f"undone, and two sweeps say what a millimetre does.{stop}"
        )
    return said


def _slope_words(slope: Slope, *, is_certain: bool) -> str:
    rate = slope.hz_per_mm / 1e3
    text = f"{rate:.3g}"
    if slope.interval is not None:
        ends = slope.interval.low / 1e3, slope.interval.high / 1e3
        text = written_within(format_number, 2, rate, *ends)
    doubt = "" if is_certain else ", which may be none: cut more between them, or measure better"
    return f"The two sweeps say {text} kHz for each millimetre cut{doubt}."


def _length(change_mm: float, change: Interval | None, answer: TrimAnswer) -> str:
    word = "less" if change_mm < 0 else "more"
    size = abs(change_mm)
    if change is not None:
        ends = sorted((abs(change.low), abs(change.high)))
        text = written_within(format_number, 2 if answer.is_percent else 1, size, *ends)
    else:
        text = f"{size:.2f}" if answer.is_percent else f"{size:.1f}"
    if answer.is_percent:
        return f"{text} % {word} of the whole antenna, if it is scaled as a whole"
    share = answer.trim.change_percent
    percent = "" if share is None else f", {abs(share):.2f} %"
    rule = "" if answer.slope is not None else "; if the whole antenna is scaled"
    return f"{text} mm {word} ({size / MM_PER_INCH:.2f} inch{percent}{rule})"


def _amount(size_mm: float, answer: TrimAnswer) -> str:
    return f"{size_mm:.2f} %" if answer.is_percent else f"{size_mm:.1f} mm"


def network_words(network: Network) -> str:
    """What to build, from the antenna on."""
    return ", then ".join(_element_words(one) for one in network) or "nothing"


def _element_words(element: Element) -> str:
    if isinstance(element, Lumped):
        place = "in series" if element.where == "series" else "across"
        if element.part == "coil":
            return f"{_value(element.value, ('µH', 'nH'))} {place} (Q {element.q:.4g})"
        return f"{_value(element.value, ('µF', 'nF', 'pF'))} {place} (Q {element.q:.4g})"
    length = f"{element.length_m * 1e3:.0f} mm of {element.line.name}"
    if isinstance(element, Section):
        return length
    end = "shorted" if element.end == "short" else "open"
    place = "in series" if element.where == "series" else "across"
    return f"{length}, {end}, {place}"


def _value(value: float, units: tuple[str, ...]) -> str:
    """A value in the first unit, of 1e-6, 1e-9 and 1e-12, that gives a number of 1 or more."""
    for power, unit in zip((6, 9, 12), units, strict=False):
        scaled = value * 10**power
        if scaled >= 1:
            return f"{scaled:.3g} {unit}"
    return f"{scaled:.2g} {unit}"


def match_sentence(match: Match, band: Band) -> str:
    """One way to match, and its result for every sweep."""
    first = match.outcomes[0]
    width_hz = first.figures.usable_width_hz
    width = "" if width_hz is None else f"; usable width {width_hz / 1e3:.0f} kHz"
    into = ", ".join(f"{one.power_w:.3g} W" for one in match.outcomes)
    notes = "".join(f" {note[0].upper()}{note[1:]}." for note in match.build_notes)
    return (
        f"{match.kind[0].upper()}{match.kind[1:]} at {_mhz(match.at_hz)}: "
        f"{network_words(match.network)}; loses {_db(first.loss_db)} dB{width}. Worst SWR over "
        f"{_over(band)}: {_worsts(match.outcomes)}; into the antenna at {_mhz(match.at_hz)}: "
        f"{into}.{notes}"
    )


def built_sentence(match: Match) -> str:
    """What to build, where, and how good it gets, for a line under a picture."""
    worst = match.worst_swr
    best = "" if worst is None else f"; worst SWR of all sweeps in the band {format_swr(worst)}"
    return f"{match.kind} at {_mhz(match.at_hz)}, {network_words(match.network)}{best}."


def unmatched_sentence(outcomes: Sequence[Outcome], band: Band) -> str:
    """The sweeps without any network, for comparison."""
    return f"Without a network the worst SWR over {_over(band)} is: {_worsts(outcomes)}."


def _worsts(outcomes: Sequence[Outcome]) -> str:
    return ", ".join(
        f"{one.label} "
        + ("not covered" if one.figures.worst_swr is None else format_swr(one.figures.worst_swr))
        for one in outcomes
    )


def _over(band: Band) -> str:
    return f"{plain_mhz(band.low_hz)} to {_mhz(band.high_hz)}"


def _mhz(frequency_hz: float | None) -> str:
    return f"{plain_mhz(round(frequency_hz or 0.0, -3))} MHz"


def _db(value: float) -> str:
    decimals = 3 if abs(value) < 0.0995 else 2
    return format_number(value, decimals)


def _digits_before(value: float) -> int:
    return 1 if value < 1 else math.floor(math.log10(value)) + 1


def _units(value: float) -> str:
    return f"{value:.3f}" if value < 0.0995 else f"{value:.2f}"
