"""Two wings that share a roof and never meet here.

The science wing (projection, steps, concrete, coating, piece, air, facts, units, sources)
holds formulas: pure, vectorised, SI inside, time as an argument. It never imports a table.

The records wing (records) holds tables: what was done and what we told. It never computes.

Both stand on errors. They meet in one place above, service/actions/windows/scenario_rows.py.
"""
