"""Rules: plan and assessment in, findings out. A rule compares; the sums are in `assessment` and below."""
