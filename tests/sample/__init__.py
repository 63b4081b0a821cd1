"""Writes sample_season/: an invented league, a season run well, and what went wrong in it.

`rosters` and `people` hold who there is, `schedule` the games, `saturday` one clean game as
statements, `plays` who was on the field for which snap, `september`, `october` and `office` what
departs from the clean games, `season` the whole, and `folder` the files.
"""
