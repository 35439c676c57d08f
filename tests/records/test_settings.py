"""Settings: one tuple, read once, checked."""

from dataclasses import fields

import pytest

from models.errors import InputError
from service.settings import OPTIONS, Settings, read


def test_every_option_is_a_field_with_the_same_default() -> None:
    assert {f.name: f.default for f in fields(Settings)} == {
        name: default for name, _, default, _ in OPTIONS
    }


def test_settings_come_from_the_environment_given() -> None:
    chosen = read({"CASTCLOCK_PORT": "9000", "CASTCLOCK_REFRESH_MIN": "30", "HOME": "/nowhere"})
    assert (chosen.port, chosen.refresh_min) == (9000, 30.0)
    assert chosen.database_url == "sqlite:///castclock-data/castclock.sqlite3"
    assert chosen.address == "http://127.0.0.1:9000"


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("CASTCLOCK_PROT", "9000", "not a known setting.*CASTCLOCK_PORT"),
        ("CASTCLOCK_PORT", "nine", "CASTCLOCK_PORT = 'nine': not a whole number"),
        ("CASTCLOCK_PORT", "0", "port = 0: not a port; give 1 to 65535"),
        ("CASTCLOCK_LEASE_S", "nan", "lease_s = nan: outside the allowed range; give 10 to 3600"),
    ],
)
def test_a_mistyped_setting_names_itself_and_what_is_allowed(
    name: str, value: str, said: str
) -> None:
    with pytest.raises(InputError, match=said):
        read({name: value})
