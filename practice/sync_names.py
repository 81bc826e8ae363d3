"""What a device calls its file of a student in the folder kept in step."""

from __future__ import annotations

import hashlib

from practice.sync_files import ENDING
from quizzes.ids import names_file, slug

_LONGEST_STEM = 40


def own_name(student: str, device: str) -> str:
    """What a device calls its file of a student: one name on every system."""
    return f"{_stem(student)}.{_stem(device)}{ENDING}"


def _stem(identity: str) -> str:
    if names_file(identity) and len(identity) <= _LONGEST_STEM:
        return identity
    # Two that differ only in capitals are one name on some systems; no id of ours holds a "_".
    told = hashlib.blake2b(identity.encode("utf-8", "surrogatepass"), digest_size=8).hexdigest()
    return f"{slug(identity, 20) or 'id'}_{told}"
