"""Moments and spans of a night as people read them."""

from datetime import datetime, timedelta

from simtent.scenario.night import Night


def local(night: Night, seconds: float) -> datetime:
    """A moment [s from begin] on the camp's clock, rounded to the minute."""
    begin, past = _whole_minute(night)
    return (begin + timedelta(seconds=60.0 * round((seconds + past) / 60.0))).astimezone(night.zone)


def clock(night: Night, seconds: float) -> str:
    """A moment [s from begin] on the camp's clock: "05:40"."""
    return f"{local(night, seconds):%H:%M}"


def full_hours(night: Night) -> list[float]:
    """Moments [s from begin] at which the camp's clock shows a full hour."""
    _, past = _whole_minute(night)
    minutes = (60.0 * minute - past for minute in range(int((night.seconds + past) / 60.0) + 1))
    return [moment for moment in minutes if moment >= 0.0 and local(night, moment).minute == 0]


def _whole_minute(night: Night) -> tuple[datetime, float]:
    """The whole minute in which the night begins, and how far the begin is past it [s]."""
    begin = night.begin_utc
    minute = begin.replace(second=0, microsecond=0)
    return minute, (begin - minute).total_seconds()


def duration(seconds: float) -> str:
    """A duration [s] in hours and minutes: "3 h 10 min"."""
    minutes = round(seconds / 60.0)
    if seconds > 0.0 and minutes == 0:
        return "under 1 min"
    parts = [f"{minutes // 60} h" if minutes >= 60 else "", f"{minutes % 60} min" if minutes % 60 else ""]
    return " ".join(part for part in parts if part) or "0 min"
