"""Loomwright: plan, size, check and draw the electrics of a camper van."""
