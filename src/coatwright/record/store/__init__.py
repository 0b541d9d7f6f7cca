"""Where the record is kept: a database of events and a folder of attached files."""
