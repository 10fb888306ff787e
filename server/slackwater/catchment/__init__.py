"""What is known of a catchment: its tables described once, their checks, the network they make."""
