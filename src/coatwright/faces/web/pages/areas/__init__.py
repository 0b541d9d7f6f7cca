"""The walk round: areas by shape and tape, patches, photographs; and what the plan says of each."""
