"""What finished jobs teach the next quote: norms, the spread of a cost, jobs that are alike.

Norms are proposed, never changed: a person accepts them, and what was quoted stays as it was.

Not here: a database, a file; the manager's reports (`estimator.review`).
"""
