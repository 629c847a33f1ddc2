"""What happens to a build when things go wrong: small counts are tests, the full counts are `python -m faults.counts`."""
