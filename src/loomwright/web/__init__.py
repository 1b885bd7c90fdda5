"""The page: one open plan, its drawing, its findings and its forms, for the browser of this computer.

No sums are made here. The server holds one `Work`; every page shows it, and hears of each change.
"""
