"""What people write, read into the model; every fault names its file, line and field."""
