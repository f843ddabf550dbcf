"""What the files of a new firm's folder say. Every example in them is switched off by a #."""

from __future__ import annotations

README = """\
This folder holds what is the firm's own. The program finds it by firm.toml, from here or from
any folder below.

  firm.toml      rates, margins, sign-off, validity. Replace every figure marked REPLACE first:
                 until then all prices rest on invented figures.
  rules/         the firm's own assembly rules; a rule with the id of a standard one replaces it.
  norms/         the firm's own labour norms; a norm with the id of a standard one replaces it.
  practice/      the firm's own limits and factors, each with source and date.
  jobs/          one folder for each job, with its survey.toml in it.
  estimator.db   catalogue, prices, jobs and their revisions; made when it is first needed.

A first quote:
  1. Copy jobs/blank-survey.toml to jobs/NAME/survey.toml and fill in what is known.
  2. Run: estimator quote jobs/NAME/survey.toml

An estimate is not a design. Local codes, makers' manuals and licensed practice decide.
"""

RULES_EXAMPLE = """\
# The firm's own rules. Any file here that ends in .toml is read; this one is switched off: take
# away the # before each line to try it, then run: estimator rules check --rules rules
#
# A rule says: if `when` holds, the job needs `quantity` of the item, because ...
#   id        a name of your own, or the id of a standard rule that it is to replace
#   for       the part of the job: job, storage, panels, converter or backup
#   item      family and role of the item in the catalogue
# The names in a formula are facts: estimator facts lists them all. While a fact is unknown the
# rule adds nothing and asks for it.

#[[rule]]
#id = "our-dust-sheets"
#for = "storage"
#when = "converter.wall_crossings > 0"
#item = { family = "consumable", role = "dust sheet" }
#quantity = "2 * converter.wall_crossings"
#because = "we sheet both sides of every wall that is cored"
"""

NORMS_EXAMPLE = """\
# The firm's own labour norms: person-minutes for one unit of a task, low, likely and high, from
# the firm's own records. This example is switched off and its figures are invented. The id is
# that of the standard norm which it replaces.

#[[norm]]
#id = "load-van"
#name = "load and check the van"
#per = "day"
#low = 15
#likely = 25
#high = 40
#crew = 1
#group = "travel"
#on_site = false
#each_trip = true
#source = "our own records, 40 jobs"
#from = 2026-01-01
"""

PRACTICE_EXAMPLE = """\
# The firm's own limits and factors. Each has a source, a standing (published, common practice or
# from memory), the day it holds from, and who decides. This example is switched off; its name is
# that of the standard value which it replaces from that day on.
# These are check values: local codes, the maker's manual and licensed practice come first.

#[[value]]
#name = "edge_zone_m"
#value = "0.5"
#unit = "m"
#meaning = "clear zone to eaves, verge, ridge, hip and valley"
#source = "manual of the mounting system that we fit"
#standing = "published"
#from = 2026-07-01
#decides = "mounting maker, or structural engineer for less"
"""
