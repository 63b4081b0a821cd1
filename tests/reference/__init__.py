"""The rules of sql/README.md, read a second time in plain Python.

`tests.reference_rules` is the door: its docstring lists where the text left a choice.
statements < roles < set_up < state < eligibility < exposure < findings: later modules import
earlier ones, never the reverse.
Nothing here imports the package under test, and nothing here is meant to be fast.
"""
