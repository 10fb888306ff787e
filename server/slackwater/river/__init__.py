"""What do the offtakes take and what does it cost the river? Arrays in, arrays out."""
