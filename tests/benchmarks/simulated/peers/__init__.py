"""The peers of our plan, each with the settings that a search found best (`settings.toml`).

WAYS["boxes"](items, seed)              # a Way, by the name that is printed; for any budget
ways(15.0) -> dict[str, Make]           # as found for the budget nearest to 15 minutes
BEST_BY_WORLD["A", 15.0] -> (name, Make)    # of the libraries, with hindsight for that world
hindsight("A", 15.0) -> dict[str, Make]     # every peer as found best for that world alone

python -m tests.benchmarks.simulated.peers.search   # finds the settings
"""

from tests.benchmarks.simulated.peers.found import BEST_BY_WORLD, WAYS, hindsight, ways

__all__ = ["BEST_BY_WORLD", "WAYS", "hindsight", "ways"]
