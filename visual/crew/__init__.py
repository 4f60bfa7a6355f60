"""The numbers the crew carries: wire schedule, stake-out, level hints, as built, plumb."""
