"""A process that is killed before each change to the disk in turn."""

import os
from contextlib import suppress
from itertools import count

CHANGES = ("replace", "rename", "fsync", "unlink", "mkdir", "rmdir")


def killed_at_each_step(work, check):
    """Let a child of this process do `work`, killed before the first change to the disk, then
    before the second and so on, until it comes to its end; `check` what it has left each time.
    Returns how often it was killed."""
    for step in count():
        child = os.fork()
        if child == 0:
            with suppress(BaseException):
                _die_before(step)
                work()
                os._exit(0)
            os._exit(2)
        code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        assert code in (0, 9), f"it failed at step {step}"
        check()
        if code == 0:
            return step


def _die_before(step):
    left = count(step, -1)

    def deadly(real):
        def do(*values, **more):
            if next(left) == 0:
                os._exit(9)
            return real(*values, **more)

        return do

    for name in CHANGES:
        setattr(os, name, deadly(getattr(os, name)))
