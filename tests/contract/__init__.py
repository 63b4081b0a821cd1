"""The generated parts of sample_season/FORMAT.md and sql/README.md.

`python -m tests.contract --write` makes them from the models and from the headers of sql/; without
`--write` it compares. A part stands between `<!-- made: NAME -->` and `<!-- end of NAME -->`.
"""
