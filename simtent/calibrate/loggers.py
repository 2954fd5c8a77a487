"""Whether nights were read by the same device, as far as their files tell."""

from collections.abc import Iterator, Sequence

from simtent.calibrate.nights import Night


def one_logger(nights: Sequence[Night]) -> Iterator[str]:
    """A sentence where loggers without a name are taken as one though their files have other columns."""
    columns: dict[str, set[tuple[str, ...]]] = {}
    for night in nights:
        for log in night.logged.log:
            for header, place in log.sensors.items():
                if log.logger is None and any(one.place == place for one in night.readings):
                    columns.setdefault(place, set()).add((header, *log.time))
    differ = [place for place, found in columns.items() if len(found) > 1]
    if differ:
        yield (
            f"the same sensor hung at {', '.join(differ)} every night, as far as is known, though columns of the files "
            "differ; name loggers by `logger` if not"
        )
