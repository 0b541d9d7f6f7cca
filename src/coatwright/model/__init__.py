"""What a job is made of: frozen, validated data in SI. No files, no clock, no engines."""
