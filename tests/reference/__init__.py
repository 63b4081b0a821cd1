"""Section 3 of the season folder's contract, read a second time in plain Python.

`tests.reference_rules` is the door: its docstring lists where the contract left a choice.
statements < roles < set_up < state < eligibility < exposure < findings: later modules import
earlier ones, never the reverse.
Nothing here imports the package under test, and nothing here is meant to be fast.
"""
