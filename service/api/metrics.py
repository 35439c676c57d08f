"""What a monitoring system fetches, in the text format of Prometheus."""

from fastapi import APIRouter, Response
from prometheus_client import CONTENT_TYPE_LATEST, generate_latest

from service import metrics
from service.actions.shop import jobs
from service.queries.deliveries import counts
from service.queries.jobs import job_of
from service.request_context import ContextDep
from service.store.shops import ALL, within

router = APIRouter(tags=["health"], include_in_schema=False)


@router.get("/metrics")
def read_metrics(context: ContextDep) -> Response:
    """Counts of this process since its start; the clock's lag and the deliveries of the database.

    For whoever is signed in, a token of a screen, or this very machine.
    """
    with within(ALL), context.store.reading() as session:  # the server's, whoever asks
        beat = job_of(session, jobs.BEAT)
        delivered = counts(session)
    beat_at = None if beat is None else beat.succeeded_at
    lag_s = float("nan") if beat_at is None else (context.now - beat_at).total_seconds()
    metrics.LAG.set(lag_s)
    metrics.DELIVERIES.clear()
    for channel, outcome, count in delivered:
        metrics.DELIVERIES.labels(channel, outcome).inc(count)
    return Response(generate_latest(metrics.REGISTRY), media_type=CONTENT_TYPE_LATEST)
