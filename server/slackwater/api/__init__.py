"""The web door: the page, its data as typed JSON, and one shape for every error."""
