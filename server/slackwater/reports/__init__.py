"""How do results look on paper and in files? Plain facts in, pages and files out.

Knows nothing of how a fact was worked out, and nothing of the web.
"""
