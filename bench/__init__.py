"""How fast it is: one module per subject, all printed by `run`."""
