"""The order of a log to which several devices have added.

Each device's rows keep the order in which they were added, whatever its clock said; devices are
merged by time. A row's place hangs on the latest time that its device had seen, then on the
device's name.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Mapping
from operator import itemgetter
from typing import Any

BEFORE_ALL = -(2**63)
"""A time and a row number before any in a log, where both are 64 bits wide."""


def merged(
    streams: Mapping[str, Iterator[tuple[Any, ...]]], latest_ms: Mapping[str, int]
) -> Iterator[tuple[int, str, tuple[Any, ...]]]:
    """The rows of each device, the time at the end of each row, as (latest time, device, the row
    without its time). `latest_ms` is what a device had seen before them."""

    def dated(device: str, stream: Iterator[tuple[Any, ...]]) -> Iterator[tuple[int, str, Any]]:
        latest = latest_ms.get(device, BEFORE_ALL)
        for row in stream:
            latest = max(latest, row[-1])
            yield latest, device, row[:-1]

    return heapq.merge(
        *(dated(device, stream) for device, stream in streams.items()), key=itemgetter(0, 1)
    )
