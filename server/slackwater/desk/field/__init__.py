"""The field officer's side: what a phone takes along, what comes back, and what is made of it."""
