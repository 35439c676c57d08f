"""Every message leads to its pour, and says in Apprise's own kinds how grave it is."""

from datetime import UTC, datetime
from typing import Any

import pytest

from service.notify import relay
from service.notify.channel import Notice
from service.settings import Settings

pytestmark = pytest.mark.filterwarnings("ignore:'imghdr' is deprecated:DeprecationWarning")
UNTIL = datetime(2026, 10, 16, tzinfo=UTC)


@pytest.mark.parametrize(
    ("severity", "kind"), [("news", "info"), ("warning", "warning"), ("alarm", "failure")]
)
@pytest.mark.parametrize("base", ["https://shop.example", ""])
def test_a_message_carries_link_and_kind(
    monkeypatch: pytest.MonkeyPatch, severity: str, kind: str, base: str
) -> None:
    sent: dict[str, Any] = {}

    class Taken:
        def notify(self, **values: Any) -> bool:
            sent.update(values)
            return True

    monkeypatch.setattr(relay, "_relay", lambda _: Taken())
    notice = Notice("1", "North bench", "cover it", UNTIL, "/pours/7", severity=severity)
    relay.Relay("json://example.org", (), base).send(notice)
    assert sent["notify_type"].value == kind
    assert sent["body"] == ("cover it\nhttps://shop.example/pours/7" if base else "cover it")


@pytest.mark.parametrize(
    ("values", "reachable"),
    [
        ({"public_address": "https://shop.example/"}, "https://shop.example"),
        ({"host": "192.168.1.5"}, "http://192.168.1.5:8000"),
        ({"host": "127.0.0.1"}, ""),
        ({"host": "0.0.0.0"}, ""),
        ({"host": "localhost"}, ""),
    ],
)
def test_no_message_leads_to_an_address_that_only_this_machine_knows(
    values: dict[str, Any], reachable: str
) -> None:
    assert Settings(**values).reachable == reachable
