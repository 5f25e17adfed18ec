"""What is remembered is read back, and what is broken counts as nothing."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QByteArray, QLocale, QSettings

from fairlead.app.files.settings import Settings

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
    assert new.shows_uncertainty
    assert new.blob("window").isEmpty()
    assert new.recent == []


@pytest.mark.parametrize(("locale", "paper"), [("de_DE", "a4"), ("en_US", "letter"), ("C", "a4")])
def test_the_page_is_that_of_the_territory_until_one_is_chosen(path, locale, paper):
    """Paper sizes of territories: Unicode CLDR (from memory)."""
    before = QLocale()
    QLocale.setDefault(QLocale(locale))
    try:
        made = settings(path)
        assert made.paper == paper
        made.paper = "letter"
        assert made.paper == "letter"
        made.paper = "a4"
        assert made.paper == "a4"
    finally:
        QLocale.setDefault(before)


def test_everything_is_read_back_from_the_file(path):
    first = QSettings(path, QSettings.Format.IniFormat)
    made = Settings(first)
    made.theme = "dark"
    made.set_region(3)
    made.folder = "/home/someone/Ordner mit ü, Komma"
    made.shows_detail = False
    made.shows_uncertainty = False
    made.set_blob("window", QByteArray(bytes(range(256))))
    for name in ("one", "two", "one", "drei\udcff"):
        made.add_recent(f"/home/someone/{name}.fairlead")
    first.sync()
    again = settings(path)
    assert again.theme == "dark"
    assert again.region == 3
    assert again.folder == "/home/someone/Ordner mit ü, Komma"
    assert not again.shows_detail
    assert not again.shows_uncertainty
    assert bytes(again.blob("window").data()) == bytes(range(256))
    assert [path.removeprefix("/home/someone/") for path in again.recent] == [
        "drei\udcff.fairlead",
        "one.fairlead",
        "two.fairlead",
    ]


@pytest.mark.parametrize(
    "text", ["abc", "{}", "[1, null, []]", "[", "[" * 100_000, '["a\\u0000b"]', "1e400", '[""]']
)
def test_a_broken_list_of_benches_is_empty(path, text):
    store = QSettings(path, QSettings.Format.IniFormat)
    store.setValue("work/recent", text)
    assert Settings(store).recent == []


def test_the_list_of_benches_is_short(path):
    made = settings(path)
    for number in range(30):
        made.add_recent(f"/{number}")
    assert made.recent == [f"/{number}" for number in range(29, 19, -1)]
    made.recent = []
    assert made.recent == []


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
