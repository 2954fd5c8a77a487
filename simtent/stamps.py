"""Written moments and time zones: text in, datetime out; None or InputError for what is neither."""

import difflib
import re
from contextlib import suppress
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo, available_timezones

from simtent.errors import Fault, InputError

DATED = re.compile(
    r"(?i)([0-9]{1,4})([-/.])([0-9]{1,2})\2([0-9]{1,4})"
    r"(?:(?:[T ]|, ?)([0-9]{1,2}):([0-9]{2})(?::([0-9]{2}(?:[.,][0-9]+)?))?(?: ?([ap])\.?m\.?)?)?"
    r" ?(Z|UTC|[+-][0-9]{2}:?[0-9]{2})?"
)


def zone_from_text(text: str) -> tzinfo:
    """Read a zone: a fixed offset "-07:00", an IANA name "Region/City", or "UTC"."""
    plain = text.strip().replace("\u2212", "-")
    if plain in {"UTC", "Z"}:
        return UTC
    if found := re.fullmatch(r"(?:UTC|GMT)?([+-])([0-9]{1,2}):?([0-5][0-9])?", plain):
        offset = timedelta(hours=int(found[2]), minutes=int(found[3] or 0))
        written = f"{found[1]}{found[2]:0>2}:{found[3] or '00'}"
        if plain == written and offset <= timedelta(hours=14):
            return timezone(-offset if found[1] == "-" else offset)
        near = [written] if offset <= timedelta(hours=14) else []
    else:
        with suppress(KeyError, ValueError, OSError):
            if "/" in plain:  # an abbreviation such as "CST" names several clocks
                return ZoneInfo(plain)
        names = {name.casefold(): name for name in sorted(available_timezones()) if "/" in name}
        names |= {name.rsplit("/", 1)[1].casefold(): name for name in reversed(names.values())}
        near = [names[match] for match in difflib.get_close_matches(plain.casefold(), names, 3)]
    allowed = 'an offset from UTC from "-14:00" to "+14:00", or an IANA name, "Region/City"'
    todo = "Write " + " or ".join(f'"{name}"' for name in dict.fromkeys(near)) if near else None
    if plain.upper() == "GMT":
        todo = 'Write "UTC"'
    elif re.fullmatch("[A-Za-z]{2,4}", plain):
        todo = 'Such letters name several clocks; write the offset from UTC, for example "-07:00"'
    raise InputError(Fault(f'"{text}" is not a time zone', value=text, allowed=allowed, todo=todo))


def moment_from_text(stamp: str, day_first: bool) -> datetime | None:
    """Read a time in any of the forms; None where it is none of them."""
    if stamp[4:5] == stamp[7:8] == "-" and stamp[10:11] in ("T", " "):
        with suppress(ValueError):
            return datetime.fromisoformat(stamp)
    found = DATED.fullmatch(stamp)
    if found is None:
        return None
    first, _, second, third, *clock, half, offset = found.groups()
    year, month, day = (first, second, third) if len(first) == 4 else (third, second, first)
    if len(first) < 4 and not day_first:
        month, day = day, month
    hour, minute, seconds = (float((part or "0").replace(",", ".")) for part in clock)
    if half:
        hour = hour % 12 + (12 if half in "pP" else 0) if 1 <= hour <= 12 else 99
    if len(year) != 4 or minute >= 60 or seconds >= 60 or hour + minute / 60 + seconds / 3600 > 24:
        return None
    try:
        moment = datetime(int(year), int(month), int(day))
        moment += timedelta(hours=hour, minutes=minute, seconds=seconds)
        return datetime.fromisoformat(moment.isoformat() + (offset or "").upper().replace("UTC", "Z"))
    except (ValueError, OverflowError):
        return None


def both_offsets(moment: datetime, zone: tzinfo) -> tuple[timedelta, timedelta]:
    """Offset from UTC at the first and at the second passage of the clock; different only near a change."""
    first = moment.replace(tzinfo=zone, fold=0).utcoffset() or timedelta()
    return first, moment.replace(tzinfo=zone, fold=1).utcoffset() or timedelta()
