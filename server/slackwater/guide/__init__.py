"""The pages of the guide: methods, glossary, data, cautions; tested against the code."""
