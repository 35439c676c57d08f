"""The mould: what presses its walls, whether they hold, and what holds them."""
