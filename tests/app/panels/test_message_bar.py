"""Messages that offer something: their buttons, which message they belong to, and when they go."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from fairlead.app.document.view_state import ViewState
from fairlead.app.panels.message_bar import Message, MessageBar, Offer

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support")


@pytest.fixture
def bar(qtbot):
    bar = MessageBar(ViewState())
    qtbot.addWidget(bar)
    bar.resize(900, 40)
    bar.show()
    return bar


def test_an_offer_is_taken_once_and_its_message_goes(bar, qtbot):
    taken = []
    offer = Offer("Reload", "Read the file again", lambda: taken.append("dry"))
    bar.say_all([Message("warning", "dry.s1p has changed", (offer,))])
    (button,) = bar.offer_buttons
    assert button.text() == "Reload"
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert taken == ["dry"]
    assert bar.lines == []
    assert bar.offer_buttons == []
    assert not bar.isVisible()


def test_a_note_with_an_offer_stays_and_one_without_goes(bar, qtbot):
    bar._timer.setInterval(10)
    bar.say_all([Message("note", "57 files are there", (Offer("Load", "", lambda: None),))])
    bar.say("note", ["Copied"])
    qtbot.waitUntil(lambda: bar.lines == ["57 files are there"])
    assert len(bar.offer_buttons) == 1


def test_the_newest_word_about_something_holds(bar):
    bar.say_all([Message("warning", "a changed", about="a"), Message("warning", "b", about="b")])
    bar.say_all([Message("warning", "a changed again", about="a")])
    assert bar.lines == ["a changed again", "b"]
    bar.withdraw("a")
    assert bar.lines == ["b"]


def test_the_buttons_are_those_of_the_chosen_message(bar, qtbot):
    taken = []
    bar.say_all(
        Message("warning", name, (Offer(name, name, lambda name=name: taken.append(name)),))
        for name in ("first", "second")
    )
    assert [button.text() for button in bar.offer_buttons] == ["first"]
    qtbot.mouseClick(bar.more_button, Qt.MouseButton.LeftButton)
    bar._list.setFocus()
    qtbot.keyClick(bar._list, Qt.Key.Key_Down)
    assert [button.text() for button in bar.offer_buttons] == ["second"]
    qtbot.mouseClick(bar.offer_buttons[0], Qt.MouseButton.LeftButton)
    assert taken == ["second"]
    assert bar.lines == ["first"]
