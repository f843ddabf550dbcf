"""Reads the free-text notes of a survey: shorthand in, claims with words and place out.

`tokens` cuts the text; `vocabulary` knows the trade's short forms; `grammar.lark` says how they
stand together and `parsing` finds the longest statement at each word; `meaning` turns a statement
into what it says; `planes` gives what is said of a roof to its planes; `asking` says what to ask
back; `reader` puts it together; `survey_text` writes a survey file. Nothing here guesses: what can
be read in two ways is asked, and every word is either used or listed.
"""
