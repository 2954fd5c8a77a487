"""Moments and spans of a night as people read them."""

from datetime import datetime, timedelta

from simtent.scenario.night import Night


def local(night: Night, seconds: float) -> datetime:
    """A moment [s from begin] on the camp's clock, rounded to the minute."""
    begin = night.begin_utc
    return (begin + timedelta(seconds=60.0 * round(seconds / 60.0))).astimezone(night.zone)


def clock(night: Night, seconds: float) -> str:
    """A moment [s from begin] on the camp's clock: "05:40"."""
    return f"{local(night, seconds):%H:%M}"


def full_hours(night: Night) -> list[float]:
    """Moments [s from begin] at which the camp's clock shows a full hour."""
    minutes = (60.0 * minute for minute in range(int(night.seconds / 60.0) + 1))
    return [moment for moment in minutes if local(night, moment).minute == 0]


def duration(seconds: float) -> str:
    """A duration [s] in hours and minutes: "3 h 10 min"."""
    minutes = round(seconds / 60.0)
    if seconds > 0.0 and minutes == 0:
        return "under 1 min"
    parts = [f"{minutes // 60} h" if minutes >= 60 else "", f"{minutes % 60} min" if minutes % 60 else ""]
    return " ".join(part for part in parts if part) or "0 min"
