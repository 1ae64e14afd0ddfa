"""The plan, always in sight: lifts, perches and mounts, each with what it comes to."""
