"""What is remembered is read back, and what is broken counts as nothing."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QByteArray, QSettings

from app.settings import Settings

pytestmark = pytest.mark.usefixtures("qapp")


@pytest.fixture
def path(tmp_path):
    return str(tmp_path / "settings.ini")


def settings(path):
    return Settings(QSettings(path, QSettings.Format.IniFormat))


def test_a_new_user_begins_with_the_usual(path):
    new = settings(path)
    assert new.theme == "system"
    assert new.region == 1
    assert new.folder == ""
    assert new.shows_detail
    assert new.blob("window").isEmpty()
    assert new.number("picture-dpi", 300, 50, 2400) == 300


def test_everything_is_read_back_from_the_file(path):
    first = QSettings(path, QSettings.Format.IniFormat)
    made = Settings(first)
    made.theme = "dark"
    made.set_region(3)
    made.folder = "/home/someone/Ordner mit ü, Komma"
    made.shows_detail = False
    made.set_blob("window", QByteArray(bytes(range(256))))
    made.set_number("picture-dpi", 600)
    first.sync()
    again = settings(path)
    assert again.theme == "dark"
    assert again.region == 3
    assert again.folder == "/home/someone/Ordner mit ü, Komma"
    assert not again.shows_detail
    assert bytes(again.blob("window").data()) == bytes(range(256))
    assert again.number("picture-dpi", 300, 50, 2400) == 600


@pytest.mark.parametrize(
    "text", ["", "abc", "nan", "inf", "-5", "1e400", "12,5", "true", "49", "2401"]
)
def test_a_number_out_of_bounds_is_none(path, text):
    store = QSettings(path, QSettings.Format.IniFormat)
    store.setValue("work/picture-dpi", text)
    assert Settings(store).number("picture-dpi", 300, 50, 2400) == 300


@pytest.mark.parametrize("text", ["0", "4", "Region 1", "-1", "1.0"])
def test_a_region_that_is_none(path, text):
    store = QSettings(path, QSettings.Format.IniFormat)
    store.setValue("work/region", text)
    assert Settings(store).region == 1


def test_a_list_where_a_word_should_be(path):
    store = QSettings(path, QSettings.Format.IniFormat)
    store.setValue("look/theme", ["dark", "light"])
    store.setValue("work/folder", ["/a", "/b"])
    read = Settings(store)
    assert read.theme == "system"
    assert read.folder == ""
