"""Students made up for the purpose, in worlds of published models of learning and forgetting."""
