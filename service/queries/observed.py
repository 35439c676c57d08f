"""Pours of which something was seen or broken that says whether what was told was right."""

from collections.abc import Sequence

from sqlmodel import Session, col, or_, select

from models.records import Pour, Reading, StepDone, StrengthTest


def seen_ids(session: Session, kinds: Sequence[str], but: Sequence[str], most: int) -> list[int]:
    """Keys of pours with a reading of one of these kinds or a strength test, the newest first.

    but : whys of closing, of pours that are no evidence
    """
    seen = select(Reading.pour_id).where(col(Reading.kind).in_(kinds))
    tested = select(StrengthTest.pour_id)
    wanted = (
        select(Pour.id)
        .where(
            or_(col(Pour.id).in_(seen), col(Pour.id).in_(tested)), col(Pour.closed_why).not_in(but)
        )
        .order_by(col(Pour.placed_at).desc(), col(Pour.id).desc())
        .limit(most)
    )
    return list(session.exec(wanted))


def outcomes(session: Session, but: Sequence[str], most: int) -> Sequence[tuple[Pour, StepDone]]:
    """Each strip of which somebody told how the piece came out, the newest first."""
    wanted = (
        select(Pour, StepDone)
        .join(StepDone, col(StepDone.pour_id) == Pour.id)
        .where(
            StepDone.step == "strip",
            col(StepDone.undone_at).is_(None),
            col(StepDone.came_out).is_not(None),
            col(Pour.closed_why).not_in(but),
        )
        .order_by(col(StepDone.at).desc(), col(StepDone.id).desc())
        .limit(most)
    )
    return session.exec(wanted).all()


def timed(session: Session, steps: Sequence[str], most: int) -> list[tuple[Pour, StepDone]]:
    """Steps whose minutes somebody told, the newest first."""
    wanted = (
        select(Pour, StepDone)
        .join(StepDone, col(StepDone.pour_id) == Pour.id)
        .where(
            col(StepDone.step).in_(steps),
            col(StepDone.undone_at).is_(None),
            col(StepDone.took_min).is_not(None),
        )
        .order_by(col(StepDone.at).desc(), col(StepDone.id).desc())
        .limit(most)
    )
    return list(session.exec(wanted).all())
