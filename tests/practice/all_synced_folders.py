"""Devices and a service that does all that services do, at random; run by hand.

python -m tests.practice.all_synced_folders --count 500

Whatever happened: when the service is done, each device has looked twice, and who was told that a
file is in the way has moved it elsewhere, all hold the same answers and notes in the same order,
and every one that was ever given or made.
"""

from __future__ import annotations

import argparse
import random
import shutil
import tempfile
from datetime import timedelta
from pathlib import Path

from scheduler import Log
from tests.practice.devices import Device

STEPS = 16


class World:
    """Three devices, of which the last is a teacher's that keeps the folder above."""

    def __init__(self, place: Path, seed: int) -> None:
        self.drawn = random.Random(seed)
        self.cloud, self.drawer = place / "cloud", place / "drawer"
        self.drawer.mkdir()
        shared = self.cloud / "mira"
        self.devices = [
            Device(place / "tablet").keep(shared),
            Device(place / "phone", off=timedelta(days=self.drawn.randint(-900, 900))).keep(shared),
            Device(place / "desk", "teacher", "T").keep(self.cloud, takes_all=True),
        ]
        self.answered: set[str] = set()
        self.noted: set[str] = set()
        self.versions: list[tuple[Path, Path]] = []
        """Where a file lay, and a copy of what it was."""

    def run(self) -> None:
        for _ in range(STEPS):
            step = self.drawn.choice(
                [self.answer, self.answer, self.note, *[self.look] * 4, *[self.serve] * 2]
            )
            step()
        faults = []
        for _ in range(2):
            for device in self.devices:
                found = device.look()
                assert not found.trouble, found
                faults += found.faults
        if [fault for fault in faults if self.move_out_of_the_way(fault)]:
            for device in self.devices * 2:
                device.look()
        knowing = [device for device in self.devices if self.knows(device)]
        (first, noted), *others = ((device.has(), device.has_noted()) for device in knowing)
        assert set(first) == self.answered, faults
        assert set(noted) == self.noted, faults
        assert all(other == (first, noted) for other in others)
        assert not list(self.cloud.rglob(".*.part"))

    def move_out_of_the_way(self, fault: str) -> bool:
        """Do as is said of a file of which nobody knows what it holds and that stays torn."""
        if "ove it elsewhere" not in fault:
            return False
        name = fault.partition(":")[0].rpartition("/")[2]
        for path in self.cloud.rglob(name):
            path.rename(self.drawer / f"{name} {self.drawn.random()}")
        return True

    def knows(self, device: Device) -> bool:
        return device.name != "desk" or (device.home / "students" / "mira").is_dir()

    def answer(self) -> None:
        device = self.drawn.choice([each for each in self.devices if self.knows(each)])
        self.answered |= device.answer(self.drawn.randint(1, 3))
        if self.drawn.random() < 0.2:
            device.leave_out("2026-03-02")

    def note(self) -> None:
        device = self.drawn.choice([each for each in self.devices if self.knows(each)])
        self.noted |= device.note(self.drawn.randint(1, 3))

    def look(self) -> None:
        self.drawn.choice(self.devices).look()
        for path in self.files():
            copy = self.drawer / f"{len(self.versions)}"
            shutil.copy(path, copy)
            self.versions.append((path, copy))

    def files(self) -> list[Path]:
        return sorted(path for path in self.cloud.rglob("*.zip") if path.is_file())

    def serve(self) -> None:
        """What a service does to one of the files, by design or not."""
        if not (files := self.files()):
            return
        path, what = self.drawn.choice(files), self.drawn.randrange(9)
        content = path.read_bytes()
        if what == 0:
            path.unlink()
        elif what == 1:  # half of it has come
            many = self.drawn.choice([0, self.drawn.randrange(30), self.drawn.randrange(900)])
            path.write_bytes(content[:many])
        elif what == 2:  # an older one, or one that was taken away, comes back
            place, copy = self.drawn.choice(self.versions)
            shutil.copy(copy, place)
        elif what == 3:
            shutil.copy(path, path.with_stem(f"{path.stem} (conflict {self.drawn.random()})"))
        elif what == 4:  # one under the name of another
            other = self.drawn.choice(files)
            other.write_bytes(content)
        elif what == 5:
            path.touch()
        elif what == 6:  # nothing is remembered of the folder, on one device
            (self.drawn.choice(self.devices).home / "in-step.json").unlink(missing_ok=True)
        elif what == 7:  # a drive is taken out, and a device looks meanwhile
            self.cloud.rename(self.cloud.with_name("taken out"))
            for device in self.devices:
                assert "is not there" in device.look().trouble
            self.cloud.with_name("taken out").rename(self.cloud)
        else:  # a byte is another
            at = self.drawn.randrange(self.drawn.choice([4, max(1, len(content))]))
            path.write_bytes(content[:at] + bytes([self.drawn.randrange(256)]) + content[at + 1 :])


def run(seed: int) -> World:
    """One world from its beginning to its end; fails where anything was lost."""
    place = Path(tempfile.mkdtemp(prefix="kaan-in-step-"))
    try:
        world = World(place, seed)
        world.run()
        for device in world.devices:
            if world.answered and world.knows(device):
                with Log.reading(device.folder_of("mira") / "log.sqlite") as log:
                    assert log.count() == len(world.answered)
        return world
    finally:
        shutil.rmtree(place)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--count", type=int, default=100)
    parser.add_argument("--first", type=int, default=1)
    options = parser.parse_args()
    answers = 0
    for seed in range(options.first, options.first + options.count):
        try:
            answers += len(run(seed).answered)
        except BaseException:
            print(f"seed {seed}")
            raise
    print(f"{options.count} worlds, {answers} answers: all came to hold the same")


if __name__ == "__main__":
    main()
