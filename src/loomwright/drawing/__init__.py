"""Sheets: a display list in millimetres, the signs, and the writers for SVG, PDF and DXF.

Nothing here knows electrics or a plan. `scene` has the items, `ink` colours and pens, `symbols` the
signs, `frame` the border with title block and margins, `spacing` what a test asserts of a sheet.
"""
