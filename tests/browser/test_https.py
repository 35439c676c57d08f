"""A browser that trusts the shop's own server takes its page as secure, and no other does."""

from base64 import b64encode
from hashlib import sha256
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from fastapi import FastAPI
from playwright.sync_api import Browser, Error

from tests.browser.conftest import CHROMIUM, FLAGS
from tests.cli.test_https import of, served

pytestmark = pytest.mark.browser
WORKS = """async () => {
  await navigator.serviceWorker.register("/worker.js");
  const { active } = await navigator.serviceWorker.ready;
  return [isSecureContext, Boolean(active), "PushManager" in window];
}"""


def test_a_browser_that_trusts_it_opens_a_secure_page(
    tmp_path: Path, app: FastAPI, chromium: Browser
) -> None:
    kept = of(tmp_path)
    # by what the authority has signed: tests/cli looks that a client takes that for its sake
    leaf = kept.leaf().certificate
    pin = leaf.public_key().public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
    trusts = b64encode(sha256(pin).digest()).decode()
    with served(app, kept) as site:
        stranger = chromium.new_page()
        with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
            stranger.goto(site)
        stranger.close()
        trusting = chromium.browser_type.launch_persistent_context(
            str(tmp_path / "browser"),
            executable_path=CHROMIUM,
            args=[*FLAGS, f"--ignore-certificate-errors-spki-list={trusts}"],
        )
        page = trusting.new_page()
        page.goto(f"{site}/help")
        assert page.evaluate(WORKS) == [True, True, True]
        trusting.close()
