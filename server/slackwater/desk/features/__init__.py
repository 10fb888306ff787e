"""The catchment as layers for a desktop GIS: what each viewer sees, searched, as GeoJSON."""
