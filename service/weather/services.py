"""Which weather services there are and how they are put together from the settings.

One more is one line in `SERVICES` (and its key in `chain.py`).
"""

from collections.abc import Callable
from urllib.parse import urlsplit

from models.errors import InputError
from service.settings import Settings
from service.weather import chain
from service.weather.chain import Chain
from service.weather.health import Watch, Watched, WatchedAlerts, WatchedArchive
from service.weather.http import Caller
from service.weather.met_norway import MetNorway
from service.weather.nws import Nws
from service.weather.open_meteo import OpenMeteo
from service.weather.open_meteo_archive import OpenMeteoArchive
from service.weather.open_meteo_ensemble import NAME_OF_ENSEMBLE, WithEnsemble
from service.weather.provider import Provider, Warns

NO_SERVICE = "none"
# key -> the setting that holds its base address, the service made of a caller and that address
SERVICES: dict[str, tuple[str, Callable[[Caller, str], Provider]]] = {
    chain.NWS: ("nws_url", Nws),
    chain.OPEN_METEO: ("weather_url", OpenMeteo),
    chain.MET_NORWAY: ("met_norway_url", MetNorway),
}


def from_settings(settings: Settings) -> Chain:
    """The services the owner chose, in that order; without a choice by the place's region."""
    chosen = chosen_keys(settings.weather)
    caller = Caller(contact=settings.contact, read_s=settings.weather_timeout_s)
    ensemble = None
    if settings.ensemble_models:
        ensemble = Watch(NAME_OF_ENSEMBLE, _host(settings.ensemble_url))
    watched, warners = {}, {}
    for key, (setting, make) in SERVICES.items():
        address = getattr(settings, setting)
        service = make(caller, address)
        if isinstance(service, Warns):
            warners[key] = WatchedAlerts(service.name, service, _host(address), caller.copies)
        if settings.ensemble_models:
            models, url = settings.ensemble_models, settings.ensemble_url
            service = WithEnsemble(service, models, caller, url, watch=ensemble)
        watched[key] = Watched(service, _host(address), caller.copies)
    archive = None
    if chosen is None or chain.OPEN_METEO in chosen:
        address = settings.archive_url
        archive = WatchedArchive(OpenMeteoArchive(caller, address), _host(address), caller.copies)
    return Chain(watched, chosen, archive, warners, ensemble)


def chosen_keys(text: str) -> tuple[str, ...] | None:
    """The setting `weather`, as "open-meteo" or "none", read; None when it is empty."""
    if not text.strip():
        return None
    keys = tuple(key.strip().lower() for key in text.split(","))
    if keys == (NO_SERVICE,):
        return ()
    for k, key in enumerate(keys):
        if key not in SERVICES or key in keys[:k]:
            wrong = "not a known weather service" if key not in SERVICES else "stands twice"
            allowed = f"{NO_SERVICE}, or some of {', '.join(SERVICES)} in the order of asking"
            raise InputError("weather", key, wrong, allowed)
    return keys


def _host(address: str) -> str:
    """Host and port; a name and password before them are nobody's business."""
    return urlsplit(address).netloc.rpartition("@")[2]
