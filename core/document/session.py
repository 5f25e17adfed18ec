"""What a session contains besides its sweeps: instruments, groups, a log, pictures, markers."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from fairlead.core.document.entry import Style

if TYPE_CHECKING:
    from fairlead.core.picture_trace.trace import PictureTrace

MediaType = Literal["image/png", "image/jpeg", "image/webp"]
GroupKind = Literal["units", "repeats"]


@dataclass(frozen=True, slots=True)
class Instrument:
    """An analyzer or meter as it was calibrated for a session; None where nothing is known.

    Attributes
    ----------
    key : int
    name, calibration : str
        In the user's own words; may be empty.
    directivity_db : float or None
        Effective directivity: how far its own false reflection is below total reflection.
    source_match_db : float or None
        Effective source match, as a return loss.
    tracking_db : float or None
        Largest error of reflection tracking, without its sign.
    """

    key: int
    name: str = ""
    calibration: str = ""
    directivity_db: float | None = None
    source_match_db: float | None = None
    tracking_db: float | None = None


@dataclass(frozen=True, slots=True)
class Group:
    """Sweeps of several units of a kind, or repeats of one measurement.

    Attributes
    ----------
    key : int
    label : str
    kind : {"units", "repeats"}
    members : tuple of int
        Keys of the sweeps. A sweep is in one group at most.
    reference_key : int or None
        The member that the others are compared with, if chosen; None: their mean.
    is_visible : bool
        Whether plots and picture show the envelope and the mean. The members have ticks of their
        own.
    style : Style
        Of the mean; the envelope has its colour.
    """

    key: int
    label: str
    kind: GroupKind = "units"
    members: tuple[int, ...] = ()
    reference_key: int | None = None
    is_visible: bool = True
    style: Style = field(default_factory=lambda: Style(0, 0, 0))


@dataclass(frozen=True, slots=True)
class LogEntry:
    """One line of the log.

    Attributes
    ----------
    key : int
    at : str
        Date and time; may be empty.
    about_key : int or None
        Key of a sweep or a group.
    power_w, path_km : float or None
        Positive.
    report, notes : str
        As given; may be empty.
    """

    key: int
    at: str = ""
    about_key: int | None = None
    power_w: float | None = None
    path_km: float | None = None
    report: str = ""
    notes: str = ""


@dataclass(frozen=True, slots=True)
class KeptPicture:
    """A complete image file, and how sweeps were traced from it; None if none were."""

    key: int
    name: str
    media_type: MediaType
    data: bytes
    trace: PictureTrace | None = None


@dataclass(frozen=True, slots=True)
class Marker:
    """A pinned frequency, at which all sweeps are read off.

    Attributes
    ----------
    key : int
    frequency_hz : float
        Positive.
    name : str
        In the user's own words; may be empty.
    """

    key: int
    frequency_hz: float
    name: str = ""


@dataclass(frozen=True, slots=True)
class Plan:
    """What a measurement shall find out, and what is known of it beforehand.

    Attributes
    ----------
    shift_hz : float or None
        The shift of the best match that must be distinguished from none. Positive.
    cover_swr : float or None
        The SWR at which it is asked whether the band is covered. Above 1.
    q : float or None
        Expected Q of the antenna. Positive.
    noise : float or None
        Of a point, as a share of full reflection. Positive.
    repeatability_hz : float or None
        By how much the best match scatters when everything is put up again (standard deviation).
        Positive.
    line_m, velocity_factor, line_loss_db : float or None
        The line between analyzer and antenna, if it is not calibrated away. Positive.
    plane, height, cable, choke, water, time : str
        What shall be kept, or noted, in the user's own words; may be empty.
    """

    shift_hz: float | None = None
    cover_swr: float | None = None
    q: float | None = None
    noise: float | None = None
    repeatability_hz: float | None = None
    line_m: float | None = None
    velocity_factor: float | None = None
    line_loss_db: float | None = None
    plane: str = ""
    height: str = ""
    cable: str = ""
    choke: str = ""
    water: str = ""
    time: str = ""
