"""Which weather services there are and how they are put together from the settings.

One more is one line in `SERVICES` (and its key in `chain.py`).
"""

from collections.abc import Callable
from functools import partial
from urllib.parse import urlsplit

from models.errors import InputError
from service.settings import Settings
from service.weather import chain
from service.weather.chain import Chain
from service.weather.health import Watch, Watched
from service.weather.http import Caller
from service.weather.met_norway import MetNorway
from service.weather.nws import Nws
from service.weather.open_meteo import OpenMeteo, for_customers
from service.weather.open_meteo_archive import OpenMeteoArchive
from service.weather.open_meteo_ensemble import NAME_OF_ENSEMBLE, WithEnsemble
from service.weather.provider import Provider, Warns

NO_SERVICE = "none"
# key -> the setting that holds its base address, the service made of a caller and that address
Made = dict[str, tuple[str, Callable[[Caller, str], Provider]]]
SERVICES: Made = {
    chain.NWS: ("nws_url", Nws),
    chain.OPEN_METEO: ("weather_url", OpenMeteo),
    chain.MET_NORWAY: ("met_norway_url", MetNorway),
}


def from_settings(settings: Settings) -> Chain:
    """The services the owner chose, in that order; without a choice by the place's region."""
    chosen, key = chosen_keys(settings.weather), settings.open_meteo_key
    timeout_s = settings.weather_timeout_s
    caller = Caller(contact=settings.contact, read_s=timeout_s, whole_s=max(60.0, 2 * timeout_s))
    made: Made = {**SERVICES, chain.OPEN_METEO: ("weather_url", partial(OpenMeteo, key=key))}
    beside = for_customers(settings.ensemble_url, key)
    ensemble = Watch(NAME_OF_ENSEMBLE, _host(beside)) if settings.ensemble_models else None
    watched, warners = {}, {}
    for name, (setting, make) in made.items():
        address = for_customers(getattr(settings, setting), key)
        service = make(caller, address)
        title = service.name
        if isinstance(service, Warns):
            warners[name] = Watched(service, _host(address), caller.copies, f"{title} alerts")
        if ensemble is not None:
            models = settings.ensemble_models
            service = WithEnsemble(service, models, caller, beside, watch=ensemble, key=key)
        watched[name] = Watched(service, _host(address), caller.copies)
    archive = None
    if chosen is None or chain.OPEN_METEO in chosen:
        address = for_customers(settings.archive_url, key)
        of_the_past = OpenMeteoArchive(caller, address, key)
        archive = Watched(of_the_past, _host(address), caller.copies)
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
