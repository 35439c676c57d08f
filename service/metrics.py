"""Counts that a monitoring system fetches: of this process, with no name or key of a shop."""

from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram

REGISTRY = CollectorRegistry()
REQUESTS = Counter(
    "castclock_requests",
    "Requests by method, template of the route and status",
    ("method", "route", "status"),
    registry=REGISTRY,
)
REQUEST_SECONDS = Histogram(
    "castclock_request_seconds",
    "How long requests took, by template of the route",
    ("route",),
    buckets=(0.01, 0.03, 0.1, 0.3, 1.0, 3.0, 10.0),
    registry=REGISTRY,
)
ROUNDS = Counter(
    "castclock_rounds", "Rounds of the clock, by what they do", ("round",), registry=REGISTRY
)
ROUNDS_FAILED = Counter(
    "castclock_rounds_failed", "Rounds of the clock that broke off", ("round",), registry=REGISTRY
)
ROUND_SECONDS = Counter(
    "castclock_round_seconds", "Time spent in rounds of the clock", ("round",), registry=REGISTRY
)
WORKED = Counter(
    "castclock_worked",
    "What rounds of the clock did: notices claimed, places fetched for, pours projected",
    ("round",),
    registry=REGISTRY,
)
WEATHER = Counter(
    "castclock_weather_calls",
    "Refreshes of weather services, by service and outcome",
    ("service", "outcome"),
    registry=REGISTRY,
)
LAG = Gauge(
    "castclock_clock_lag_seconds",
    "Since the clock last went round, in whichever process; NaN when it never did",
    registry=REGISTRY,
)
DELIVERIES = Gauge(
    "castclock_deliveries",
    "Deliveries of notices that are kept, by kind of channel and outcome",
    ("channel", "outcome"),
    registry=REGISTRY,
)
