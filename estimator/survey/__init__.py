"""The facts of a house as surveyed: typed, with evidence, never guessed.

`fact` says what a fact is; `model` groups the facts by part of the house; `toml` reads a survey
file; `agreement` finds facts that contradict each other; `template` writes a blank survey. Nothing
here computes: a missing fact is unknown, never zero and never "no".
"""
