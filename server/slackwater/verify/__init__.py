"""Does a certificate hold? Recomputed from the catchment alone, by other arithmetic.

Written from the methods page and nothing else: this room reads what a catchment is and shares no
code with the rooms whose numbers it checks. It is slow where they are fast, and plain where they
are not.
"""
