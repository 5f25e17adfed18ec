"""Help and README tell newcomers the same, and what they are told is true."""

from __future__ import annotations

import math
from html import escape
from pathlib import Path

from fairlead.app.panels.help_text import questions_page
from fairlead.app.panels.newcomer_text import GLOSSARY, QUESTIONS

README = " ".join((Path(__file__).parents[3] / "README.md").read_text("utf-8").split())


def test_help_and_readme_have_every_question_and_word():
    page = questions_page()
    for question, answer in QUESTIONS:
        assert f"**{question}** {answer}" in README
        assert escape(answer) in page
    for word, meaning in GLOSSARY:
        assert f"| {word} | {meaning} |" in README
        assert escape(meaning) in page
    assert [word for word, _ in GLOSSARY] == sorted((w for w, _ in GLOSSARY), key=str.casefold)


def test_the_numbers_are_those_of_the_definitions():
    """Pozar, Microwave Engineering, ch. 2: |G| = (S - 1)/(S + 1), loss -10 log(1 - |G|^2)."""
    for swr, share, loss_db in ((2, 1 / 9, 0.5), (3, 1 / 4, 1.2)):
        reflected = ((swr - 1) / (swr + 1)) ** 2
        assert math.isclose(reflected, share)
        assert round(-10 * math.log10(1 - reflected), 1) == loss_db
    # An open end behind A dB: r = 10^(-A/10) comes back, so SWR (1 + r)/(1 - r).
    back = 10 ** (-3 / 10)
    assert round((1 + back) / (1 - back), 1) == 3.0
