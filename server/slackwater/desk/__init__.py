"""What people do, one module a story; the only place that carries results from room to room."""
