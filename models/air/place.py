"""Where the piece stands, and what that makes of the weather outside."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time
from zoneinfo import ZoneInfo

import numpy as np

from models._jit import kernel
from models.air import hollow, psychrometrics, sky, sun
from models.air.members import AirMembers
from models.air.series import HOUR
from models.draws import Draws
from models.errors import InputError
from models.facts import rooms
from models.facts.air import KNOWN_SITE_SD_K, SKY_EMISSIVITY_SD, UNTOLD_LATITUDE
from models.facts.forecast import SITE_SD_K
from models.facts.materials import ABSORPTANCE, EMISSIVITY
from models.facts.measures import MEASURED_H, MEASURES
from models.facts.protection import HEATERS, OPEN_AS_WRONG, WRONG_EXPOSURE
from models.rng import ROOT
from models.units import Array, Mask, one_of, optional_within, untold

ROOMS = ("unheated room", "heated room")
KINDS = ("open yard", "covered", *ROOMS)
OFFSETS_K = (-10.0, 20.0)


@dataclass(frozen=True)
class ResolvedSite:
    """By how much the air of a place lags the weather [h] and is warmer [K], with the spreads.

    lag_spread : of the logarithm; assumed : what of it nobody told
    """

    lag_h: float
    lag_spread: float
    offset_K: float
    offset_sd_K: float
    assumed: tuple[str, ...] = ()


@dataclass(frozen=True)
class Site:
    """A place where pieces stand; None is not told: a default with its spread is used.

    heated_hours : begin and end of the heating each day on the wall clock; None: day and night
    heater : what heats it, a key of HEATERS
    hollow : whether it is colder than around on clear nights, a key of HOLLOW_K
    looks : where a standing face looks from it, a key of sun.LOOKS_DEG
    """

    kind: str
    latitude: float | None = None
    longitude: float | None = None
    timezone: str = "UTC"
    lag_h: float | None = None
    offset_K: float | None = None
    setpoint_C: float | None = None
    lag_spread: float | None = None  # of the logarithm; None: as surely as a maker tells
    offset_sd_K: float | None = None
    heated_hours: tuple[time, time] | None = None
    heater: str | None = None
    hollow: str | None = None
    looks: str | None = None

    def __post_init__(self) -> None:
        one_of("kind", self.kind, KINDS)
        if self.hollow is not None:
            one_of("hollow", self.hollow, hollow.HOLLOWS)
        if self.looks is not None:
            one_of("looks", self.looks, sun.LOOKS_DEG)
        limits = (
            ("latitude", -90.0, 90.0, "degrees"),
            ("longitude", -180.0, 180.0, "degrees"),
            ("lag_h", 0.1, 72.0, "h"),
            ("offset_K", *OFFSETS_K, "K"),
            ("setpoint_C", 0.0, 40.0, "degC"),
            ("lag_spread", 0.0, 2.0, ""),
            ("offset_sd_K", 0.0, 10.0, "K"),
        )
        optional_within(self, limits)
        if self.kind == "heated room" and self.setpoint_C is None:
            allowed = "0 to 40 degC"
            raise InputError("setpoint_C", None, "a heated room needs its temperature", allowed)
        for name, value in (("heated_hours", self.heated_hours), ("heater", self.heater)):
            if value is not None and self.kind != "heated room":
                shown = (
                    value if isinstance(value, str) else " to ".join(f"{at:%H:%M}" for at in value)
                )
                wrong = f"a place of kind {self.kind} is not heated"
                raise InputError(name, shown, wrong, "only for a heated room")
        if self.heater is not None:
            one_of("heater", self.heater, HEATERS)
        if self.heated_hours is not None and self.heated_hours[0] == self.heated_hours[1]:
            shown = " to ".join(f"{at:%H:%M}" for at in self.heated_hours)
            raise InputError(
                "heated_hours",
                shown,
                "no hours at all",
                "two times that differ, or leave it out: day and night",
            )

    @property
    def is_room(self) -> bool:
        """Whether walls stand about it, heated or not."""
        return self.kind in ROOMS

    @property
    def own_sd_K(self) -> float:
        """By how much the weather about it may differ from that of its forecast [K].

        Source: OWN_JUDGEMENT (half of that variance is whether cold air gathers there).
        """
        return SITE_SD_K if self.hollow is None else KNOWN_SITE_SD_K

    def resolved(self) -> ResolvedSite:
        """The one place that fills what nobody told of a room.

        Outdoors the air does not lag, and only an offset learned with its spread moves it.
        Source: OWN_JUDGEMENT.
        """
        sd_K = self.offset_sd_K
        if not self.is_room:
            return ResolvedSite(
                lag_h=0.0,
                lag_spread=0.0,
                offset_K=0.0 if self.offset_K is None or sd_K is None else self.offset_K,
                offset_sd_K=self.own_sd_K if sd_K is None else sd_K,
            )
        lag_h, lag_spread = rooms.ROOM_LAG_H, rooms.ROOM_LAG_SPREAD
        if self.lag_h is not None:
            lag_h, lag_spread = self.lag_h, rooms.GIVEN_LAG_SPREAD
        offset_K, usual_sd_K = rooms.ROOM_OFFSET_K, rooms.ROOM_OFFSET_SD_K
        if self.offset_K is not None:
            offset_K, usual_sd_K = self.offset_K, rooms.GIVEN_OFFSET_SD_K
        return ResolvedSite(
            lag_h=lag_h,
            lag_spread=lag_spread if self.lag_spread is None else self.lag_spread,
            offset_K=offset_K,
            offset_sd_K=usual_sd_K if sd_K is None else sd_K,
            assumed=untold(self, "lag_h", "offset_K"),
        )


DRAWN_FOR_THE_SKY = "setpoint"  # a column that is asked for nothing else outdoors


@dataclass(frozen=True)
class Heated:
    """What a heated room would be without its heat (hours, members) [degC], and its lag [h]."""

    unheated_C: Array
    lag_h: Array


@dataclass(frozen=True)
class AtPiece:
    """The air at the piece, (hours, members): temperatures [degC], wind [m/s], rain [mm/h],
    sun on the face that gets least and on the one that gets most, means of the hour that begins
    there, and what a face at air temperature loses to the sky [W/m2]; heated: in a heated room;
    site_K (members,) [K] the site's own error in air_C, none where a reading or a heater tells."""

    start: datetime
    air_C: Array
    dew_point_C: Array
    wind_m_s: Array
    rain_mm: Array
    sun_W_m2: Array
    sunniest_W_m2: Array
    sky_loss_W_m2: Array
    error_sd_K: Array
    heated: Heated | None = None
    site_K: Array | None = None


@kernel
def _room(driven: Array, lag_h: Array, first: Array, heated: Mask, setpoint_C: Array) -> Array:
    """First-order lag, exact hourly step; driven (hours, members), lag_h, first (members,).

    Where heated (hours,) the room nears setpoint_C (members,) from below.
    """
    out = np.empty_like(driven)
    near = 1 - np.exp(-1.0 / rooms.WARM_UP_H)
    for m in range(driven.shape[1]):
        keep = np.exp(-1.0 / lag_h[m])
        level = first[m]
        for h in range(driven.shape[0]):
            if h > 0:
                level = keep * level + (1 - keep) * 0.5 * (driven[h - 1, m] + driven[h, m])
            if heated[h] and level < setpoint_C[m]:
                level += near * (setpoint_C[m] - level)
            out[h, m] = level
    return out


def room_temperature(outdoor_C: Array, lag_h: Array, offset_K: Array) -> Array:
    """Temperature of an unheated room [degC], (hours, members).

    dT/dt = (T_out + offset - T) / lag, exact over hourly steps of linear outdoor air.

    outdoor_C : (hours, members) [degC]; lag_h, offset_K : (members,) [h], [K]
    The room starts at the mean of the first day outdoors.

    Source: first-order response (textbook); lags OWN_JUDGEMENT.
    """
    driven = outdoor_C + offset_K
    unheated, nothing = np.zeros(len(driven), dtype=bool), np.zeros(driven.shape[1])
    lag = np.asarray(lag_h, dtype=np.float64)
    return _room(driven, lag, driven[:24].mean(axis=0), unheated, nothing)


def _heating(site: Site, start: datetime, hours: int) -> Mask:
    """Whether the heating was on in the hour before each row, (hours,)."""
    assert site.heated_hours is not None
    zone, (begin, end) = ZoneInfo(site.timezone), site.heated_hours
    clocks = [(start + (k - 0.5) * HOUR).astimezone(zone).time() for k in range(hours)]
    on = [begin <= at < end if begin < end else at >= begin or at < end for at in clocks]
    return np.array(on)


def at_piece(site: Site, outdoor: AirMembers, seed: int = ROOT, faces: str = sun.LYING) -> AtPiece:
    """What the site makes of the outdoor members; dew point is kept, so humidity follows.

    site : kind and what is known of it; outdoor : members of the air; seed : of lag and offset
    faces : how the piece stands, one of sun.FACES

    A few members of a yard or under a roof have some of the other's wind, sun and sky: walls and
    trees about it are not told, nor is a side that is open to the low sun.

    Source: first-order room, FAO_56 and OWN_JUDGEMENT for wind, HAURWITZ_1945 and
    KASTEN_CZEPLAK_1980 for sun, ASHRAE_NIGHT_SKY for the sky.
    """
    draws = Draws(outdoor.air_C.shape[1], seed)
    if site.hollow is not None:
        outdoor = _in_hollow(site, outdoor, draws)
    at = site.resolved()
    openness = _openness(site.kind, draws)
    fraction = rooms.ROOF_WIND + openness * (rooms.YARD_WIND - rooms.ROOF_WIND)
    wind = outdoor.wind_m_s * (0.0 if site.is_room else fraction)
    if at.offset_K and not site.is_room:
        moved = outdoor.air_C + at.offset_K  # its doubt is in the members already
        dew = np.minimum(outdoor.dew_point_C, moved)
        outdoor = replace(outdoor, air_C=moved, dew_point_C=dew)
    nothing = np.zeros_like(outdoor.air_C)
    sheltered = AtPiece(
        outdoor.start,
        outdoor.air_C,
        outdoor.dew_point_C,
        wind,
        nothing,
        nothing,
        nothing,
        nothing,
        outdoor.error_sd_K,
        site_K=outdoor.site_K,
    )
    if not site.is_room:
        level_W_m2, sky_loss = _under_the_sky(site, outdoor, openness, draws)
        at_place = site.latitude, site.longitude
        least, most = sun.on_faces(level_W_m2, outdoor.start, at_place, faces, site.looks)
        return replace(
            sheltered,
            rain_mm=outdoor.rain_mm if site.kind == "open yard" else nothing,  # a roof is seen
            sun_W_m2=least,
            sunniest_W_m2=most,
            sky_loss_W_m2=sun.SKY_VIEW[faces] * sky_loss,
        )
    lag = at.lag_h * np.exp(at.lag_spread * draws.normal("lag"))
    lag = np.clip(lag, 0.3, 100.0)
    offset = at.offset_K + at.offset_sd_K * draws.normal("offset")
    room = room_temperature(outdoor.air_C, lag, offset)
    heat: Heated | None = None
    if site.kind == "heated room":
        assert site.setpoint_C is not None
        failing = draws.even("failure") < rooms.HEATER_FAILS
        setpoint_C = site.setpoint_C + rooms.SETPOINT_SD_K * draws.normal("setpoint")
        heated = setpoint_C
        if site.heated_hours is not None:
            on = _heating(site, outdoor.start, len(room))
            driven = outdoor.air_C + offset
            heated = _room(driven, lag, driven[:24].mean(axis=0), on, setpoint_C)
        heat = Heated(room, lag)
        room = np.where(failing, room, heated)
    still = np.full_like(wind, rooms.INDOOR_DRAUGHT_M_S)
    damper = _with_vapour(outdoor, draws)
    dampest = psychrometrics.dew_point(room, rooms.DAMPEST_RH)
    return replace(
        sheltered,
        air_C=room,
        dew_point_C=np.clip(damper, outdoor.dew_point_C, dampest),
        wind_m_s=still,
        heated=heat,
        site_K=None if heat else outdoor.site_K,
    )


def _with_vapour(outdoor: AirMembers, draws: Draws) -> Array:
    """Dew point of a room's air [degC], (hours, members), with what is given off in it and not yet
    aired away.

    Source: facts.rooms.
    """
    cold = np.clip(1 - outdoor.air_C / rooms.VAPOUR_WARM_C, rooms.VAPOUR_WARM, 1.0)
    own_hPa = rooms.VAPOUR_HPA * np.exp(rooms.VAPOUR_SPREAD * draws.normal("dew"))
    outside_hPa = psychrometrics.saturation_pressure(outdoor.dew_point_C)
    return psychrometrics.dew_point_of(outside_hPa + own_hPa * cold)


def dried(local: AtPiece) -> AtPiece:
    """The air at the piece with a dehumidifier in its room, which takes nothing from cold air.

    Source: OWN_JUDGEMENT (facts.rooms).
    """
    dry = psychrometrics.dew_point(local.air_C, rooms.DRIED_RH)
    dry = np.where(local.air_C >= rooms.DRIES_FROM_C, dry, local.dew_point_C)
    return replace(local, dew_point_C=np.minimum(local.dew_point_C, dry))


def _openness(kind: str, draws: Draws) -> Array:
    """How open the place of each member is, (members,), of a clear yard 1, of a closed roof 0."""
    told = float(kind == "open yard")
    wrong = draws.even("exposure") < WRONG_EXPOSURE
    return np.where(wrong, OPEN_AS_WRONG.get(kind, told), told)


def _under_the_sky(
    site: Site, outdoor: AirMembers, openness: Array, draws: Draws
) -> tuple[Array, Array]:
    """Sun, and what is lost to the sky [W/m2], (hours, members); openness (members,) 0 to 1."""
    level, lost = np.zeros_like(outdoor.air_C), np.zeros_like(outdoor.air_C)
    which = openness > 0
    if which.any():
        columns = ("air_C", "dew_point_C", "cloud_fraction", "shortwave_W_m2")
        some = replace(outdoor, **{name: getattr(outdoor, name)[:, which] for name in columns})
        moist = some.air_C, some.dew_point_C, some.cloud_fraction
        level[:, which] = openness[which] * sun.sun_of(site.latitude, site.longitude, some)
        apart = SKY_EMISSIVITY_SD * draws.normal(DRAWN_FOR_THE_SKY)[which]
        lost[:, which] = openness[which] * sky.net_sky_loss(*moist, EMISSIVITY, apart)
    return level, lost


def _in_hollow(site: Site, outdoor: AirMembers, draws: Draws) -> AirMembers:
    """The weather about a place of which its maker has told whether it is a hollow."""
    assert site.hollow is not None
    north, east = site.latitude, site.longitude
    if north is None or east is None:
        north, east = UNTOLD_LATITUDE, hollow.zone_longitude(site.timezone, outdoor.start)
    dark = hollow.night(outdoor.start, len(outdoor.air_C), north, east)
    colder_K = hollow.colder_K(site.hollow, dark, outdoor.cloud_fraction, outdoor.wind_m_s, draws)
    own_K = outdoor.site_K * (site.own_sd_K / SITE_SD_K)
    air_C = outdoor.air_C - outdoor.site_K + own_K - colder_K
    dew_point_C = np.minimum(outdoor.dew_point_C, air_C)
    return replace(outdoor, air_C=air_C, dew_point_C=dew_point_C, site_K=own_K)


def measured(local: AtPiece, measures: Sequence[str], row: int) -> AtPiece:
    """The air at the piece with shade, wind break or fog over the first hours of a pour.

    measures : names of facts.measures; row : the hour of the pour in the air's rows

    Source: ACI_305R for the measures, COMMON_PRACTICE for what each does.
    """
    if not measures:
        return local
    suns = [local.sun_W_m2.copy(), local.sunniest_W_m2.copy()]
    wind, dew = local.wind_m_s.copy(), local.dew_point_C.copy()
    hours = slice(row, row + MEASURED_H + 1)
    for name in measures:
        measure = MEASURES[name]
        for one in suns:
            one[hours] *= measure.sun
        wind[hours] *= measure.wind
        if measure.rh_least > 0:
            damp = psychrometrics.dew_point(local.air_C[hours], measure.rh_least)
            dew[hours] = np.maximum(dew[hours], damp)
    least, most = suns
    return replace(local, sun_W_m2=least, sunniest_W_m2=most, wind_m_s=wind, dew_point_C=dew)


def relative_humidity(air: AtPiece) -> Array:
    """Relative humidity at the piece, dimensionless 0 to 1, (hours, members). Source: WMO_8."""
    return psychrometrics.rh_fraction(air.air_C, air.dew_point_C)


def sol_air(air: AtPiece, film_W_m2K: Array, colour: str = "grey") -> Array:
    """Air temperature with sun and sky in it for a horizontal face [degC], (hours, members).

    T + (absorptance x sun - sky loss) / film, at the hour itself: the sun of an hour lies about its
    middle, so that the mean of the hours before and after stands there.

    film_W_m2K : (hours, members) [W/m2K]; colour : of the face, a key of ABSORPTANCE

    Source: ASHRAE_NIGHT_SKY (sol-air form).
    """
    taken_in = ABSORPTANCE[colour] * sun.at_the_hour(air.sun_W_m2)
    return air.air_C + (taken_in - air.sky_loss_W_m2) / film_W_m2K
