"""Listening at a broker (MQTT): connect, subscribe, hand on; after a failure wait and try again.

paho's own client and not one that queues beneath it: it acknowledges a message once `hear` has come
back, so that what the database did not take is sent again. What tells its own time is kept for us
while we are away (QoS 1); what does not would come late and pass for a reading of now (QoS 0), and
so would what is listened to in both ways.
"""

import logging
import ssl
import threading
import time
from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from typing import Any

from paho.mqtt.client import Client, MQTTMessage, error_string, topic_matches_sub
from paho.mqtt.enums import CallbackAPIVersion, MQTTErrorCode
from paho.mqtt.reasoncodes import ReasonCode

from service import backoff, secret
from service.actions.pours.hear import Heard, hear
from service.actions.shop import broker
from service.queries.rows import find_shop
from service.queries.shops import shop_ids
from service.queries.topics import topics
from service.request_context import utc_now
from service.settings import Broker
from service.store import TROUBLE, Store, trouble
from service.store.shops import ALL, FIRST, within

log = logging.getLogger("castclock.broker")
FIRST_PAUSE, LONGEST_PAUSE = timedelta(seconds=1), timedelta(minutes=2)
KEEPALIVE_S = 30
LOOP_S = 0.25  # how soon a stop is seen
LOOK_S = 2.0  # how often it is asked which topics are listened to
NOTE_S = 60.0  # how often it is written down that the broker is there
STOP_S = 3.0


class Ears:
    """Started and stopped by the root: an ear for the first shop, and for each that listens to
    something, from when it does."""

    def __init__(
        self, address: Broker, store: Store, now: Callable[[], datetime] = utc_now
    ) -> None:
        self._address, self._store, self._now = address, store, now
        self._stopped = threading.Event()
        self._thread = threading.Thread(target=self._run, daemon=True, name="brokers")
        self._ears: dict[int, Ear] = {}

    def start(self) -> None:
        self._thread.start()

    def stop(self) -> None:
        self._stopped.set()
        self._thread.join(STOP_S)
        self._keep(set())

    def _run(self) -> None:
        while True:
            try:
                with within(ALL), self._store.reading() as session:
                    wanted = {FIRST, *(one.shop_id for one in topics(session))}
            except TROUBLE:  # it is told by the clock; who is heard goes on being heard
                wanted = set(self._ears)
            self._keep(wanted)
            if self._stopped.wait(LOOK_S):
                return

    def _keep(self, wanted: set[int]) -> None:
        gone = [self._ears.pop(one) for one in [*self._ears] if one not in wanted]
        for ear in gone:  # all at once, and then each is waited for
            ear.leave()
        for ear in gone:
            ear.stop()
        for shop_id in wanted - self._ears.keys():
            self._ears[shop_id] = Ear(self._address, self._store, self._now, shop_id)
            self._ears[shop_id].start()


class Ear:
    """One for each shop, as is its session at the broker. A further shop hears what stands beneath
    a level of its own, and the first one nothing of that."""

    def __init__(
        self,
        address: Broker,
        store: Store,
        now: Callable[[], datetime] = utc_now,
        shop_id: int = FIRST,
    ) -> None:
        self._address, self._store, self._now = address, store, now
        self._shop_id, self._level = shop_id, broker.own_level(shop_id)
        self._stopped = threading.Event()
        self._thread = threading.Thread(target=self._run, daemon=True, name="broker")
        self._patterns: dict[int, str] = {}
        self._others: tuple[str, ...] = ()
        self._failures = 0

    def start(self) -> None:
        self._thread.start()

    def leave(self) -> None:
        self._stopped.set()

    def stop(self) -> None:
        self.leave()
        self._thread.join(STOP_S)

    def _run(self) -> None:
        with within(self._shop_id):  # a thread begins in the first
            self._go_on_listening()

    def _go_on_listening(self) -> None:
        while not self._stopped.is_set():
            try:
                self._listen()
            except Exception as error:  # noqa: BLE001 - whatever it is, it is told and tried again
                self._failures += 1
                self._was_away(_why(error))
                pause = backoff.pause(FIRST_PAUSE, self._failures, LONGEST_PAUSE)
                self._stopped.wait(pause.total_seconds())

    def _listen(self) -> None:
        """Until the stop, or an error."""
        client = self._client()
        self._look()  # what was kept for us comes before anything is asked for
        client.connect(self._address.host, self._address.port, KEEPALIVE_S)
        listened: dict[str, int] = {}
        looked, noted = 0.0, 0.0
        while not self._stopped.is_set():
            code = client.loop(LOOP_S)
            if code != MQTTErrorCode.MQTT_ERR_SUCCESS:
                raise ConnectionError(error_string(code))
            clock = time.monotonic()
            if not client.is_connected() or clock - looked < LOOK_S:
                continue
            looked = clock
            self._subscribe(client, listened)
            if clock - noted >= NOTE_S or not noted:
                noted, self._failures = clock, 0
                with self._store.unit_of_work() as session:
                    broker.was_there(session, self._now())
        client.disconnect()
        client.loop(LOOP_S)

    def _client(self) -> Client:
        with self._store.reading() as session:
            shop = secret.digest(find_shop(session).feed_token)
        client = Client(
            CallbackAPIVersion.VERSION2, client_id=f"castclock-{shop[:12]}", clean_session=False
        )
        if self._address.name:
            client.username_pw_set(self._address.name, self._address.password)
        if self._address.secure:
            client.tls_set_context(ssl.create_default_context())
        client.on_connect = _on_connect
        client.on_message = self._on_message
        return client

    def _subscribe(self, client: Client, listened: dict[str, int]) -> None:
        """Listen to what is wanted now, and to nothing else."""
        wanted = self._look()
        for pattern in [one for one in listened if one not in wanted]:
            client.unsubscribe(pattern)
            del listened[pattern]
        for pattern, qos in wanted.items():
            if listened.get(pattern) != qos:
                client.subscribe(pattern, qos)
                listened[pattern] = qos

    def _look(self) -> dict[str, int]:
        """What is wanted: patterns and their quality of service."""
        with self._store.reading() as session:
            rows = topics(session)
        if self._shop_id == FIRST:
            with within(ALL), self._store.reading() as session:
                self._others = tuple(filter(None, map(broker.own_level, shop_ids(session))))
        self._patterns = {row.id: self._level + row.pattern for row in rows}
        bare = [self._patterns[row.id] for row in rows if not row.at_path]
        wanted: dict[str, int] = {}
        for pattern in self._patterns.values():
            wanted[pattern] = int(not any(_overlap(pattern, one) for one in bare))
        return wanted

    def _on_message(self, _client: Client, _data: Any, message: MQTTMessage) -> None:
        if message.topic.startswith(self._others):
            return  # heard by # or +, and another shop's
        # what a row without a time hears has QoS 0, but for what was kept for another row of before
        kept = message.retain or message.qos > 0
        heard = Heard(message.topic.removeprefix(self._level), bytes(message.payload), kept)
        for key, pattern in _fitting(self._patterns, message.topic):
            try:
                hear(self._store, self._now(), key, heard)
            except TROUBLE as error:
                if trouble(error):
                    raise  # not acknowledged: it comes again
                log.exception("%s was not taken", pattern)
            except Exception:  # one message stops no other
                log.exception("%s was not taken", pattern)

    def _was_away(self, why: str) -> None:
        log.warning("the broker at %s: %s", self._address.host, why)
        try:
            with self._store.unit_of_work() as session:
                broker.was_away(session, self._now(), why)
        except TROUBLE:
            log.exception("that the broker is away was not written down")


def _on_connect(_client: Client, _data: Any, _flags: Any, code: ReasonCode, _more: Any) -> None:
    if code.is_failure:
        raise ConnectionError(str(code))


def _fitting(patterns: Mapping[int, str], topic: str) -> list[tuple[int, str]]:
    return [one for one in patterns.items() if topic_matches_sub(one[1], topic)]


def _overlap(one: str, other: str) -> bool:
    """Whether some topic fits both patterns; # stands for its parent too."""
    a, b = one.split("/"), other.split("/")
    for left, right in zip(a, b, strict=False):
        if "#" in (left, right):
            return True
        if left != right and "+" not in (left, right):
            return False
    longer = max(a, b, key=len)
    return len(a) == len(b) or longer[min(len(a), len(b)) :] == ["#"]


def _why(error: Exception) -> str:
    """In words, without what was sent to it."""
    if isinstance(error, OSError):
        return error.strerror or str(error) or type(error).__name__
    return type(error).__name__
