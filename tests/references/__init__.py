"""Outside figures the code is held against, one file a source.

State of a figure: FOUND (seen on the source itself), 2nd hand (seen on a page that quotes the source) or
memory (from memory, not confirmed). Rows used only: these are check values, not copies of the tables.
"""
