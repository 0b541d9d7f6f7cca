"""The owner's page: a private link, no account; what is asked, yes or no with a name."""
