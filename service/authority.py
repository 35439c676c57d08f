"""An authority of the shop's own, for https in a network that no public authority vouches for.

It vouches for addresses and names of home networks alone (RFC 5280, 4.2.1.10), so that who
trusts it trusts it with nothing of the world; its key stays in the data folder. What the server
shows is short-lived and made anew by itself."""

import logging
import ssl
from collections.abc import Callable, Collection
from dataclasses import dataclass
from datetime import datetime, timedelta
from ipaddress import IPv4Network, IPv6Network, ip_address, ip_network
from pathlib import Path
from urllib.parse import urlsplit

from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    load_pem_private_key,
)
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from models.errors import InputError
from service import secret
from service.settings import Settings

log = logging.getLogger("castclock.https")
AUTHORITY, SERVER = "castclock-authority.pem", "castclock-server.pem"  # key and certificate
LASTS = timedelta(days=3650)
LEAF_LASTS = timedelta(days=90)  # under the 825 days that phones take of such an authority
RENEWED_BEFORE = timedelta(days=30)
EARLIER = timedelta(days=1)  # clocks of phones go wrong
LOOKED_AT_EVERY = timedelta(minutes=1)
# of a home: .local (RFC 6762), home.arpa (RFC 8375), .internal (ICANN 2024), loopback (RFC 6761)
DOMAINS = ("local", "home.arpa", "internal", "localhost")
NETWORKS: tuple[IPv4Network | IPv6Network, ...] = tuple(
    ip_network(text)
    for text in (
        *("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16"),  # RFC 1918
        *("169.254.0.0/16", "127.0.0.0/8", "fc00::/7", "fe80::/10", "::1/128"),
    )
)


@dataclass(frozen=True)
class Signer:
    """A certificate and its key."""

    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey

    @property
    def pem(self) -> bytes:
        private = self.key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
        return private + self.certificate.public_bytes(Encoding.PEM)


def held(folder: str) -> x509.Certificate | None:
    """The authority of this folder; None where it has none."""
    try:
        return x509.load_pem_x509_certificate((Path(folder) / AUTHORITY).read_bytes())
    except (OSError, ValueError):
        return None


def own(folder: str, name: str, now: datetime) -> Signer:
    """The authority of this folder, made once: each phone would have to be told of another.

    name : of this machine, which the phone shows
    """
    path = Path(folder) / AUTHORITY
    if not path.exists():
        secret.write(path, _authority(name, now).pem)
    found = _read(path)
    if found is None or found.certificate.not_valid_after_utc - LEAF_LASTS <= now:
        wrong = "not to be read, or too old"
        raise InputError("authority", str(path), wrong, f"none: move {AUTHORITY} away, start anew")
    return found


def fingerprint(certificate: x509.Certificate) -> str:
    """SHA-256, as phones and terminals show it."""
    return certificate.fingerprint(SHA256()).hex(":").upper()


def vouched(hosts: Collection[str]) -> list[str]:
    """Those of the names and addresses that the authority may vouch for, each once."""
    return sorted({name for host in hosts if _is_home(name := _plain(host))})


def plain_address(settings: Settings) -> str:
    """Where a phone that does not trust it yet is told of it: the next port, by plain http."""
    host = urlsplit(settings.address).hostname or ""
    shown = f"[{host}]" if ":" in host else host
    return f"http://{shown}:{settings.port + 1}/authority"


class Keeper:
    """Certificates of the server, made anew before they end and where its address has changed."""

    def __init__(
        self,
        folder: str,
        signer: Signer,
        hosts: Callable[[], Collection[str]],
        clock: Callable[[], datetime],
    ) -> None:
        self._path, self._signer = Path(folder) / SERVER, signer
        self._hosts, self._clock = hosts, clock
        self._leaf: Signer | None = None
        self._looked_at: datetime | None = None

    def context(self) -> ssl.SSLContext:
        """Of the server: each connection is given the newest certificate."""
        newest, held = self._context(), self._leaf

        def choose(connection: ssl.SSLObject, _name: str | None, _of: ssl.SSLContext) -> None:
            nonlocal newest, held
            try:
                if self._is_due() and self.leaf() is not held:
                    newest, held = self._context(), self._leaf
            except (OSError, ValueError):  # a full disk: what is shown may still be good
                log.exception("no new certificate; another try in a minute")
            connection.context = newest

        listening = self._context()
        listening.sni_callback = choose
        return listening

    def leaf(self) -> Signer:
        """What stands in the file where it still will do, else a new one."""
        now, hosts = self._clock(), vouched(self._hosts())
        self._looked_at = now
        found = self._leaf or _read(self._path)
        if found is None or not _will_do(found.certificate, self._signer, hosts, now):
            found = _leaf(self._signer, hosts, now)
            secret.write(self._path, found.pem, anew=True)
        self._leaf = found
        return found

    def _is_due(self) -> bool:
        return self._looked_at is None or self._clock() - self._looked_at >= LOOKED_AT_EVERY

    def _context(self) -> ssl.SSLContext:
        self.leaf()
        made = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        made.load_cert_chain(self._path)
        return made


def _plain(host: str) -> str:
    """As a certificate holds it: an address short and without its scope, a name in ASCII; nothing
    where it can hold none."""
    try:
        return str(ip_address(host.partition("%")[0]))
    except ValueError:
        pass
    try:
        return host.lower() if host.isascii() else host.encode("idna").decode().lower()
    except UnicodeError:
        return ""


def _is_home(host: str) -> bool:
    try:
        address = ip_address(host)
    except ValueError:
        return any(host == one or host.endswith(f".{one}") for one in DOMAINS)
    return any(address in network for network in NETWORKS)


def _read(path: Path) -> Signer | None:
    try:
        content = path.read_bytes()
        key = load_pem_private_key(content, None)
        certificate = x509.load_pem_x509_certificate(content)
    except (OSError, ValueError):
        return None
    return Signer(certificate, key) if isinstance(key, ec.EllipticCurvePrivateKey) else None


def _will_do(leaf: x509.Certificate, signer: Signer, hosts: Collection[str], now: datetime) -> bool:
    names = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    told = {str(one.value) for one in names}
    own = leaf.issuer == signer.certificate.subject and _signed_by(leaf, signer)
    return own and set(hosts) <= told and leaf.not_valid_after_utc - RENEWED_BEFORE > now


def _signed_by(leaf: x509.Certificate, signer: Signer) -> bool:
    found = leaf.extensions.get_extension_for_class(x509.AuthorityKeyIdentifier).value
    return found.key_identifier == _key_of(signer).key_identifier


def _key_of(signer: Signer) -> x509.AuthorityKeyIdentifier:
    return x509.AuthorityKeyIdentifier.from_issuer_public_key(signer.key.public_key())


def _authority(name: str, now: datetime) -> Signer:
    key = ec.generate_private_key(ec.SECP256R1())
    permitted: list[x509.GeneralName] = [x509.DNSName(one) for one in DOMAINS]
    permitted += [x509.IPAddress(one) for one in NETWORKS]
    builder = _builder(_named(f"castclock on {name}"), _named(f"castclock on {name}"), key, now)
    builder = (
        builder.not_valid_after(now + LASTS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs=True), critical=True)
        .add_extension(x509.NameConstraints(permitted, None), critical=True)
    )
    return Signer(builder.sign(key, SHA256()), key)


def _leaf(signer: Signer, hosts: Collection[str], now: datetime) -> Signer:
    key = ec.generate_private_key(ec.SECP256R1())
    end = min(now + LEAF_LASTS, signer.certificate.not_valid_after_utc)
    builder = _builder(_named("castclock"), signer.certificate.subject, key, now)
    builder = (
        builder.not_valid_after(end)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName([_san(one) for one in hosts]), critical=False)
        .add_extension(_key_of(signer), critical=False)
    )
    return Signer(builder.sign(signer.key, SHA256()), key)


def _builder(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePrivateKey, now: datetime
) -> x509.CertificateBuilder:
    identified = x509.SubjectKeyIdentifier.from_public_key(key.public_key())
    return (
        x509.CertificateBuilder(subject_name=subject, issuer_name=issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - EARLIER)
        .add_extension(identified, critical=False)
    )


def _named(text: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, text[:64])])


def _san(host: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ip_address(host))
    except ValueError:
        return x509.DNSName(host)


def _usage(*, signs: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs,
        key_cert_sign=signs,
        crl_sign=signs,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )
