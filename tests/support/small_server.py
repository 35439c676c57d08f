"""A server of its own process, so that it can be killed.

`python -m tests.support.small_server DATA PORT [CERTIFICATE]`: the shop is there, the sky stands
still, the clock is that of the machine."""

import sys

import uvicorn

from service.app import create_app
from service.settings import Settings
from service.store import Store
from tests.support.shop import Sky


def main(data: str, port: str, certificate: str | None = None) -> None:
    settings = Settings(data=data)
    store = Store(settings.database_url)
    app = create_app(settings, store, Sky())
    uvicorn.run(app, port=int(port), log_level="error", ssl_certfile=certificate, ws="none")


if __name__ == "__main__":
    main(*sys.argv[1:])
