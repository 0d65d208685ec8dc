"""The record of finished hoods: what was planned, and what came of it."""
