"""How often the measurement doctor is right: `python3 -m tests.benchmarks.doctor`."""
