"""Benches for tests: one with everything on it, and a hypothesis strategy for all others."""

from __future__ import annotations

from typing import get_args

import numpy as np
from hypothesis import strategies as st
from sweeps import any_sweeps, limits, reference_impedances_ohm

from fairlead.core.bands import Band
from fairlead.core.document.bench import Bench
from fairlead.core.document.entry import Circumstances, Entry, Style, Typed
from fairlead.core.document.picture_request import CHANGES_SHOWN, LEGENDS, PictureRequest
from fairlead.core.document.session import (
    Group,
    Instrument,
    KeptPicture,
    LogEntry,
    Marker,
    Plan,
)
from fairlead.core.notice import Notice
from fairlead.core.sweep import ScalarSweep, Sweep
from fairlead.core.transform.frequency_scale import FrequencyScale
from fairlead.core.transform.renormalise import Renormalise
from fairlead.core.transform.step import Plane
from fairlead.core.views.registry import VIEWS

texts = st.text(max_size=30)
indices = st.integers(0, 10)
typed_rows = st.builds(
    Typed,
    st.sampled_from(("swr", "forward+reflected")),
    st.lists(st.lists(texts, max_size=3).map(tuple), max_size=3).map(tuple),
)
steps = st.lists(
    st.builds(FrequencyScale, st.floats(-49, 100), is_on=st.booleans())
    | st.builds(Renormalise, st.floats(1e-3, 1e6), is_on=st.just(False)),
    max_size=3,
).map(tuple)


def full_bench(points: int = 12) -> Bench:
    """An invented bench in which no field has its default value."""
    frequency_hz = np.linspace(49.9e6, 52.1e6, points)
    turn = np.linspace(0, 2, points)
    return Bench(
        entries=(
            Entry(
                key=3,
                measured=Sweep(frequency_hz, 0.3 * np.exp(1j * turn), 75.0),
                label="Roof, wet",
                condition="rain-soaked",
                is_visible=False,
                style=Style(1, 2, 3),
                file="sweeps/roof wet.s1p",
                notices=(Notice("defaults-applied", "no R given: 50 Ω"),),
                circumstances=Circumstances(
                    taken_at="2026-05-14T18:30",
                    place="club house",
                    height="9 m",
                    feed_line="12 m, VF 0.66",
                    weather="rain since the morning",
                    continuity="open, > 20 MΩ",
                    notes='two lines,\n"quoted", and\ta tab',
                ),
                typed=Typed("forward+reflected", (("50", "100 W", "4"), ("52,1 MHz", "90", ""))),
                steps=(Renormalise(50.0, is_on=False), FrequencyScale(0.58)),
                plane="radio",
                instrument_key=4,
                picture_key=6,
                picture_curve=2,
            ),
            Entry(
                key=1,
                measured=ScalarSweep(frequency_hz, 0.2 + 0.01 * turn, 50.0),
                label="Mesuré à la main",
                typed=Typed("swr", (("50", "1.5"), ("52", "1,6"))),
            ),
        ),
        reference_key=1,
        band=Band(50e6, 52e6, "6 m, Region 2"),
        has_own_band=True,
        limit_swr=1.5,
        z0_ohm=75.0,
        picture=PictureRequest(
            width_mm=90.5,
            height_mm=61.0,
            dpi=600,
            grey=True,
            title="Wet and dry",
            caption="Invented numbers",
            mark_best_match=False,
            changes="yes",
            legend="date",
            view="reactance",
            markers=False,
            log_frequency=True,
            transparent=True,
        ),
        next_key=9,
        instruments=(Instrument(4, "club analyzer", "open, short, load", 36.5, 30.0, 0.25),),
        groups=(Group(5, "Roof", "repeats", (3, 1), 1, False, Style(4, 3, 5)),),
        log=(LogEntry(7, "2026-05-14", 5, 50.0, 12.5, "5/9", "before\nthe rain"),),
        plan=Plan(
            *(20e3, 1.5, 8.5, 0.002, 4e3, 12.0, 0.66, 0.7),
            *("feed point", "9 m", "coax", "at the feed point", "2 l", "10 min"),
        ),
        pictures=(KeptPicture(6, "page 12", "image/jpeg", b"\xff\xd8\x00"),),
        same_radiation=((1, 3),),
        markers=(Marker(8, 50.2e6, "beacon"),),
    )


def large_bench(sweeps: int, points: int) -> Bench:
    """Many points with all their digits."""
    generator = np.random.default_rng(4)
    frequency_hz = np.linspace(50e6, 52e6, points)
    parts = generator.uniform(-0.7, 0.7, (sweeps, points, 2))
    entries = tuple(
        Entry(key, Sweep(frequency_hz, part @ (1, 1j)), f"sweep {key}")
        for key, part in enumerate(parts, 1)
    )
    return Bench(entries, 1, next_key=sweeps + 1)


@st.composite
def entries(draw, key):
    """One sweep with anything a user may have written beside it."""
    return Entry(
        key=key,
        measured=draw(any_sweeps()),
        label=draw(texts),
        condition=draw(texts),
        is_visible=draw(st.booleans()),
        style=Style(draw(indices), draw(indices), draw(indices)),
        file=draw(texts),
        notices=tuple(draw(st.lists(st.builds(Notice, texts, texts), max_size=2))),
        circumstances=draw(st.builds(Circumstances, *[texts] * 7)),
        typed=draw(typed_rows),
        steps=draw(steps),
        plane=draw(st.sampled_from((None, *get_args(Plane)))),
    )


@st.composite
def benches(draw, most=3):
    """Any bench that the program can make."""
    keys = draw(st.lists(st.integers(1, 99), unique=True, max_size=most))
    low_hz = draw(st.floats(1, 1e11))
    return Bench(
        entries=tuple(draw(entries(key)) for key in keys),
        reference_key=draw(st.sampled_from(keys)) if keys else None,
        band=Band(low_hz, low_hz * draw(st.floats(1.0001, 10)), draw(st.none() | texts)),
        has_own_band=draw(st.booleans()),
        limit_swr=draw(limits),
        z0_ohm=draw(reference_impedances_ohm),
        picture=PictureRequest(
            width_mm=draw(st.floats(80, 1200)),
            height_mm=draw(st.floats(60, 1200)),
            dpi=draw(st.integers(50, 2400)),
            grey=draw(st.booleans()),
            title=draw(st.none() | texts),
            caption=draw(texts),
            mark_best_match=draw(st.booleans()),
            changes=draw(st.sampled_from(CHANGES_SHOWN)),
            legend=draw(st.sampled_from(LEGENDS)),
            view=draw(st.sampled_from([view.id for view in VIEWS])),
        ),
        next_key=draw(st.integers(max(keys, default=0) + 1, 200)),
    )
