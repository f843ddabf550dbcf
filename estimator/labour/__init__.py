"""Tasks from norms: person-hours with their spread, elapsed hours, days and trips."""
