"""Sheets of one plan: what is worked out, drawn as a workshop drawing. Nothing here computes electrics."""
