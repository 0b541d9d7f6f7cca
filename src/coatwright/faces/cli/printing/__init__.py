"""Commands that write something to print."""
