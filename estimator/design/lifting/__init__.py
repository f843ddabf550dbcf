"""What people may lift by the published guides: the filter, teams, and the NIOSH equation.

Pure: frozen values in, frozen values out. A guide figure is no limit in law; a lift above it is
assessed, and shared out or done with an aid.
"""
